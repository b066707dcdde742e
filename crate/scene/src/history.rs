//! Undo history: every action as two small patches of the scene and its variants.

use serde::{Deserialize, Serialize};

use crate::difference::difference;
use crate::document::{Scene, Variant};
use crate::edit::Edit;
use crate::fault::{Fault, Faults};

/// One action of the user.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Step {
    /// Its label, as in "Undo: glass of piece 84".
    pub(crate) words: String,
    /// The variant shown before it, and shown again after undo.
    pub(crate) shown_before: Option<String>,
    /// The variant shown after it.
    pub(crate) shown_after: Option<String>,
    /// The patch that undoes it.
    pub(crate) back: Patch,
    /// The patch that redoes it.
    pub(crate) forth: Patch,
}

/// The difference between two states of a scene, including its variants.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Patch {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) edits: Vec<Edit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) variants: Option<VariantsPatch>,
}

/// What changes in the list of variants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub(crate) enum VariantsPatch {
    /// Replaces the entire list.
    All(Vec<Variant>),
    /// Replaces part of one variant's edits; other variants stay unchanged.
    Edits { variant: usize, at: usize, out: usize, into: Vec<Edit> },
}

impl Patch {
    /// The patch that turns `from` into `to`.
    pub(crate) fn between(from: &Scene, to: &Scene) -> Self {
        Self { edits: difference(from, to), variants: variants_between(&from.variants, &to.variants) }
    }

    /// Whether it changes nothing.
    pub(crate) fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Applies it to a scene. On an error nothing has changed.
    ///
    /// # Errors
    /// The patch belongs to another scene.
    pub(crate) fn apply(&self, scene: &mut Scene) -> Result<(), Faults> {
        if let Some(VariantsPatch::Edits { variant, at, out, .. }) = &self.variants {
            let edits = scene.variants.get(*variant).map(|v| v.edits.len());
            let fits = |length| at.checked_add(*out).is_some_and(|end| end <= length);
            if !edits.is_some_and(fits) {
                return Err(of_another_scene(&"a variant that it does not have"));
            }
        }
        let edits = Edit::Together { edits: self.edits.clone() };
        edits.apply(scene).map_err(|error| of_another_scene(&error))?;
        match &self.variants {
            None => {}
            Some(VariantsPatch::All(variants)) => scene.variants.clone_from(variants),
            Some(VariantsPatch::Edits { variant, at, out, into }) => {
                scene.variants[*variant].edits.splice(*at..at + out, into.iter().cloned());
            }
        }
        scene.settle_version();
        Ok(())
    }
}

fn of_another_scene(found: &dyn std::fmt::Display) -> Faults {
    Faults(vec![Fault::new("", "a history of this scene", found.to_string())])
}

/// The patch from one list of variants to another; `None` if they are equal.
pub(crate) fn variants_between(from: &[Variant], to: &[Variant]) -> Option<VariantsPatch> {
    if from == to {
        return None;
    }
    let same_head = |(a, b): (&Variant, &Variant)| a.name == b.name && a.note == b.note;
    let mut changed = from.iter().zip(to).enumerate().filter(|(_, (a, b))| a.edits != b.edits);
    if from.len() == to.len()
        && from.iter().zip(to).all(same_head)
        && let (Some((variant, (a, b))), None) = (changed.next(), changed.next())
    {
        return edits_between(variant, &a.edits, &b.edits);
    }
    Some(VariantsPatch::All(to.to_vec()))
}

/// The patch from one list of a variant's edits to another; `None` if they are equal.
pub(crate) fn edits_between(variant: usize, from: &[Edit], to: &[Edit]) -> Option<VariantsPatch> {
    let head = from.iter().zip(to).take_while(|(x, y)| x == y).count();
    if head == from.len() && head == to.len() {
        return None;
    }
    let tail = from[head..].iter().rev().zip(to[head..].iter().rev()).take_while(|(x, y)| x == y).count();
    Some(VariantsPatch::Edits {
        variant,
        at: head,
        out: from.len() - tail - head,
        into: to[head..to.len() - tail].to_vec(),
    })
}
