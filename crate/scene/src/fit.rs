//! Fits variants to a scene that has changed.

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

/// Removes from every variant the edits that no longer fit a changed, valid scene: edits of removed pieces,
/// removed glasses, positions outside a smaller room. Every edit that still fits the scene and the edits
/// before it stays. Returns the edits removed.
pub fn fit_variants(scene: &mut Scene) -> Vec<LeftOut> {
    let mut left_out = Vec::new();
    let base = without_variants(scene);
    for variant in &mut scene.variants {
        if !fits(&mut base.clone(), &variant.edits) {
            let mut kept = Vec::with_capacity(variant.edits.len());
            let units = units(std::mem::take(&mut variant.edits));
            keep_what_fits(&mut base.clone(), units, &mut kept, &mut |edit| {
                left_out.push(LeftOut { variant: variant.name.clone(), edit });
            });
            variant.edits = kept;
        }
    }
    scene.settle_version();
    left_out
}

/// Groups edits that are valid only together: those that redraw one window form one unit, at the place of the
/// first.
fn units(edits: Vec<Edit>) -> Vec<Vec<Edit>> {
    let mut units: Vec<Vec<Edit>> = Vec::new();
    let mut redrawn: Vec<(String, usize)> = Vec::new();
    for edit in edits {
        let window = match &edit {
            Edit::SetLine { window, .. }
            | Edit::SetSightSize { window, .. }
            | Edit::SetPiece { window, .. }
            | Edit::MovePiece { window, .. } => Some(window.clone()),
            _ => None,
        };
        match window.as_ref().and_then(|window| redrawn.iter().find(|(known, _)| known == window)) {
            Some((_, unit)) => units[*unit].push(edit),
            None => {
                redrawn.extend(window.map(|window| (window, units.len())));
                units.push(vec![edit]);
            }
        }
    }
    units
}

/// Halves a list until each part fits or is a single unit that does not, so that few faults cost few checks.
fn keep_what_fits(
    with: &mut Scene,
    mut units: Vec<Vec<Edit>>,
    kept: &mut Vec<Edit>,
    left_out: &mut dyn FnMut(Edit),
) {
    let mut tried = with.clone();
    let edits: Vec<Edit> = units.iter().flatten().cloned().collect();
    if fits(&mut tried, &edits) {
        *with = tried;
        kept.extend(edits);
    } else if units.len() <= 1 {
        let one = |mut unit: Vec<Edit>| {
            if unit.len() == 1 { unit.remove(0) } else { Edit::Together { edits: unit } }
        };
        units.into_iter().map(one).for_each(left_out);
    } else {
        let second = units.split_off(units.len() / 2);
        keep_what_fits(with, units, kept, left_out);
        keep_what_fits(with, second, kept, left_out);
    }
}

/// Applies edits to a scene and tells whether it is valid afterwards.
fn fits(scene: &mut Scene, edits: &[Edit]) -> bool {
    edits.iter().all(|edit| edit.clone().apply(scene).is_ok())
        && check(scene).is_empty()
        && (!reaches_shapes(edits) || resolve(scene, None).is_ok())
}

/// Whether edits move or redraw something, so that only building the scene shows whether it is valid.
fn reaches_shapes(edits: &[Edit]) -> bool {
    edits.iter().any(|edit| match edit {
        Edit::SetRoom { .. }
        | Edit::SetWall { .. }
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
