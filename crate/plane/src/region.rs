//! Regions: an outer ring, anticlockwise, and its holes, clockwise, in any order.

use crate::point2::Point2;
use crate::ring::{edges, signed_area};

/// Area minus the holes, in the square of the frame's unit.
pub fn area<'a, F: Copy + 'a>(rings: impl IntoIterator<Item = &'a [Point2<F>]>) -> f64 {
    rings.into_iter().map(signed_area).sum()
}

/// Length of all rings, in the frame's unit.
pub fn perimeter<'a, F: Copy + 'a>(rings: impl IntoIterator<Item = &'a [Point2<F>]>) -> f64 {
    let length = |(a, b): (Point2<F>, Point2<F>)| (b.x() - a.x()).hypot(b.y() - a.y());
    rings.into_iter().map(|ring| edges(ring).map(length).sum::<f64>()).sum()
}

/// Whether a point lies inside: a ray to the right crosses an odd number of edges. A point on an edge may fall
/// either way.
pub fn contains<'a, F: Copy + 'a>(
    rings: impl IntoIterator<Item = &'a [Point2<F>]>,
    point: Point2<F>,
) -> bool {
    let p = point.vector();
    let crosses = |(a, b): &(Point2<F>, Point2<F>)| {
        let (a, b) = (a.vector(), b.vector());
        (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x
    };
    rings.into_iter().flat_map(edges).filter(crosses).count() % 2 == 1
}

/// Distance from a point to the nearest edge, in the frame's unit; infinite if there is none.
pub fn distance_to_edge<'a, F: Copy + 'a>(
    rings: impl IntoIterator<Item = &'a [Point2<F>]>,
    point: Point2<F>,
) -> f64 {
    rings
        .into_iter()
        .flat_map(edges)
        .map(|(a, b)| distance_squared_to_segment(point, a, b))
        .fold(f64::INFINITY, f64::min)
        .sqrt()
}

/// Squared distance from a point to a segment.
#[inline]
pub fn distance_squared_to_segment<F: Copy>(point: Point2<F>, from: Point2<F>, to: Point2<F>) -> f64 {
    let (start, along) = (from.vector(), to.vector() - from.vector());
    let length_squared = along.length_squared();
    let t = if length_squared > 0.0 {
        ((point.vector() - start).dot(along) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (point.vector() - start - t * along).length_squared()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::PanelPoint;

    const OUTER: [[f64; 2]; 4] = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];
    const HOLE: [[f64; 2]; 4] = [[2.0, 2.0], [2.0, 4.0], [4.0, 4.0], [4.0, 2.0]];

    fn rings() -> [&'static [PanelPoint]; 2] {
        [PanelPoint::slice(&OUTER), PanelPoint::slice(&HOLE)]
    }

    #[test]
    fn a_hole_is_outside() {
        for ([x, y], inside) in [
            ([5.0, 5.0], true),
            ([3.0, 3.0], false),
            ([1.0, 3.0], true),
            ([-1.0, 3.0], false),
            ([11.0, 3.0], false),
        ] {
            assert_eq!(contains(rings(), PanelPoint::new(x, y)), inside, "{x} {y}");
        }
    }

    #[test]
    fn a_hole_counts_in_area_perimeter_and_distance() {
        assert!((area(rings()) - 96.0).abs() < 1e-12);
        assert!((perimeter(rings()) - 48.0).abs() < 1e-12);
        assert!((distance_to_edge(rings(), PanelPoint::new(5.0, 3.0)) - 1.0).abs() < 1e-12);
        assert!(distance_to_edge([], PanelPoint::new(5.0, 3.0)).is_infinite());
    }
}
