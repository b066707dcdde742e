//! Polygons with holes: area, perimeter, containment. The geometry itself is `plane`'s.

use plane::PanelPoint;

/// A polygon in mm: one outer ring, counterclockwise, and holes, clockwise. Rings are not repeated at the end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polygon {
    /// Outer ring, counterclockwise.
    pub outer: Vec<[f64; 2]>,
    /// Holes, clockwise.
    pub holes: Vec<Vec<[f64; 2]>>,
}

impl Polygon {
    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &[[f64; 2]]> {
        std::iter::once(self.outer.as_slice()).chain(self.holes.iter().map(Vec::as_slice))
    }

    /// The rings as points of the panel plane, without a copy.
    pub fn points(&self) -> impl Iterator<Item = &[PanelPoint]> {
        self.rings().map(PanelPoint::slice)
    }

    /// Area, mm², without the holes.
    pub fn area_mm2(&self) -> f64 {
        plane::area(self.points())
    }

    /// Length of all rings, mm.
    pub fn perimeter_mm(&self) -> f64 {
        plane::perimeter(self.points())
    }

    /// True for points inside; points on an edge may fall either way.
    pub fn contains(&self, point: [f64; 2]) -> bool {
        plane::contains(self.points(), point.into())
    }

    /// Distance from a point to the nearest edge, mm; infinite for an empty polygon.
    pub fn distance_to_edge_mm(&self, point: [f64; 2]) -> f64 {
        plane::distance_to_edge(self.points(), point.into())
    }
}

/// Edges of a ring, the closing one last.
pub(crate) fn edges(ring: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
    plane::edges(PanelPoint::slice(ring)).map(|(a, b)| (a.to_array(), b.to_array()))
}

/// Signed area of a ring, positive where counterclockwise.
pub(crate) fn ring_area(ring: &[[f64; 2]]) -> f64 {
    plane::signed_area(PanelPoint::slice(ring))
}

/// Squared distance from a point to a segment.
#[inline]
pub(crate) fn distance_squared_to_segment(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    plane::distance_squared_to_segment(PanelPoint::from(p), a.into(), b.into())
}

/// Smallest box around points: lower left and upper right; `None` for no points.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> Option<[[f64; 2]; 2]> {
    let points = points.into_iter().map(|p| &PanelPoint::slice(std::slice::from_ref(p))[0]);
    plane::bounds(points).map(|corners| corners.map(PanelPoint::to_array))
}
