//! Reads and writes scene files. Reading is strict: a file is read completely or refused.

use serde_json::Value;

use crate::check::check;
use crate::document::Scene;
use crate::edit::Edit;
use crate::fault::{Fault, Faults};
use crate::file_size::{size_found, size_limit};
use crate::layout;
use crate::migrate;
use crate::schema;
use crate::syntax;
use crate::typed::typed;

/// Longer files are refused without reading, bytes. A window of 5 000 pieces takes about 2 MB.
pub const MOST_BYTES: usize = 64 << 20;

/// Reads a scene file.
///
/// # Errors
/// Every fault of the file, each with its path, what was expected and what was found. A file that is not JSON
/// has one fault, with line and column.
pub fn read(text: &str) -> Result<Scene, Faults> {
    from_document(parse(text)?)
}

/// Reads a scene that is part of something larger.
///
/// # Errors
/// As [`read`].
pub(crate) fn from_document(document: Value) -> Result<Scene, Faults> {
    let document = migrate::scene(document)?;
    Faults::none_or(schema::faults(&document))?;
    let mut scene: Scene = from_value(document)?;
    scene.settle_version();
    Faults::none_or(check(&scene))?;
    Ok(scene)
}

/// Reads one edit, as the page and its worker exchange them.
///
/// # Errors
/// As [`read`].
pub fn read_edit(text: &str) -> Result<Edit, Faults> {
    edit_from_value(parse(text)?)
}

/// Reads an edit of the current version.
///
/// # Errors
/// As [`read`].
pub(crate) fn edit_from_value(value: Value) -> Result<Edit, Faults> {
    Faults::none_or(schema::faults_of_part(&value, "Edit"))?;
    from_value(value)
}

/// The scene as the text of a file; [`read`] gives an equal scene.
pub fn write(scene: &Scene) -> String {
    // Plain data with string keys always serialises; `read` would refuse an empty text.
    layout::on_lines(&serde_json::to_string(scene).unwrap_or_default()) + "\n"
}

pub(crate) fn parse(text: &str) -> Result<Value, Faults> {
    if text.len() > MOST_BYTES {
        let wanted = format!("a file of at most {}", size_limit(MOST_BYTES as u64));
        return Err(Faults(vec![Fault::new("", wanted, size_found(text.len() as u64))]));
    }
    let text = text.trim_start_matches('\u{feff}');
    if text.trim().is_empty() {
        return Err(Faults(vec![Fault::new("", "a scene in JSON", "an empty file")]));
    }
    serde_json::from_str(text).map_err(|error| Faults(vec![syntax::fault(text, &error)]))
}

pub(crate) fn from_value<T: serde::de::DeserializeOwned>(value: Value) -> Result<T, Faults> {
    typed(value).map_err(|error| {
        Faults(vec![Fault::new(
            "",
            "a document that fits the schema",
            format!("one that does not ({error})"),
        )])
    })
}
