//! Actions on the variants themselves.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::difference::difference;
use crate::document::{Scene, Variant};
use crate::fault::{Fault, Faults};
use crate::variants::with_variant;

/// An action on the list of variants, or the choice of the one shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "variant", rename_all = "snake_case", deny_unknown_fields)]
pub enum VariantAction {
    /// Shows a variant, or the scene as drawn, without changing anything.
    Show {
        /// Its name; `null` for the scene as drawn.
        name: Option<String>,
    },
    /// Adds a variant equal to what is shown.
    Add {
        /// Its name.
        name: String,
        /// Its note.
        #[serde(default)]
        note: String,
    },
    /// Renames a variant.
    Rename {
        /// Its name.
        name: String,
        /// The new name.
        to: String,
    },
    /// Changes the note of a variant.
    Note {
        /// Its name.
        name: String,
        /// The new note.
        note: String,
    },
    /// Removes a variant.
    Remove {
        /// Its name.
        name: String,
    },
    /// Adds a copy of a variant.
    Duplicate {
        /// Its name.
        name: String,
        /// Name of the copy.
        to: String,
    },
    /// Applies a variant to the scene as drawn; what every other variant shows stays the same.
    MakeScene {
        /// Its name.
        name: String,
    },
}

/// Longest name and note, characters; the scene format sets the first limit too.
const LONGEST: [usize; 2] = [100, 4000];

/// The scene after an action, the variant shown then, and the action in words.
pub(crate) struct AfterAction {
    pub(crate) scene: Scene,
    pub(crate) shown: Option<String>,
    pub(crate) words: String,
}

/// The scene after an action. `present` is what is shown.
///
/// # Errors
/// No variant has the name, or another one already has the new name; a name is empty or too long.
pub(crate) fn after_action(
    base: &Scene,
    shown: Option<&str>,
    present: &Scene,
    action: &VariantAction,
) -> Result<AfterAction, Faults> {
    let mut scene = base.clone();
    let mut after = shown.map(str::to_owned);
    let words = match action {
        VariantAction::Show { name } => {
            if let Some(name) = name {
                index_of(base, name)?;
            }
            after.clone_from(name);
            String::new()
        }
        VariantAction::Add { name, note } => {
            let name = new_name(base, name, None)?;
            let edits = difference(base, present);
            scene.variants.push(Variant { name: name.clone(), note: note_text(note)?, edits });
            after = Some(name.clone());
            format!("new variant “{name}”")
        }
        VariantAction::Rename { name, to } => {
            let index = index_of(base, name)?;
            let to = new_name(base, to, Some(index))?;
            scene.variants[index].name.clone_from(&to);
            if shown == Some(name) {
                after = Some(to);
            }
            format!("name of variant “{name}”")
        }
        VariantAction::Note { name, note } => {
            scene.variants[index_of(base, name)?].note = note_text(note)?;
            format!("note of variant “{name}”")
        }
        VariantAction::Remove { name } => {
            scene.variants.remove(index_of(base, name)?);
            after = after.filter(|shown| shown != name);
            format!("removal of variant “{name}”")
        }
        VariantAction::Duplicate { name, to } => {
            let index = index_of(base, name)?;
            let to = new_name(base, to, None)?;
            scene.variants.insert(index + 1, Variant { name: to.clone(), ..base.variants[index].clone() });
            after = Some(to.clone());
            format!("new variant “{to}”")
        }
        VariantAction::MakeScene { name } => {
            index_of(base, name)?;
            let made = with_variant(base, Some(name))?;
            let mut others = Vec::with_capacity(base.variants.len());
            for other in base.variants.iter().filter(|v| v.name != *name) {
                let edits = difference(&made, &with_variant(base, Some(&other.name))?);
                others.push(Variant { edits, ..other.clone() });
            }
            scene = Scene { variants: others, ..made };
            after = after.filter(|shown| shown != name);
            format!("variant “{name}” applied to the scene")
        }
    };
    scene.settle_version();
    Ok(AfterAction { scene, shown: after, words })
}

fn fault(expected: impl Into<String>, found: impl Into<String>) -> Faults {
    Faults(vec![Fault::new("variants", expected, found)])
}

fn index_of(scene: &Scene, name: &str) -> Result<usize, Faults> {
    let found = scene.variants.iter().position(|v| v.name == name);
    found.ok_or_else(|| fault("the name of a variant of this scene", format!("“{name}”")))
}

fn new_name(scene: &Scene, name: &str, of: Option<usize>) -> Result<String, Faults> {
    let name = name.trim();
    let length = name.chars().count();
    if length == 0 || length > LONGEST[0] {
        let found = if length == 0 { "none".to_owned() } else { format!("{length} characters") };
        return Err(fault(format!("a name of 1 to {} characters", LONGEST[0]), found));
    }
    if scene.variants.iter().enumerate().any(|(i, v)| v.name == name && Some(i) != of) {
        return Err(fault("a name that no other variant has", format!("“{name}” a second time")));
    }
    Ok(name.to_owned())
}

fn note_text(note: &str) -> Result<String, Faults> {
    let length = note.chars().count();
    if length > LONGEST[1] {
        return Err(fault(
            format!("a note of at most {} characters", LONGEST[1]),
            format!("{length} characters"),
        ));
    }
    Ok(note.trim().to_owned())
}
