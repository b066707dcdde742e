//! Changes to how a layer scatters: paint, dirt or corrosion, or glass of the scene's own.

use crate::document::{Lobe, OwnGlass, Scene, SheetKind};
use crate::edit::Edit;

/// What a change states of how something scatters; the rest stays.
#[derive(Clone, Copy)]
pub(crate) struct Scattering {
    pub(crate) scatters: Option<f64>,
    pub(crate) forwards: Option<f64>,
    pub(crate) half_width_deg: Option<f64>,
    /// What is not stated here is as usual again, instead.
    pub(crate) usual: bool,
}

impl Scattering {
    /// The share that is scattered.
    pub(crate) fn share(&self, before: Option<f64>) -> Option<f64> {
        self.scatters.or(before.filter(|_| !self.usual))
    }

    /// The lobe.
    pub(crate) fn lobe(&self, before: Option<&Lobe>) -> Option<Box<Lobe>> {
        let before = before.filter(|_| !self.usual).cloned().unwrap_or_default();
        let lobe = Lobe {
            share: self.forwards.or(before.share),
            half_width_deg: self.half_width_deg.or(before.half_width_deg),
            source: before.source,
        };
        lobe.kept()
    }
}

/// A glass of the scene's own, if it may scatter.
pub fn scattering_of_own<'a>(scene: &'a Scene, glass: &str) -> Option<&'a OwnGlass> {
    scene.glasses.get(glass).filter(|own| own.kind != Some(SheetKind::Clear))
}

/// The edits that change how glasses of the scene's own scatter, each once; none for others.
pub(crate) fn of_glasses<'a>(
    scene: &Scene,
    glasses: impl Iterator<Item = &'a str>,
    stated: &Scattering,
) -> Vec<Edit> {
    let mut ids: Vec<&str> = Vec::new();
    let mut edits = Vec::new();
    for id in glasses {
        let Some(own) = scattering_of_own(scene, id).filter(|_| !ids.contains(&id)) else { continue };
        ids.push(id);
        let diffuse_share = stated.scatters.unwrap_or(own.diffuse_share);
        let glass = OwnGlass { diffuse_share, lobe: stated.lobe(own.lobe.as_deref()), ..own.clone() };
        if glass != *own {
            edits.push(Edit::SetGlass { id: id.to_owned(), glass: Some(glass) });
        }
    }
    edits
}

/// How many pieces, of all windows, have one of the glasses that these edits change.
pub(crate) fn pieces_of(scene: &Scene, edits: &[Edit]) -> usize {
    let changes =
        |glass: &str| edits.iter().any(|edit| matches!(edit, Edit::SetGlass { id, .. } if id == glass));
    let pieces = scene.windows.iter().flat_map(|window| &window.pieces);
    pieces.filter(|piece| piece.makeup.plates.iter().any(|plate| changes(&plate.glass))).count()
}
