//! A window's panel after its drawing has changed, and which of its pieces are the same shapes as before.

use std::collections::HashMap;

use panel::{Panel, PanelOptions, panel_from_drawing};

use crate::document::Drawing;
use crate::fault::Faults;
use crate::resolve::{drawing_faults, panel_drawing};

/// A panel made anew.
pub(crate) struct Redrawn {
    pub(crate) panel: Panel,
    /// For each of its pieces, the index of the same shape before.
    pub(crate) old_of_new: Vec<Option<usize>>,
}

/// Makes the panel of a changed drawing.
///
/// # Errors
/// Every fault of the drawing.
pub(crate) fn redraw(before: &Panel, drawing: &Drawing, path: &str) -> Result<Redrawn, Faults> {
    let panel = panel_from_drawing(&panel_drawing(drawing), &PanelOptions::default())
        .map_err(|error| Faults(drawing_faults(&error, path)))?;
    let key = |piece: &panel::Piece| piece.interior_point.map(f64::to_bits);
    let by_place: HashMap<_, usize> = before.pieces.iter().enumerate().map(|(i, p)| (key(p), i)).collect();
    let same = |piece: &panel::Piece| {
        let old = by_place.get(&key(piece)).copied()?;
        let was = &before.pieces[old];
        (was.outline == piece.outline && was.light == piece.light && was.cut == piece.cut).then_some(old)
    };
    let old_of_new = panel.pieces.iter().map(same).collect();
    Ok(Redrawn { panel, old_of_new })
}
