//! Snow on the ground: what the ground becomes, and what it was before.

use daylight::{Ground, GroundKind};

use crate::document::{Reflectance, Variant};
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
    /// The ground shown, without any snow on it: the last ground without snow that the scene as drawn had, or, if a
    /// variant is shown, that this variant had. A variant that had no ground of its own before its snow has the ground
    /// of the scene as drawn. If none is known, as far as the history goes back, it is the grey of [`Ground::default`].
    pub fn ground_without_snow(&self) -> Reflectance {
        let mut past = Past::of(self);
        let drawn = bare(&self.file().ground);
        let ground = |past: &Past<'_>| match (past.own(), &drawn) {
            (Some(own), _) => bare(own),
            (None, Some(drawn)) => Some(drawn.clone()),
            (None, None) => bare(past.drawn),
        };
        ground(&past)
            .or_else(|| self.history().0.iter().rev().find_map(|step| ground(past.before(step))))
            .or_else(|| drawn.clone())
            .unwrap_or(Reflectance::Grey(Ground::default().albedo.max()))
    }
}

fn bare(ground: &Reflectance) -> Option<Reflectance> {
    (*ground != Reflectance::fresh_snow()).then(|| ground.clone())
}

/// The grounds of the scene as drawn and of one variant, taken back step by step.
struct Past<'a> {
    /// The ground of the scene as drawn.
    drawn: &'a Reflectance,
    /// The variant; `None` if the scene as drawn is shown, and before the variant was there.
    variant: Option<VariantThen<'a>>,
}

/// A variant at some time.
struct VariantThen<'a> {
    index: usize,
    name: &'a str,
    /// How many variants there were.
    of: usize,
    /// What each of its edits sets the ground to.
    grounds: Vec<Option<&'a Reflectance>>,
}

impl<'a> Past<'a> {
    fn of(open: &'a OpenScene) -> Self {
        let variants = &open.file().variants;
        let shown = variants.iter().position(|variant| Some(variant.name.as_str()) == open.shown());
        let variant = shown.map(|index| VariantThen::of(variants, index));
        Self { drawn: &open.file().ground, variant }
    }

    /// The ground that the variant sets itself.
    fn own(&self) -> Option<&'a Reflectance> {
        self.variant.as_ref()?.grounds.iter().rev().copied().flatten().next()
    }

    /// As it was before a step.
    fn before(&mut self, step: &'a Step) -> &Self {
        self.drawn = step.back.edits.iter().rev().find_map(set_ground).unwrap_or(self.drawn);
        if let Some(patch) = &step.back.variants {
            self.variant = self.variant.take().and_then(|variant| variant.before(patch));
        }
        self
    }
}

impl<'a> VariantThen<'a> {
    fn of(variants: &'a [Variant], index: usize) -> Self {
        let Variant { name, edits, .. } = &variants[index];
        Self { index, name, of: variants.len(), grounds: grounds(edits) }
    }

    /// As it was before a step that changed the list of variants.
    fn before(mut self, back: &'a VariantsPatch) -> Option<Self> {
        match back {
            VariantsPatch::Edits { variant, at, out, into } if *variant == self.index => {
                let end = at.checked_add(*out).filter(|end| *end <= self.grounds.len())?;
                self.grounds.splice(*at..end, grounds(into));
                Some(self)
            }
            VariantsPatch::Edits { .. } => Some(self),
            VariantsPatch::All(variants) => {
                let same = variants.iter().position(|variant| variant.name == self.name);
                // A step that leaves their number and loses a name has renamed that variant.
                let index = same.or((variants.len() == self.of).then_some(self.index))?;
                Some(Self::of(variants, index))
            }
        }
    }
}

/// What each edit sets the ground to.
fn grounds(edits: &[Edit]) -> Vec<Option<&Reflectance>> {
    edits.iter().map(set_ground).collect()
}

fn set_ground(edit: &Edit) -> Option<&Reflectance> {
    match edit {
        Edit::SetGround { ground } => Some(ground),
        Edit::Together { edits } => edits.iter().rev().find_map(set_ground),
        _ => None,
    }
}
