//! Pieces that belong together: of the same glass, or of similar colour.

use scene::{ResolvedPiece, ResolvedWindow};
use spectra::{Lab, ciede2000};

use crate::swatch_light::SwatchLight;

/// What similar pieces have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Similarity {
    /// The glass of the innermost plate, by which a piece is known.
    Glass,
    /// The transmitted colour in the light of the swatches.
    Colour {
        /// Largest colour difference, ΔE00, 0 or more.
        delta_e: f64,
    },
}

/// Default colour difference ΔE00 up to which pieces count as similar. Assumption: side by side the two look
/// different, but most people would call them by the same name.
pub const SIMILAR_DELTA_E: f64 = 5.0;

/// Ids of the pieces that are similar to `piece`, including itself, in the window's order; empty if there is no
/// such piece.
pub fn similar_pieces(window: &ResolvedWindow, light: &SwatchLight, piece: u32, by: Similarity) -> Vec<u32> {
    let Some(model) = window.pieces.iter().find(|p| p.id == piece) else { return Vec::new() };
    let among = |similar: &dyn Fn(&ResolvedPiece) -> bool| {
        window.pieces.iter().filter(|p| p.id == piece || similar(p)).map(|p| p.id).collect()
    };
    match by {
        Similarity::Glass => {
            let glass = |p: &ResolvedPiece| p.makeup.plates.last().map(|plate| plate.glass.id.clone());
            let wanted = glass(model);
            among(&|p| wanted.is_some() && glass(p) == wanted)
        }
        Similarity::Colour { delta_e } => {
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
