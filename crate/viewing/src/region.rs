//! Pieces at a point of a window, and inside an outline drawn over it.

use plane::{PagePoint, PanelPoint, WallPoint, contains};
use scene::{Resolved, ResolvedWindow};

/// Id of the piece at a point of a window, as a place of the scene sees it: the named one, or the first. `None` on leads,
/// beside the glass, where the inner reveal hides the glass from there, and for a place that the scene does not have.
pub fn piece_seen_at(
    scene: &Resolved,
    window: &ResolvedWindow,
    at: PagePoint,
    place: Option<&str>,
) -> Option<u32> {
    let at = window.panel.on_page().panel_from_page(at);
    let index = window.panel.piece_at(at)?;
    past_reveal(scene, window, at, place).then(|| window.pieces[index].id)
}

/// Whether the line of sight to a point of the glass goes through the opening in the inner face of the wall.
fn past_reveal(scene: &Resolved, window: &ResolvedWindow, at: PanelPoint, place: Option<&str>) -> bool {
    let Some(wall) = window.wall.as_ref().filter(|wall| wall.depths.inner.depth_m > 0.0) else { return true };
    let Some(eye) = scene.eye_m(place).map(|eye| scene.in_room(eye)) else { return false };
    let depth_m = wall.depths.inner.depth_m;
    let share = depth_m / (depth_m + eye[2].max(0.0));
    let at = window.placement.wall_from_panel(at);
    let through = WallPoint::new(at.x() + share * (eye[0] - at.x()), at.y() + share * (eye[1] - at.y()));
    contains([&wall.faces[1]], through)
}

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
