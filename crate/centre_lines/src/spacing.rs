//! How densely the boundary is sampled: closely where leads meet or bend, sparsely along straight stretches.

use crate::cells::Cells;
use glam::DVec2;

/// Samples in a mean lead width near joints. Five show a joint's corners closely enough; more cost time. By experiment.
const SAMPLES_PER_WIDTH: f64 = 5.0;
/// Around what corners the sampling is closest, in mean widths. By experiment.
const CLOSE_WIDTHS: f64 = 1.0;
/// The widest spacing, in mean widths. By experiment.
const WIDEST_WIDTHS: f64 = 1.0;
/// Beyond the closest sampling, the spacing grows by this share of the distance.
const GROWTH: f64 = 0.5;
/// Between two samples, a bent boundary turns by no more, radians, unless the closest sampling is too sparse for that.
const TURN: f64 = 0.03;
/// A boundary that turns by more at a point has a corner there, radians.
const CORNER: f64 = 0.1;

/// Where the boundary has corners and close bends, and how it is sampled about them.
pub(crate) struct Spacing {
    /// The closest spacing, mm.
    pub(crate) least: f64,
    close: f64,
    most: f64,
    corners: Vec<DVec2>,
    cells: Cells,
    /// Farther away, a corner has no effect, mm.
    reach: f64,
}

impl Spacing {
    /// For rings with the lead's mean width, mm.
    pub(crate) fn new(rings: &[Vec<DVec2>], width: f64) -> Self {
        let least = (width / SAMPLES_PER_WIDTH).max(1e-3);
        let most = (WIDEST_WIDTHS * width).max(least);
        let close = CLOSE_WIDTHS * width;
        let reach = close + most / GROWTH;
        let mut corners = Vec::new();
        for ring in rings {
            for (&point, (turn, half_way)) in ring.iter().zip(turns(ring)) {
                if turn > CORNER || turn * least > TURN * half_way {
                    corners.push(point);
                }
            }
        }
        let places: Vec<(DVec2, DVec2)> = corners.iter().map(|&corner| (corner, corner)).collect();
        Self { least, close, most, cells: Cells::new(&places, reach), corners, reach }
    }

    /// The places of samples on an edge as shares of it, from 0 on. `bend`: curvature of the boundary there, 1/mm.
    pub(crate) fn along(&self, a: DVec2, b: DVec2, bend: f64) -> Vec<f64> {
        let length = a.distance(b);
        let most = if bend > 0.0 { self.most.min((TURN / bend).max(self.least)) } else { self.most };
        let (mut at, mut places) = (0.0, vec![0.0]);
        let (mut corners, mut known_to) = (Vec::new(), 0.0);
        loop {
            let rest = length - at;
            if rest <= self.least {
                return places;
            }
            let point = a.lerp(b, at / length);
            if at >= known_to {
                known_to = (at + 4.0 * self.reach).min(length);
                let to = a.lerp(b, known_to / length);
                corners.clear();
                corners.extend(self.cells.around(point.min(to), point.max(to), self.reach));
            }
            let square = corners
                .iter()
                .map(|&k| self.corners[k].distance_squared(point))
                .fold(f64::INFINITY, f64::min);
            let step = (GROWTH * (square.sqrt() - self.close)).clamp(self.least, most);
            if rest <= step {
                return places;
            }
            // Two steps of the same length at the end rather than a tiny one.
            at += if rest < 2.0 * step { rest / 2.0 } else { step };
            places.push(at / length);
        }
    }
}

/// For each point of a ring, the angle by which the ring turns there (radians, unsigned), and half the way between the
/// points beside it (mm).
pub(crate) fn turns(ring: &[DVec2]) -> impl Iterator<Item = (f64, f64)> {
    let count = ring.len();
    (0..count).map(move |k| {
        let arriving = ring[k] - ring[(k + count - 1) % count];
        let leaving = ring[(k + 1) % count] - ring[k];
        let turn = arriving.perp_dot(leaving).atan2(arriving.dot(leaving)).abs();
        (turn, f64::midpoint(arriving.length(), leaving.length()))
    })
}

/// The curvature of a ring along the edge from each of its points to the next, 1/mm; corners aside.
pub(crate) fn bends(ring: &[DVec2]) -> Vec<f64> {
    let at: Vec<f64> =
        turns(ring).map(|(turn, reach)| if turn > CORNER { 0.0 } else { turn / reach.max(1e-9) }).collect();
    (0..at.len()).map(|k| at[k].max(at[(k + 1) % at.len()])).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Vec<DVec2> {
        [[0.0, 0.0], [100.0, 0.0], [100.0, 100.0], [0.0, 100.0]].map(DVec2::from).to_vec()
    }

    #[test]
    fn samples_are_close_near_corners_and_sparse_between() {
        let ring = square();
        assert_eq!(bends(&ring), [0.0; 4]);
        let places = Spacing::new(std::slice::from_ref(&ring), 5.0).along(ring[0], ring[1], 0.0);
        let steps: Vec<f64> = places.windows(2).map(|pair| 100.0 * (pair[1] - pair[0])).collect();
        assert!(places.len() < 50, "{steps:?}");
        assert!(steps[..4].iter().chain(&steps[steps.len() - 4..]).all(|step| *step < 1.01), "{steps:?}");
        assert!(steps.iter().any(|step| *step > 4.9) && steps.iter().all(|step| *step < 5.01), "{steps:?}");
    }

    #[test]
    fn bent_edges_are_sampled_closely() {
        let ring: Vec<DVec2> = (0..120).map(|k| 25.0 * DVec2::from_angle(f64::from(k) * 0.05236)).collect();
        let bend = bends(&ring)[7];
        assert!((bend - 0.04).abs() < 0.001, "{bend}");
        assert_eq!(Spacing::new(&[square()], 5.0).along(DVec2::ZERO, DVec2::new(0.0, 2.6), bend).len(), 3);
    }
}
