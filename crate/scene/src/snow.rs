//! Snow on the ground: what the ground becomes, and what it was before.

use daylight::{Ground, GroundKind};

use crate::document::Reflectance;
use crate::edit::Edit;
use crate::history::{Step, VariantsPatch};
use crate::open_scene::OpenScene;

impl Reflectance {
    /// Fresh snow, [`GroundKind::Snow`].
    pub fn fresh_snow() -> Self {
        Self::Material(GroundKind::Snow.name().to_owned())
    }
}

impl OpenScene {
    /// The ground shown, without any snow on it: the last one that was not snow, as far as the history goes back, or
    /// that of the scene as drawn if only a variant has snow. If none is known, the grey of [`Ground::default`].
    pub fn ground_without_snow(&self) -> Reflectance {
        let bare = |ground: &Reflectance| (*ground != Reflectance::fresh_snow()).then(|| ground.clone());
        let before = || self.history().0.iter().rev().find_map(|step| before(step).find_map(bare));
        bare(&self.resolved().scene.ground)
            .or_else(before)
            .or_else(|| bare(&self.file().ground))
            .unwrap_or(Reflectance::Grey(Ground::default().albedo.max()))
    }
}

/// The grounds that undoing a step brings back, in the scene as drawn and in its variants.
fn before(step: &Step) -> impl Iterator<Item = &Reflectance> {
    let of_variants = match &step.back.variants {
        Some(VariantsPatch::Edits { into, .. }) => into.as_slice(),
        Some(VariantsPatch::All(_)) | None => &[],
    };
    step.back.edits.iter().chain(of_variants).flat_map(grounds)
}

fn grounds(edit: &Edit) -> Vec<&Reflectance> {
    match edit {
        Edit::SetGround { ground } => vec![ground],
        Edit::Together { edits } => edits.iter().flat_map(grounds).collect(),
        _ => Vec::new(),
    }
}
