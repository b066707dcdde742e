//! Pieces inside an outline drawn over a window.

use plane::{PagePoint, PanelPoint, contains};
use scene::ResolvedWindow;

/// Ids of the pieces whose middle lies inside a closed outline, in the window's order. If there is none, the piece
/// that contains the mean of the outline's corners. Empty for an outline without corners or with a corner that is
/// not finite.
pub fn pieces_inside(window: &ResolvedWindow, outline: &[PagePoint]) -> Vec<u32> {
    let page = window.panel.on_page();
    let ring: Vec<PanelPoint> = outline.iter().map(|&p| page.panel_from_page(p)).collect();
    if ring.is_empty() || ring.iter().any(|p| !p.vector().is_finite()) {
        return Vec::new();
    }
    let count = ring.len() as f64;
    let middle = PanelPoint::from([0, 1].map(|axis| ring.iter().map(|p| p[axis]).sum::<f64>() / count));
    let inside: Vec<u32> = window
        .panel
        .pieces
        .iter()
        .zip(&window.pieces)
        .filter(|(shape, _)| contains([&ring], shape.interior_point))
        .map(|(_, piece)| piece.id)
        .collect();
    if inside.is_empty() {
        window.panel.piece_at(middle).map(|index| window.pieces[index].id).into_iter().collect()
    } else {
        inside
    }
}
