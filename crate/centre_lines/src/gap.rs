//! How wide the gaps between panes are.

use crate::cells::Cells;
use crate::crossings::Rings;
use crate::simplify::distance_to_segment;
use glam::DVec2;

/// A stretch of a ring's edge.
#[derive(Clone, Copy)]
struct Stretch {
    a: DVec2,
    b: DVec2,
    ring: usize,
}

/// The median gap between rings no farther apart than `widest` (mm), by length of edge; `None` if there is none.
pub(crate) fn typical_gap(rings: &Rings, widest: f64) -> Option<f64> {
    let stretches = stretches(rings, widest);
    let ends: Vec<(DVec2, DVec2)> = stretches.iter().map(|stretch| (stretch.a, stretch.b)).collect();
    let cells = Cells::new(&ends, widest);
    let mut gaps: Vec<(f64, f64)> = Vec::new();
    for stretch in &stretches {
        let middle = stretch.a.midpoint(stretch.b);
        let others = cells.around(middle, middle, widest).map(|other| &stretches[other]);
        let gap = others
            .filter(|other| other.ring != stretch.ring)
            .map(|other| distance_to_segment(middle, other.a, other.b))
            .min_by(f64::total_cmp);
        gaps.extend(gap.filter(|gap| *gap <= widest).map(|gap| (gap, stretch.a.distance(stretch.b))));
    }
    weighted_median(gaps)
}

/// The edges of all rings in stretches no longer than a length.
fn stretches(rings: &Rings, longest: f64) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    for (index, ring) in rings.iter().enumerate() {
        for (&a, &b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (a, b) = (DVec2::from(a), DVec2::from(b));
            let count = (a.distance(b) / longest).ceil().max(1.0) as usize;
            let at = |k: usize| a.lerp(b, k as f64 / count as f64);
            stretches.extend((0..count).map(|k| Stretch { a: at(k), b: at(k + 1), ring: index }));
        }
    }
    stretches
}

/// The value at which half the weight is reached; pairs of value and weight.
pub(crate) fn weighted_median(mut values: Vec<(f64, f64)>) -> Option<f64> {
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    let half = values.iter().map(|value| value.1).sum::<f64>() / 2.0;
    let mut reached = 0.0;
    values
        .into_iter()
        .find(|(_, weight)| {
            reached += weight;
            reached >= half
        })
        .map(|(value, _)| value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gap_is_that_between_most_edges() {
        let square = |x: f64, y: f64| vec![[x, y], [x + 50.0, y], [x + 50.0, y + 50.0], [x, y + 50.0]];
        let rings = vec![square(0.0, 0.0), square(55.0, 0.0), square(0.0, 55.0), square(58.0, 55.0)];
        let gap = |widest: f64| typical_gap(&rings, widest);
        assert!((gap(20.0).expect("a gap") - 5.0).abs() < 1e-9);
        assert_eq!(gap(4.0), None);
    }
}
