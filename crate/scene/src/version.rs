//! The version that a document states: the oldest that can hold it, so that older programs read what they can.

use crate::document::{
    FIRST_VERSION_WRITTEN, Horizon, Scene, VERSION_WITH_ATTACHMENTS, VERSION_WITH_OUTDOORS,
    VERSION_WITH_WORKING_PLANES, ViewingPlace,
};
use crate::edit::Edit;

impl Scene {
    /// Sets the version to the oldest that can hold the scene and its variants.
    pub(crate) fn settle_version(&mut self) {
        let attached =
            if self.attachments.is_empty() { FIRST_VERSION_WRITTEN } else { VERSION_WITH_ATTACHMENTS };
        let edits = self.variants.iter().flat_map(|variant| &variant.edits);
        self.clerestory =
            attached.max(of_places(&self.places)).max(of_horizon(&self.horizon)).max(of_edits(edits));
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
    if horizon.has_buildings() { VERSION_WITH_OUTDOORS } else { FIRST_VERSION_WRITTEN }
}
