//! Rings moved sideways, each by itself: far quicker than a set operation, where no ring comes near another or itself.

use crate::cells::Cells;
use crate::crossings::Rings;
use crate::simplify::distance_to_segment;
use glam::DVec2;

/// Edges are compared with no more others than this, on average; where more lie close, a set operation is quicker.
const MOST_COMPARED: usize = 120;

/// Edges between which a ring turns by less than a half circle (radians) run on in one direction, seen along a suitable
/// line, and still do when they are moved: they never meet.
const ONE_BEND: f64 = 3.1;

/// The edges of rings, with what says whether two of them are neighbours.
struct Edges {
    ends: Vec<(DVec2, DVec2)>,
    /// The ring of each.
    ring: Vec<u32>,
    /// The turns of the ring from its first edge up to the start of each, without their signs, radians.
    turned: Vec<f64>,
    /// The same all round each ring.
    whole: Vec<f64>,
}

/// Rings with the covered side on their left, grown by a distance (mm; shrunk by a negative one), corners sharp. `None`
/// where that might not be what a set operation gives: where a corner is sharper than an angle (radians), an edge
/// vanishes, or edges come so near one another that they might meet.
pub(crate) fn moved(rings: &Rings, by: f64, sharpest: f64) -> Option<Rings> {
    let mut edges = Edges { ends: Vec::new(), ring: Vec::new(), turned: Vec::new(), whole: Vec::new() };
    let mut farthest = 0.0_f64;
    let mut all = Vec::with_capacity(rings.len());
    for (index, ring) in rings.iter().enumerate() {
        let count = ring.len();
        let point = |k: usize| DVec2::from(ring[k % count]);
        let along: Vec<DVec2> =
            (0..count).map(|k| (point(k + 1) - point(k)).try_normalize()).collect::<Option<_>>()?;
        let mut turned = 0.0;
        let mut places: Vec<DVec2> = Vec::with_capacity(count);
        for k in 0..count {
            let (arriving, leaving) = (along[(k + count - 1) % count], along[k]);
            let cosine = arriving.dot(leaving);
            if cosine < -sharpest.cos() {
                return None;
            }
            // To the right of both edges by the same distance.
            let out = -(arriving + leaving).perp() / (1.0 + cosine);
            farthest = farthest.max(by.abs() * out.length());
            places.push(point(k) + out * by);
            if k > 0 {
                turned += arriving.angle_to(leaving).abs();
            }
            edges.ends.push((point(k), point(k + 1)));
            edges.ring.push(index as u32);
            edges.turned.push(turned);
        }
        edges.whole.push(turned + along[count - 1].angle_to(along[0]).abs());
        let keeps = |k: usize| (places[(k + 1) % count] - places[k]).dot(along[k]) > 0.0;
        if !(0..count).all(keeps) {
            return None;
        }
        all.push(places.iter().map(DVec2::to_array).collect());
    }
    edges.keep_apart(2.0 * farthest).then_some(all)
}

impl Edges {
    /// Whether all edges are farther apart than a distance, but for those along one bend.
    fn keep_apart(&self, distance: f64) -> bool {
        let cells = Cells::new(&self.ends, distance.max(1.0));
        let mut left = MOST_COMPARED * self.ends.len();
        (0..self.ends.len()).all(|i| {
            let (a, b) = self.ends[i];
            // Each pair comes twice, and counts twice: where all lie close, most of the time is spent on finding them.
            cells.around(a.min(b), a.max(b), distance).all(|j| {
                left = left.saturating_sub(1);
                left > 0 && (j >= i || self.are_along_one_bend(i, j) || self.gap(i, j) > distance)
            })
        })
    }

    /// Whether two edges belong to one ring that turns so little between them that they cannot meet.
    fn are_along_one_bend(&self, i: usize, j: usize) -> bool {
        let between = (self.turned[i] - self.turned[j]).abs();
        self.ring[i] == self.ring[j] && between.min(self.whole[self.ring[i] as usize] - between) < ONE_BEND
    }

    /// Distance between two edges that do not cross.
    fn gap(&self, i: usize, j: usize) -> f64 {
        let ((a, b), (c, d)) = (self.ends[i], self.ends[j]);
        let to = |p: DVec2, (q, r): (DVec2, DVec2)| distance_to_segment(p, q, r);
        to(a, (c, d)).min(to(b, (c, d))).min(to(c, (a, b))).min(to(d, (a, b)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(low: f64, high: f64) -> Vec<[f64; 2]> {
        vec![[low, low], [high, low], [high, high], [low, high]]
    }

    #[test]
    fn a_frame_grows_on_both_sides() {
        let hole: Vec<[f64; 2]> = square(10.0, 90.0).into_iter().rev().collect();
        let found = moved(&vec![square(0.0, 100.0), hole], 1.0, 0.3).expect("rings far apart");
        assert_eq!(found[0], square(-1.0, 101.0));
        assert_eq!(found[1], square(11.0, 89.0).into_iter().rev().collect::<Vec<_>>());
    }

    #[test]
    fn what_might_meet_is_left_to_a_set_operation() {
        let beside: Vec<[f64; 2]> = square(0.0, 10.0).iter().map(|p| [p[0] + 10.1, p[1]]).collect();
        let pair = vec![square(0.0, 10.0), beside];
        assert!(moved(&pair, 0.03, 0.3).is_some() && moved(&pair, 0.06, 0.3).is_none());
        // Shrunk away; a slit in one ring; a spike.
        assert!(moved(&vec![square(0.0, 1.0)], -0.6, 0.3).is_none());
        let slit = vec![
            [0.0, 0.0],
            [50.0, 0.0],
            [50.0, 20.0],
            [25.05, 20.0],
            [25.0, 2.0],
            [24.95, 20.0],
            [0.0, 20.0],
        ];
        assert!(moved(&vec![slit], 0.1, 0.001).is_none());
        assert!(moved(&vec![vec![[0.0, 0.0], [50.0, 0.0], [50.0, 0.5]]], 0.01, 0.3).is_none());
    }
}
