//! The triangles of one piece: its glass, and what lies over it.

use crate::paint::fade::measure_edges;
use crate::paint::strokes::overlay_strokes;
use crate::window::fill::fill;
use crate::window::model::{Overlay, PieceModel, WindowModel};
use crate::window::vertex::{GlassVertex, Mesh};

/// A piece as triangles that do not yet know its number.
#[derive(Clone, Debug, Default)]
pub(crate) struct PieceMesh {
    /// The glass; where its paint fades every corner knows how far it is from the lead.
    pub(crate) glass: Mesh<GlassVertex>,
    /// What lies over it, what lies beneath first.
    over: Vec<Mesh<GlassVertex>>,
}

impl PieceMesh {
    /// The glass alone.
    pub(crate) fn new(piece: &PieceModel) -> Self {
        let mut glass = Mesh::default();
        let make = |position, fringe, coverage| GlassVertex {
            position,
            fringe,
            coverage,
            brush: [0.0; 2],
            piece: 0,
        };
        fill(&piece.light_shape, &mut glass, make);
        if piece.fade.length_mm > 0.0 {
            measure_edges(piece, &mut glass);
        }
        Self { glass, over: Vec::new() }
    }

    /// The same glass under other overlays.
    pub(crate) fn lay_over(&mut self, piece: &PieceModel, overlays: &[Overlay]) {
        self.over = overlays
            .iter()
            .map(|overlay| {
                let mut mesh = Mesh::default();
                overlay_strokes(overlay, &piece.light_shape, &mut mesh);
                mesh
            })
            .collect();
    }

    /// The pieces of a window.
    pub(crate) fn of_window(model: &WindowModel) -> Vec<Self> {
        let mut rest = &model.overlays[..];
        let with_overlays = |(index, piece): (usize, &PieceModel)| {
            let (own, others) = rest.split_at(rest.partition_point(|o| o.piece <= index));
            rest = others;
            let mut mesh = Self::new(piece);
            mesh.lay_over(piece, own);
            mesh
        };
        model.pieces.iter().enumerate().map(with_overlays).collect()
    }

    /// All of a window's pieces as one mesh in the order of drawing: each piece and then what lies over it, numbered
    /// as the tables are, pieces first and then overlays.
    pub(crate) fn join(pieces: &[Self]) -> Mesh<GlassVertex> {
        let parts = || pieces.iter().flat_map(|piece| std::iter::once(&piece.glass).chain(&piece.over));
        let mut joined = Mesh {
            vertices: Vec::with_capacity(parts().map(|part| part.vertices.len()).sum()),
            indices: Vec::with_capacity(parts().map(|part| part.indices.len()).sum()),
        };
        let mut add = |part: &Mesh<GlassVertex>, number: usize| {
            let first = joined.vertices.len() as u32;
            joined.vertices.extend(part.vertices.iter().map(|v| GlassVertex { piece: number as u32, ..*v }));
            joined.indices.extend(part.indices.iter().map(|i| i + first));
        };
        let mut overlays = pieces.len()..;
        for (index, piece) in pieces.iter().enumerate() {
            add(&piece.glass, index);
            piece.over.iter().zip(&mut overlays).for_each(|(over, number)| add(over, number));
        }
        joined
    }
}
