//! What can be taken back: every action as two small patches, of the scene and of its variants.

use scene::{Edit, Faults, Scene, Variant, difference};
use serde::{Deserialize, Serialize};

/// One action of the user.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Step {
    /// What it was, as in "Undo: glass of piece 84".
    pub(crate) words: String,
    /// The variant that was shown before it, and shows again when it is taken back.
    pub(crate) shown_before: Option<String>,
    /// The one shown after it.
    pub(crate) shown_after: Option<String>,
    /// Takes it back.
    pub(crate) back: Patch,
    /// Makes it again.
    pub(crate) forth: Patch,
}

/// The way from one state of a scene, its variants among it, to another.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Patch {
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    edits: Vec<Edit>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    variants: Option<VariantsPatch>,
}

#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
enum VariantsPatch {
    /// All of them anew.
    All(Vec<Variant>),
    /// Within the list of one variant's edits, the others untouched.
    Edits { variant: usize, at: usize, out: usize, into: Vec<Edit> },
}

impl Patch {
    /// What makes `from` into `to`.
    pub(crate) fn between(from: &Scene, to: &Scene) -> Self {
        Self { edits: difference(from, to), variants: variants_between(&from.variants, &to.variants) }
    }

    /// Whether it changes nothing.
    pub(crate) fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Whether it changes a variant.
    pub(crate) fn variants_change(&self) -> bool {
        self.variants.is_some()
    }

    /// Makes it in a scene.
    ///
    /// # Errors
    /// The patch is of another scene.
    pub(crate) fn apply(&self, scene: &mut Scene) -> Result<(), Faults> {
        for edit in &self.edits {
            edit.clone().apply(scene).map_err(|error| of_another_scene(&error))?;
        }
        match &self.variants {
            None => {}
            Some(VariantsPatch::All(variants)) => scene.variants.clone_from(variants),
            Some(VariantsPatch::Edits { variant, at, out, into }) => {
                let edits = scene.variants.get_mut(*variant).map(|v| &mut v.edits);
                let edits = edits.filter(|edits| at.checked_add(*out).is_some_and(|end| end <= edits.len()));
                let edits = edits.ok_or_else(|| of_another_scene(&"a variant that it does not have"))?;
                edits.splice(*at..at + out, into.iter().cloned());
            }
        }
        Ok(())
    }
}

fn of_another_scene(found: &dyn std::fmt::Display) -> Faults {
    Faults(vec![scene::Fault {
        path: String::new(),
        expected: "a history of this scene".to_owned(),
        found: found.to_string(),
    }])
}

fn variants_between(from: &[Variant], to: &[Variant]) -> Option<VariantsPatch> {
    if from == to {
        return None;
    }
    let same_head = |(a, b): (&Variant, &Variant)| a.name == b.name && a.note == b.note;
    let mut changed = from.iter().zip(to).enumerate().filter(|(_, (a, b))| a.edits != b.edits);
    if from.len() == to.len()
        && from.iter().zip(to).all(same_head)
        && let (Some((variant, (a, b))), None) = (changed.next(), changed.next())
    {
        let (a, b) = (&a.edits, &b.edits);
        let head = a.iter().zip(b).take_while(|(x, y)| x == y).count();
        let tail = a[head..].iter().rev().zip(b[head..].iter().rev()).take_while(|(x, y)| x == y).count();
        return Some(VariantsPatch::Edits {
            variant,
            at: head,
            out: a.len() - tail - head,
            into: b[head..b.len() - tail].to_vec(),
        });
    }
    Some(VariantsPatch::All(to.to_vec()))
}
