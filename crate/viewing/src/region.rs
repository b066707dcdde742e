//! Pieces inside an outline drawn over a window.

use scene::ResolvedWindow;

/// Ids of the pieces whose middle lies inside a closed outline, in the window's order. If there is none, the piece
/// that contains the mean of the outline's corners. Empty for an outline without corners or with a corner that is
/// not finite.
///
/// `outline`: mm from the left and from the **top** of the sight size.
pub fn pieces_inside(window: &ResolvedWindow, outline: &[[f64; 2]]) -> Vec<u32> {
    let height_mm = window.panel.height_mm;
    let ring: Vec<[f64; 2]> = outline.iter().map(|&[x, y]| [x, height_mm - y]).collect();
    if ring.is_empty() || ring.iter().flatten().any(|v| !v.is_finite()) {
        return Vec::new();
    }
    let count = ring.len() as f64;
    let middle = [0, 1].map(|axis| ring.iter().map(|p| p[axis]).sum::<f64>() / count);
    let region = panel::Polygon { outer: ring, holes: Vec::new() };
    let inside: Vec<u32> = window
        .panel
        .pieces
        .iter()
        .zip(&window.pieces)
        .filter(|(shape, _)| region.contains(shape.interior_point))
        .map(|(_, piece)| piece.id)
        .collect();
    if inside.is_empty() {
        window.panel.piece_at(middle).map(|index| window.pieces[index].id).into_iter().collect()
    } else {
        inside
    }
}
