//! The area that two polygons share.

use crate::lattice::{int_ring, ring_mm};
use crate::polygon::Polygon;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use plane::{bounds, signed_area};

/// Area of the intersection of two polygons, mm²; 0 where they only touch.
///
/// Coordinates within [`crate::COORDINATE_LIMIT_MM`]; they are rounded to about a nanometre.
///
/// # Example
/// ```
/// use panel::{Polygon, overlap_area_mm2};
/// use plane::PanelPoint;
///
/// let corners = |x: f64| [[x, 0.0], [x + 10.0, 0.0], [x + 10.0, 10.0], [x, 10.0]];
/// let square = |x: f64| Polygon { outer: corners(x).map(PanelPoint::from).to_vec(), holes: vec![] };
/// assert!((overlap_area_mm2(&square(0.0), &square(4.0)) - 60.0).abs() < 1e-4);
/// ```
pub fn overlap_area_mm2(a: &Polygon, b: &Polygon) -> f64 {
    let (Some([a_low, a_high]), Some([b_low, b_high])) = (bounds(&a.outer), bounds(&b.outer)) else {
        return 0.0;
    };
    if (0..2).any(|axis| a_low[axis] >= b_high[axis] || b_low[axis] >= a_high[axis]) {
        return 0.0;
    }
    let mut overlay = Overlay::new(a.outer.len() + b.outer.len());
    let rings = |polygon: &Polygon| polygon.rings().map(int_ring).collect::<Vec<_>>();
    overlay.add_source(&rings(a), ShapeType::Subject);
    overlay.add_source(&rings(b), ShapeType::Clip);
    let common = overlay.overlay(OverlayRule::Intersect, FillRule::NonZero);
    // Holes count negative.
    common.iter().flatten().map(|ring| signed_area(&ring_mm(ring))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::PanelPoint;

    fn square(x: f64, y: f64, side: f64) -> Vec<[f64; 2]> {
        vec![[x, y], [x + side, y], [x + side, y + side], [x, y + side]]
    }

    fn plain(outer: Vec<[f64; 2]>) -> Polygon {
        Polygon { outer: PanelPoint::slice(&outer).to_vec(), holes: vec![] }
    }

    /// In either order, within the rounding of a few corners.
    fn check(a: &Polygon, b: &Polygon, expected: f64) {
        for (a, b) in [(a, b), (b, a)] {
            let found = overlap_area_mm2(a, b);
            assert!((found - expected).abs() < 1e-4, "found {found}, expected {expected}");
        }
    }

    #[test]
    fn squares_share_their_overlap() {
        let whole = plain(square(0.0, 0.0, 10.0));
        check(&whole, &whole, 100.0);
        check(&whole, &plain(square(7.0, 8.0, 10.0)), 6.0);
        check(&whole, &plain(square(2.0, 3.0, 4.0)), 16.0);
        check(&whole, &plain(vec![[0.0, 0.0], [20.0, 0.0], [0.0, 20.0]]), 100.0);
        check(&whole, &plain(vec![[0.0, 0.0], [10.0, 0.0], [0.0, 10.0]]), 50.0);
    }

    #[test]
    fn separate_or_touching_squares_share_nothing() {
        let whole = plain(square(0.0, 0.0, 10.0));
        check(&whole, &plain(square(10.0, 0.0, 10.0)), 0.0);
        check(&whole, &plain(square(10.0, 10.0, 10.0)), 0.0);
        check(&whole, &plain(square(50.0, 0.0, 10.0)), 0.0);
        // The bounding boxes overlap, the shapes do not.
        check(&whole, &plain(vec![[9.0, 15.0], [15.0, 9.0], [15.0, 15.0]]), 0.0);
        check(&whole, &Polygon::default(), 0.0);
    }

    #[test]
    fn holes_are_not_shared() {
        let mut hole = square(2.0, 2.0, 6.0);
        hole.reverse();
        let frame =
            Polygon { holes: vec![PanelPoint::slice(&hole).to_vec()], ..plain(square(0.0, 0.0, 10.0)) };
        check(&frame, &plain(square(3.0, 3.0, 2.0)), 0.0);
        check(&frame, &plain(square(1.0, 1.0, 8.0)), 64.0 - 36.0);
        check(&frame, &frame, 64.0);
    }

    #[test]
    fn separate_parts_add_up() {
        // A comb whose two teeth reach 3 mm into the square, 2 mm wide each.
        let comb = [
            [1.0, 7.0],
            [3.0, 7.0],
            [3.0, 12.0],
            [6.0, 12.0],
            [6.0, 7.0],
            [8.0, 7.0],
            [8.0, 15.0],
            [1.0, 15.0],
        ];
        check(&plain(square(0.0, 0.0, 10.0)), &plain(comb.to_vec()), 12.0);
    }
}
