//! Variants: named sets of differences from the scene, fitted to it when it changes.

use crate::check::check;
use crate::document::Scene;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::resolve::resolve;

/// The scene as one of its variants has it, or as drawn where no name is given. It has no variants of its own.
///
/// # Errors
/// There is no variant of that name; one of its edits names something that is not there.
pub fn with_variant(scene: &Scene, variant: Option<&str>) -> Result<Scene, Faults> {
    let mut with = without_variants(scene);
    let Some(name) = variant else { return Ok(with) };
    let Some(found) = scene.variants.iter().find(|v| v.name == name) else {
        let names: Vec<String> = scene.variants.iter().map(|v| format!("“{}”", v.name)).collect();
        let wanted = if names.is_empty() {
            "no variant: this scene has none".to_owned()
        } else {
            format!("one of the variants {}", names.join(", "))
        };
        return Err(Faults(vec![Fault::new("variants", wanted, format!("“{name}”"))]));
    };
    for (k, edit) in found.edits.iter().enumerate() {
        edit.clone().apply(&mut with).map_err(|error| {
            let path = format!("variants “{name}”: edits[{k}]");
            Faults(vec![Fault::new(path, "a change of something that is there", error.to_string())])
        })?;
    }
    Ok(with)
}

/// The scene as drawn, its list of variants left out.
fn without_variants(scene: &Scene) -> Scene {
    Scene {
        clerestory: scene.clerestory,
        name: scene.name.clone(),
        note: scene.note.clone(),
        site: scene.site.clone(),
        at: scene.at.clone(),
        sky: scene.sky.clone(),
        ground: scene.ground.clone(),
        horizon: scene.horizon.clone(),
        room: scene.room.clone(),
        windows: scene.windows.clone(),
        glasses: scene.glasses.clone(),
        places: scene.places.clone(),
        viewer: scene.viewer,
        variants: Vec::new(),
    }
}

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
