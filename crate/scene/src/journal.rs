//! The journal: the user's actions, one by one.

use serde_json::{Value, json};

use crate::document::FIRST_VERSION_WRITTEN;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::migrate;
use crate::read::{edit_from_value, from_value, parse};
use crate::variant_action::VariantAction;
use crate::version;

/// One user action, as recorded in the journal.
#[derive(Clone, Debug, PartialEq)]
#[allow(
    clippy::large_enum_variant,
    reason = "few exist at a time, most are edits, and they are large on 64 bits only"
)]
pub enum Action {
    /// An edit of what was shown then.
    Edit(Edit),
    /// An action on the variants.
    Variant(VariantAction),
    /// Undo of the last action.
    Undo,
    /// Redo of the last undone action.
    Redo,
}

impl Action {
    /// The action as text for [`Action::read`].
    pub fn write(&self) -> String {
        let value = match self {
            Self::Edit(edit) => json!({ "clerestory": version::of_edit(edit), "edit": edit }),
            Self::Variant(action) => json!({ "clerestory": FIRST_VERSION_WRITTEN, "variant": action }),
            Self::Undo => json!({ "clerestory": FIRST_VERSION_WRITTEN, "step": "undo" }),
            Self::Redo => json!({ "clerestory": FIRST_VERSION_WRITTEN, "step": "redo" }),
        };
        value.to_string()
    }

    /// Reads an action of this version or an older one.
    ///
    /// # Errors
    /// The text is not an action, it is from a newer version, or it has what its version did not have.
    pub fn read(text: &str) -> Result<Self, Faults> {
        let value = parse(text)?;
        if value.get("clerestory").is_none() {
            return first_form(&value);
        }
        let version = migrate::version_of(&value)?;
        let fields = value.as_object().into_iter().flatten().filter(|(name, _)| *name != "clerestory");
        match fields.collect::<Vec<_>>()[..] {
            [(name, edit)] if name == "edit" => {
                edit_from_value(migrate::edit(edit.clone(), version)?).map(Self::Edit)
            }
            [(name, action)] if name == "variant" => from_value(action.clone()).map(Self::Variant),
            [(name, step)] if name == "step" && step == "undo" => Ok(Self::Undo),
            [(name, step)] if name == "step" && step == "redo" => Ok(Self::Redo),
            _ => Err(no_action(text)),
        }
    }
}

/// Version 1 stated no version and held edits as JSON text inside a JSON string.
fn first_form(value: &Value) -> Result<Action, Faults> {
    let inner = |name: &str| value.get(name).and_then(Value::as_str).map(parse);
    match (value.as_str(), inner("edit"), inner("vary")) {
        (Some("undo"), _, _) => Ok(Action::Undo),
        (Some("redo"), _, _) => Ok(Action::Redo),
        (None, Some(edit), None) => edit_from_value(migrate::edit(edit?, 1)?).map(Action::Edit),
        (None, None, Some(action)) => from_value(action?).map(Action::Variant),
        _ => Err(no_action(&value.to_string())),
    }
}

fn no_action(text: &str) -> Faults {
    let found: String = text.chars().take(80).collect();
    Faults(vec![Fault::new("", "an action of the journal", format!("“{found}”"))])
}
