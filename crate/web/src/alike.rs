//! Which pieces belong together: of one glass, of one colour, in one part of the window.

use scene::{Resolved, ResolvedPiece, ResolvedWindow};
use spectra::{Lab, ciede2000};

use crate::swatch::SwatchLight;

/// What two pieces may have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Alike {
    /// The glass of the innermost plate, the one a piece is known by.
    Glass,
    /// The transmitted colour in the light of the scene's hour, at most this far off in CIEDE2000.
    Colour {
        /// ΔE00, 0 or more.
        delta_e: f64,
    },
}

/// Ids of the pieces that have something in common with `piece`, itself among them, in the window's order; empty
/// where there is no such piece.
pub(crate) fn pieces_like(
    window: &ResolvedWindow,
    light: &SwatchLight,
    piece: u32,
    alike: Alike,
) -> Vec<u32> {
    let Some(model) = window.pieces.iter().find(|p| p.id == piece) else { return Vec::new() };
    let among = |like: &dyn Fn(&ResolvedPiece) -> bool| {
        window.pieces.iter().filter(|p| p.id == piece || like(p)).map(|p| p.id).collect()
    };
    match alike {
        Alike::Glass => {
            let glass = |p: &ResolvedPiece| p.makeup.plates.last().map(|plate| plate.glass.id.clone());
            let wanted = glass(model);
            among(&|p| wanted.is_some() && glass(p) == wanted)
        }
        Alike::Colour { delta_e } => {
            let colour = |p: &ResolvedPiece| -> Option<Lab> {
                let optics = p.makeup.optics(0.0);
                light.lab(&(optics.regular_transmittance + optics.diffuse_transmittance))
            };
            let wanted = colour(model);
            among(&|p| {
                wanted.zip(colour(p)).is_some_and(|(wanted, found)| ciede2000(wanted, found) <= delta_e)
            })
        }
    }
}

/// Ids of the pieces whose middle lies inside a closed outline, and where there is none, of the piece that the
/// outline's own middle lies on. Points are mm from the left and from the **top** of the sight size.
pub(crate) fn pieces_inside(window: &ResolvedWindow, outline: &[[f64; 2]]) -> Vec<u32> {
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

/// The window of that name.
pub(crate) fn window_named<'a>(resolved: &'a Resolved, id: &str) -> Option<&'a ResolvedWindow> {
    resolved.windows.iter().find(|w| w.id == id)
}
