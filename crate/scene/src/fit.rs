//! Variants fitted to a scene that has changed.

use crate::check::check;
use crate::document::Scene;
use crate::edit::Edit;
use crate::resolve::resolve;
use crate::variants::without_variants;

/// An edit of a variant that no longer fits the scene.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Name of the variant.
    pub variant: String,
    /// What it changed.
    pub edit: Edit,
}

/// Takes out of every variant what no longer fits a scene that has been changed and is whole itself: edits of pieces that
/// are gone, glasses that are gone, places outside a smaller room. Every edit stays that the scene and the edits before it
/// can bear. Returns what was taken out.
pub fn fit_variants(scene: &mut Scene) -> Vec<LeftOut> {
    let mut left_out = Vec::new();
    let base = without_variants(scene);
    for variant in &mut scene.variants {
        if !fits(&mut base.clone(), &variant.edits) {
            let mut kept = Vec::with_capacity(variant.edits.len());
            let edits = std::mem::take(&mut variant.edits);
            keep_what_fits(&mut base.clone(), edits, &mut kept, &mut |edit| {
                left_out.push(LeftOut { variant: variant.name.clone(), edit });
            });
            variant.edits = kept;
        }
    }
    left_out
}

/// Halves a list until each part fits as a whole or is one edit that does not: few faults cost few looks.
fn keep_what_fits(
    with: &mut Scene,
    mut edits: Vec<Edit>,
    kept: &mut Vec<Edit>,
    left_out: &mut dyn FnMut(Edit),
) {
    let mut tried = with.clone();
    if fits(&mut tried, &edits) {
        *with = tried;
        kept.append(&mut edits);
    } else if edits.len() <= 1 {
        edits.into_iter().for_each(left_out);
    } else {
        let second = edits.split_off(edits.len() / 2);
        keep_what_fits(with, edits, kept, left_out);
        keep_what_fits(with, second, kept, left_out);
    }
}

/// Makes edits in a scene; whether it is whole then.
fn fits(scene: &mut Scene, edits: &[Edit]) -> bool {
    edits.iter().all(|edit| edit.clone().apply(scene).is_ok())
        && check(scene).is_empty()
        && (!reaches_shapes(edits) || resolve(scene, None).is_ok())
}

/// Whether edits move or redraw something, so that only building the scene tells whether it holds.
fn reaches_shapes(edits: &[Edit]) -> bool {
    edits.iter().any(|edit| match edit {
        Edit::SetRoom { .. }
        | Edit::MoveWindow { .. }
        | Edit::SetLine { .. }
        | Edit::SetSightSize { .. }
        | Edit::SetBars { .. }
        | Edit::SetPiece { .. }
        | Edit::MovePiece { .. }
        | Edit::SetDrawing { .. } => true,
        Edit::Together { edits } => reaches_shapes(edits),
        _ => false,
    })
}
