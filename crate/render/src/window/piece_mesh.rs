//! The triangles of one piece: its glass and its overlays.

use crate::paint::fade::measure_edges;
use crate::paint::strokes::overlay_strokes;
use crate::window::fill::fill;
use crate::window::model::{Overlay, PieceModel};
use crate::window::vertex::{GlassVertex, Mesh};

/// The glass of a piece, without its number; where its paint fades, every corner stores its distance from the lead.
pub(crate) fn piece_mesh(piece: &PieceModel) -> Mesh<GlassVertex> {
    let mut glass = Mesh::default();
    let make =
        |position, fringe, coverage| GlassVertex { position, fringe, coverage, brush: [0.0; 2], piece: 0 };
    fill(&piece.light_shape, &mut glass, make);
    if piece.fade.length_mm > 0.0 {
        measure_edges(piece, &mut glass);
    }
    glass
}

/// An overlay on a piece, also without its number.
pub(crate) fn overlay_mesh(piece: &PieceModel, overlay: &Overlay) -> Mesh<GlassVertex> {
    let mut mesh = Mesh::default();
    overlay_strokes(overlay, &piece.light_shape, &mut mesh);
    mesh
}
