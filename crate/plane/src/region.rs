//! Regions: an outer ring, anticlockwise, and its holes, clockwise, in any order.

use crate::point2::Point2;
use crate::ring::{edges, signed_area};

/// Area minus the holes, in the square of the frame's unit.
pub fn area<'a, F: Copy + 'a, R>(rings: impl IntoIterator<Item = &'a R>) -> f64
where
    R: AsRef<[Point2<F>]> + ?Sized + 'a,
{
    rings.into_iter().map(|ring| signed_area(ring.as_ref())).sum()
}

/// Length of all rings, in the frame's unit.
pub fn perimeter<'a, F: Copy + 'a, R>(rings: impl IntoIterator<Item = &'a R>) -> f64
where
    R: AsRef<[Point2<F>]> + ?Sized + 'a,
{
    let length = |(a, b): (Point2<F>, Point2<F>)| (b.x() - a.x()).hypot(b.y() - a.y());
    rings.into_iter().map(|ring| edges(ring.as_ref()).map(length).sum::<f64>()).sum()
}

/// Whether a point lies inside: a ray to the right crosses an odd number of edges. A point on an edge may fall
/// either way.
pub fn contains<'a, F: Copy + 'a, R>(rings: impl IntoIterator<Item = &'a R>, point: Point2<F>) -> bool
where
    R: AsRef<[Point2<F>]> + ?Sized + 'a,
{
    let edges = rings.into_iter().flat_map(|ring| edges(ring.as_ref()));
    edges.filter(|edge| is_crossed(*edge, point)).count() % 2 == 1
}

/// Whether the way out of a point to the right crosses an edge.
#[inline]
fn is_crossed<F: Copy>((from, to): (Point2<F>, Point2<F>), point: Point2<F>) -> bool {
    let (a, b, p) = (from.vector(), to.vector(), point.vector());
    (a.y > p.y) != (b.y > p.y) && p.x < (b.x - a.x) * (p.y - a.y) / (b.y - a.y) + a.x
}

/// Distance from a point to the nearest of a region's edges, positive where [`contains`] finds it inside and else negative;
/// −∞ without edges. For many points of one region, whose [`edges`] are listed once.
pub fn signed_distance<F: Copy>(edges: &[(Point2<F>, Point2<F>)], point: Point2<F>) -> f64 {
    let mut inside = false;
    let mut least = f64::INFINITY;
    for &(from, to) in edges {
        inside ^= is_crossed((from, to), point);
        least = least.min(distance_squared_to_segment(point, from, to));
    }
    if inside { least.sqrt() } else { -least.sqrt() }
}

/// Distance from a point to the nearest edge, in the frame's unit; infinite if there is none.
pub fn distance_to_edge<'a, F: Copy + 'a, R>(rings: impl IntoIterator<Item = &'a R>, point: Point2<F>) -> f64
where
    R: AsRef<[Point2<F>]> + ?Sized + 'a,
{
    rings
        .into_iter()
        .flat_map(|ring| edges(ring.as_ref()))
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
        assert!(distance_to_edge([&[][..]; 0], PanelPoint::new(5.0, 3.0)).is_infinite());
    }

    #[test]
    fn the_signed_distance_is_negative_outside_and_in_holes() {
        let edges: Vec<_> = rings().into_iter().flat_map(edges).collect();
        for ([x, y], wanted) in
            [([5.0, 3.0], 1.0), ([3.0, 3.0], -1.0), ([-2.0, 5.0], -2.0), ([9.5, 5.0], 0.5)]
        {
            let found = signed_distance(&edges, PanelPoint::new(x, y));
            assert!((found - wanted).abs() < 1e-12, "{x} {y}: {found}");
        }
    }
}
