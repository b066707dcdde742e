//! Preparing lines and outlines for triangulation: direction of travel, corners.

use glam::DVec2;
use plane::{PanelPoint, distinct, signed_area};

/// Longest mitre of a fringe, in pixels.
pub(crate) const MITRE_LIMIT: f64 = 3.0;
/// Points of an outline closer than this count as one, mm.
const SAME_POINT_MM: f64 = 1e-4;

/// An outline without repeated points, travelling so that the filled side is on the left.
pub(crate) fn oriented(outline: &[PanelPoint], hole: bool) -> Vec<PanelPoint> {
    let mut points = distinct(outline, true, SAME_POINT_MM);
    if (signed_area(&points) < 0.0) != hole {
        points.reverse();
    }
    points
}

/// In single precision, as in vertices.
pub(crate) fn single(p: DVec2) -> [f32; 2] {
    p.as_vec2().to_array()
}
