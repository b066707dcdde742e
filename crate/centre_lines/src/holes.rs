//! The holes that the lead surrounds, each of which is a pane's: a point in each.

use crate::cells::Cells;
use crate::simplify::distance_to_segment;
use glam::DVec2;

/// In each hole, points are sought on so many level lines across it.
const LEVELS: u32 = 8;

/// An edge of a ring, with the ring's number.
type Edge = (DVec2, DVec2, usize);

/// For each hole among rings that do not cross, the lead on their left, a point in it, the farthest from the lead of a few
/// along level lines. Lead that stands free in a hole is not in its way.
///
/// This looks at nothing but the rings, so that the lines found along them can be checked by it.
pub(crate) fn points_in_holes(rings: &[Vec<DVec2>]) -> Vec<DVec2> {
    let each = rings.iter().enumerate();
    let edges: Vec<Edge> = each
        .flat_map(|(index, ring)| {
            let next = ring.iter().cycle().skip(1);
            ring.iter().zip(next).map(move |(&a, &b)| (a, b, index))
        })
        .collect();
    let ends: Vec<(DVec2, DVec2)> = edges.iter().map(|&(a, b, _)| (a, b)).collect();
    let cells = Cells::new(&ends, 1.0);
    let is_hole = |ring: &[DVec2]| {
        let next = ring.iter().cycle().skip(1);
        ring.iter().zip(next).map(|(a, b)| a.perp_dot(*b)).sum::<f64>() < 0.0
    };
    let holes = rings.iter().enumerate().filter(|(_, ring)| is_hole(ring));
    holes.filter_map(|(index, ring)| point_in_hole(index, ring, &edges, &cells)).collect()
}

fn point_in_hole(index: usize, ring: &[DVec2], edges: &[Edge], cells: &Cells) -> Option<DVec2> {
    let low = ring.iter().copied().reduce(DVec2::min)?;
    let high = ring.iter().copied().reduce(DVec2::max)?;
    let mut best: Option<(f64, DVec2)> = None;
    for level in 0..LEVELS {
        let y = low.y + (high.y - low.y) * (f64::from(level) + 0.5) / f64::from(LEVELS);
        let Some((middle, half)) = widest_stretch(index, [low.x, high.x], y, edges, cells) else { continue };
        let near = cells.around(middle, middle, half).map(|k| (edges[k].0, edges[k].1));
        let clear = near.map(|(a, b)| distance_to_segment(middle, a, b)).fold(half, f64::min);
        if best.is_none_or(|(most, _)| clear > most) {
            best = Some((clear, middle));
        }
    }
    best.map(|(_, point)| point)
}

/// The middle of the widest stretch of a hole on a level line, and half its width, mm.
fn widest_stretch(
    index: usize,
    [left, right]: [f64; 2],
    y: f64,
    edges: &[Edge],
    cells: &Cells,
) -> Option<(DVec2, f64)> {
    let mut numbers: Vec<usize> = cells.around(DVec2::new(left, y), DVec2::new(right, y), 0.0).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let crossed = numbers.into_iter().map(|k| edges[k]).filter(|(a, b, _)| (a.y > y) != (b.y > y));
    // Where each edge crosses the line, and whether this hole lies on its right there: it runs upwards then.
    let mut crossings: Vec<(f64, bool)> = crossed
        .map(|(a, b, ring)| (a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x), ring == index && b.y > a.y))
        .collect();
    crossings.sort_by(|a, b| a.0.total_cmp(&b.0));
    let stretches = crossings.windows(2).filter(|pair| pair[0].1).map(|pair| (pair[0].0, pair[1].0));
    let (from, to) = stretches.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))?;
    Some((DVec2::new(f64::midpoint(from, to), y), (to - from) / 2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A square, anticlockwise.
    fn square(low: [f64; 2], side: f64) -> Vec<DVec2> {
        [[0.0, 0.0], [side, 0.0], [side, side], [0.0, side]]
            .map(|p| DVec2::from(low) + DVec2::from(p))
            .to_vec()
    }

    fn hole(low: [f64; 2], side: f64) -> Vec<DVec2> {
        square(low, side).into_iter().rev().collect()
    }

    #[test]
    fn each_hole_has_its_point_far_from_the_lead() {
        // A large hole with a frame standing free in its middle, and two small holes beside it.
        let rings = [
            square([0.0, 0.0], 200.0),
            hole([10.0, 10.0], 100.0),
            square([30.0, 30.0], 60.0),
            hole([35.0, 35.0], 50.0),
            hole([120.0, 10.0], 20.0),
            hole([120.0, 50.0], 20.0),
        ];
        let points = points_in_holes(&rings);
        assert_eq!(points.len(), 4);
        let within = |p: DVec2, low: f64, high: f64| p.min_element() > low && p.max_element() < high;
        assert!(within(points[0], 14.0, 106.0) && !within(points[0], 26.0, 94.0), "{points:?}");
        assert!(within(points[1], 45.0, 75.0), "{points:?}");
        assert!(points[2].distance(DVec2::new(130.0, 20.0)) < 2.0, "{points:?}");
        assert!(points[3].distance(DVec2::new(130.0, 60.0)) < 2.0, "{points:?}");
    }

    #[test]
    fn a_hole_shaped_like_a_comb_has_a_point() {
        let mut ring: Vec<DVec2> = (0..20_000)
            .flat_map(|k| {
                let x = f64::from(k);
                [[x, 0.0], [x, 50.0], [x + 0.5, 50.0], [x + 0.5, 0.0]].map(DVec2::from)
            })
            .collect();
        ring.extend([[20_000.0, 0.0], [20_000.0, -2.0], [0.0, -2.0]].map(DVec2::from));
        let points = points_in_holes(&[ring]);
        assert!(matches!(points[..], [p] if p.y > -2.0 && p.y < 50.0), "{points:?}");
    }
}
