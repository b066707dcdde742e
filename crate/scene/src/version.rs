//! The version that a document states: the oldest that can hold it, so that older programs read what they can.

use crate::document::{
    FIRST_VERSION_WRITTEN, Horizon, Makeup, OwnGlass, Scene, VERSION_WITH_ATTACHMENTS, VERSION_WITH_OUTDOORS,
    VERSION_WITH_WORKING_PLANES, ViewingPlace,
};
use crate::edit::Edit;

impl Scene {
    /// Sets the version to the oldest that can hold the scene and its variants.
    pub(crate) fn settle_version(&mut self) {
        let attached =
            if self.attachments.is_empty() { FIRST_VERSION_WRITTEN } else { VERSION_WITH_ATTACHMENTS };
        let edits = self.variants.iter().flat_map(|variant| &variant.edits);
        let deposited = self.windows.iter().any(|window| {
            window.wall.is_some()
                || !window.deposits.is_empty()
                || window.pieces.iter().any(|piece| newer_makeup(&piece.makeup))
        });
        let glass = deposited || self.glasses.values().any(newer_glass);
        self.clerestory = attached
            .max(of_places(&self.places))
            .max(of_horizon(&self.horizon))
            .max(of_edits(edits))
            .max(with_outdoors_if(glass));
    }
}

/// The oldest version that can hold these edits.
pub(crate) fn of_edits<'a>(edits: impl Iterator<Item = &'a Edit>) -> u32 {
    edits.map(of_edit).max().unwrap_or(FIRST_VERSION_WRITTEN)
}

/// The oldest version that can hold an edit.
pub(crate) fn of_edit(edit: &Edit) -> u32 {
    match edit {
        Edit::SetAttachment { .. } => VERSION_WITH_ATTACHMENTS,
        Edit::SetPlaces { places } => of_places(places),
        Edit::SetHorizon { horizon } => of_horizon(horizon),
        Edit::SetDeposits { .. } => VERSION_WITH_OUTDOORS,
        Edit::SetWall { wall, .. } => with_outdoors_if(wall.is_some()),
        Edit::SetGlass { glass, .. } => with_outdoors_if(glass.as_ref().is_some_and(newer_glass)),
        Edit::SetMakeup { makeup, .. } => with_outdoors_if(newer_makeup(makeup)),
        Edit::SetPiece { to, .. } => {
            with_outdoors_if(to.as_ref().is_some_and(|entry| newer_makeup(&entry.makeup)))
        }
        Edit::SetDrawing { pieces, .. } => {
            with_outdoors_if(pieces.iter().any(|piece| newer_makeup(&piece.makeup)))
        }
        Edit::Together { edits } => of_edits(edits.iter()),
        Edit::SetVariants { variants } => of_edits(variants.iter().flat_map(|variant| &variant.edits)),
        _ => FIRST_VERSION_WRITTEN,
    }
}

fn of_places(places: &[ViewingPlace]) -> u32 {
    let new = places.iter().any(|place| place.working_plane.is_some());
    if new { VERSION_WITH_WORKING_PLANES } else { FIRST_VERSION_WRITTEN }
}

fn of_horizon(horizon: &Horizon) -> u32 {
    with_outdoors_if(horizon.has_buildings())
}

fn with_outdoors_if(newer: bool) -> u32 {
    if newer { VERSION_WITH_OUTDOORS } else { FIRST_VERSION_WRITTEN }
}

fn newer_glass(glass: &OwnGlass) -> bool {
    glass.newest().is_some()
}

fn newer_makeup(makeup: &Makeup) -> bool {
    !makeup.deposits.is_empty()
        || makeup.plates.iter().any(|plate| plate.thickness_sd_mm.is_some())
        || makeup.paint.iter().any(|paint| paint.scatters.is_some() || paint.lobe.is_some())
}
