//! Reading and writing a scene file: strict, whole or not at all.

use serde_json::Value;

use crate::check::check;
use crate::document::{FORMAT_VERSION, Scene};
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::schema;
use crate::syntax;

/// Longer files are refused unread, bytes. A window of 5 000 pieces takes about 2 MB.
pub const MOST_BYTES: usize = 64 << 20;

/// Reads a scene file.
///
/// # Errors
/// Every fault that the file has, each with its path, what was expected and what was found. A file that is no JSON
/// has one fault, with line and column.
pub fn read(text: &str) -> Result<Scene, Faults> {
    let document = migrate(parse(text)?)?;
    Faults::none_or(schema::faults(&document))?;
    let scene: Scene = from_value(document)?;
    Faults::none_or(check(&scene))?;
    Ok(scene)
}

/// Reads one edit, as the page and its worker exchange them.
///
/// # Errors
/// As [`read`].
pub fn read_edit(text: &str) -> Result<Edit, Faults> {
    let value = parse(text)?;
    Faults::none_or(schema::faults_of_part(&value, "Edit"))?;
    from_value(value)
}

/// The scene as the text of a file: one that [`read`] takes back to an equal scene.
pub fn write(scene: &Scene) -> String {
    // Plain data with text keys always serialises; an empty text would be refused by `read`.
    serde_json::to_string_pretty(scene).unwrap_or_default() + "\n"
}

fn parse(text: &str) -> Result<Value, Faults> {
    if text.len() > MOST_BYTES {
        let found = format!("{} bytes", text.len());
        return Err(Faults(vec![Fault::new("", format!("a file of at most {MOST_BYTES} bytes"), found)]));
    }
    let text = text.trim_start_matches('\u{feff}');
    if text.trim().is_empty() {
        return Err(Faults(vec![Fault::new("", "a scene in JSON", "an empty file")]));
    }
    serde_json::from_str(text).map_err(|error| Faults(vec![syntax::fault(text, &error)]))
}

/// Takes a document of an older version to the present one. There is no older version yet.
fn migrate(document: Value) -> Result<Value, Faults> {
    let Some(fields) = document.as_object() else {
        return Err(Faults(vec![Fault::new(
            "",
            "an object that begins with `\"clerestory\": 1`",
            "something else",
        )]));
    };
    match fields.get("clerestory") {
        Some(version) if version.as_u64().is_some_and(|v| v > u64::from(FORMAT_VERSION)) => {
            let wanted = format!("version {FORMAT_VERSION}; update Clerestory to open this file");
            Err(Faults(vec![Fault::new("clerestory", wanted, format!("version {version}"))]))
        }
        Some(_) => Ok(document),
        None => {
            let wanted = format!("{FORMAT_VERSION}, which marks the file as a scene");
            Err(Faults(vec![Fault::new("clerestory", wanted, "nothing: the field is missing")]))
        }
    }
}

fn from_value<T: serde::de::DeserializeOwned>(value: Value) -> Result<T, Faults> {
    serde_json::from_value(value).map_err(|error| {
        Faults(vec![Fault::new(
            "",
            "a document that fits the schema",
            format!("one that does not ({error})"),
        )])
    })
}
