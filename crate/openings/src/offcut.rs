//! Which pieces are too small or too thin.

use crate::convex::inscribed_radius;
use crate::lattice::Lattice;
use plane::{PanelPoint, area_and_centroid, bounds, contains, distance_to_edge};

/// Pieces narrower than this are offcuts, mm: diameter of the largest circle that fits. Smaller pieces are hard to cut
/// and mostly hidden by their leads. Common practice, no source.
pub const OFFCUT_MM: f64 = 15.0;

/// Pieces narrower than this share of their length are needles. Ours.
const NEEDLE: f64 = 0.2;

/// No piece is a needle whose circle is at least this share of the smallest regular piece's. Ours.
const NEEDLE_SHARE: f64 = 0.5;

/// No piece is an offcut whose circle is at least this share of the smallest regular piece's, however small that is.
/// Ours.
const REGULAR_SHARE: f64 = 0.9;

/// What counts as an offcut among the pieces of a lattice.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Offcut {
    /// A circle of this radius fits into anything else, mm.
    radius: f64,
    /// A needle holds no circle of this radius, mm.
    needle_radius: f64,
}

/// How wide a piece is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Width {
    /// Radius of a circle that fits, mm: the largest, or any that is large enough.
    pub(crate) radius: f64,
    pub(crate) is_offcut: bool,
}

impl Offcut {
    /// `least_radius`: of a circle in a piece of which the leads leave some glass, mm.
    pub(crate) fn new(lattice: &Lattice, least_radius: f64) -> Self {
        let regular = lattice.regular_radius();
        let radius = (OFFCUT_MM / 2.0).min(REGULAR_SHARE * regular).max(least_radius);
        Offcut { radius, needle_radius: radius.max(NEEDLE_SHARE * regular) }
    }

    /// The width of a convex piece.
    pub(crate) fn width(&self, shape: &[PanelPoint]) -> Width {
        let radius = radius_up_to(shape, self.needle_radius);
        let length = bounds(shape).map_or(0.0, |[low, high]| (high - low).length());
        let is_needle = radius < self.needle_radius && 2.0 * radius < NEEDLE * length;
        Width { radius, is_offcut: radius < self.radius || is_needle }
    }
}

/// The radius of the largest circle in a convex polygon; or of any that fits and is large enough.
fn radius_up_to(polygon: &[PanelPoint], enough: f64) -> f64 {
    if let Some((_, middle)) = area_and_centroid(polygon)
        && contains([polygon], middle)
    {
        let radius = distance_to_edge([polygon], middle);
        if radius >= enough {
            return radius;
        }
    }
    inscribed_radius(polygon)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_and_thin_pieces_are_offcuts() {
        // Panes of 100 × 120 mm.
        let lattice = Lattice::rectangles(PanelPoint::default(), [100.0, 120.0], 3);
        let offcut = Offcut::new(&lattice, 4.0);
        let is_offcut = |width: f64, height: f64| {
            let corners = [[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]];
            offcut.width(PanelPoint::slice(&corners)).is_offcut
        };
        assert!(is_offcut(14.0, 14.0) && !is_offcut(16.0, 16.0));
        // Longer than five times their width: needles, unless half as wide as a whole pane.
        assert!(is_offcut(21.0, 120.0) && !is_offcut(25.0, 120.0) && !is_offcut(52.0, 400.0));
        // Small panes are no offcuts.
        let small = Offcut::new(&Lattice::rectangles(PanelPoint::default(), [12.0, 12.0], 3), 4.0);
        let corners = [[0.0, 0.0], [12.0, 0.0], [12.0, 12.0], [0.0, 12.0]];
        assert!(!small.width(PanelPoint::slice(&corners)).is_offcut);
    }
}
