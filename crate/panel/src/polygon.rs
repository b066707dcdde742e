//! Polygons with holes: area, perimeter, containment. The geometry itself is `plane`'s.

use plane::PanelPoint;

/// A polygon in mm: one outer ring, counterclockwise, and holes, clockwise. Rings are not repeated at the end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polygon {
    /// Outer ring, counterclockwise.
    pub outer: Vec<PanelPoint>,
    /// Holes, clockwise.
    pub holes: Vec<Vec<PanelPoint>>,
}

impl Polygon {
    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &[PanelPoint]> {
        std::iter::once(self.outer.as_slice()).chain(self.holes.iter().map(Vec::as_slice))
    }

    /// Area, mm², without the holes.
    pub fn area_mm2(&self) -> f64 {
        plane::area(self.rings())
    }

    /// Length of all rings, mm.
    pub fn perimeter_mm(&self) -> f64 {
        plane::perimeter(self.rings())
    }

    /// True for points inside; points on an edge may fall either way.
    pub fn contains(&self, point: PanelPoint) -> bool {
        plane::contains(self.rings(), point)
    }

    /// Distance from a point to the nearest edge, mm; infinite for an empty polygon.
    pub fn distance_to_edge_mm(&self, point: PanelPoint) -> f64 {
        plane::distance_to_edge(self.rings(), point)
    }
}
