//! Migrates documents of older versions: scene, edits, variants, history and journal by the same steps.
//!
//! Version 5 added the wall around windows, deposits on glass and more about own glasses, in the same way.
//!
//! Version 4 added working planes to viewing positions, in the same way.
//!
//! Version 3 added attachments: nothing in an older document changes, and one without attachments is still of version 2.
//!
//! Version 2 gave cutlines numbers. In a file of version 1 they are numbered in order from 1, and so are
//! those in the edits of its history: a line restored by undo gets its old number.

use serde_json::Value;

use crate::document::FORMAT_VERSION;
use crate::fault::{Fault, Faults};
use crate::newer;

/// Migrates a scene of an older version to the current one.
///
/// # Errors
/// The version is missing or newer, or it did not have what the document has.
pub(crate) fn scene(mut document: Value) -> Result<Value, Faults> {
    let version = version_of(&document)?;
    for from in version..FORMAT_VERSION {
        if from == 1 {
            scene_to_2(&mut document);
        }
    }
    newer::in_scene(&document, version)?;
    if version < FORMAT_VERSION {
        document["clerestory"] = FORMAT_VERSION.into();
    }
    Ok(document)
}

/// Migrates an edit of an older version to the current one.
///
/// # Errors
/// It has what its version did not have.
pub(crate) fn edit(edit: Value, version: u32) -> Result<Value, Faults> {
    newer::in_edit(&edit, version)?;
    Ok(edit_of_any_age(edit, version))
}

/// The same for an edit whose version is not known for certain: it may have what the version did not have.
pub(crate) fn edit_of_any_age(mut edit: Value, version: u32) -> Value {
    for from in version..FORMAT_VERSION {
        if from == 1 {
            edit_to_2(&mut edit);
        }
    }
    edit
}

/// The version that a scene, or anything else with the same field, states. An invalid value counts as the
/// current version, so that the schema check reports it.
///
/// # Errors
/// The version is missing or newer.
pub(crate) fn version_of(document: &Value) -> Result<u32, Faults> {
    let Some(fields) = document.as_object() else {
        let wanted = format!("an object that begins with `\"clerestory\": {FORMAT_VERSION}`");
        return Err(Faults(vec![Fault::new("", wanted, "something else")]));
    };
    match fields.get("clerestory") {
        Some(version) if version.as_u64().is_some_and(|v| v > u64::from(FORMAT_VERSION)) => {
            let wanted = format!("version {FORMAT_VERSION}; update Clerestory to open this file");
            Err(Faults(vec![Fault::newer("clerestory", wanted, format!("version {version}"))]))
        }
        Some(version) => {
            let known = version.as_u64().and_then(|v| u32::try_from(v).ok()).filter(|v| *v >= 1);
            Ok(known.unwrap_or(FORMAT_VERSION))
        }
        None => {
            let wanted = format!("{FORMAT_VERSION}, which marks the file as a scene");
            Err(Faults(vec![Fault::new("clerestory", wanted, "nothing: the field is missing")]))
        }
    }
}

fn scene_to_2(scene: &mut Value) {
    for window in list(scene, "windows") {
        drawing_to_2(window);
    }
    for variant in list(scene, "variants") {
        list(variant, "edits").for_each(edit_to_2);
    }
}

fn edit_to_2(edit: &mut Value) {
    match edit.get("edit").and_then(Value::as_str) {
        Some("set_drawing") => drawing_to_2(edit),
        Some("together") => list(edit, "edits").for_each(edit_to_2),
        Some("set_variants") => {
            for variant in list(edit, "variants") {
                list(variant, "edits").for_each(edit_to_2);
            }
        }
        _ => {}
    }
}

/// Numbers the cutlines of the `drawing` in `holder`, if there is one.
fn drawing_to_2(holder: &mut Value) {
    let Some(drawing) = holder.get_mut("drawing") else { return };
    for (index, line) in list(drawing, "cutlines").enumerate() {
        if let Some(fields) = line.as_object_mut() {
            fields.entry("id").or_insert_with(|| (index + 1).into());
        }
    }
}

fn list<'a>(value: &'a mut Value, name: &str) -> impl Iterator<Item = &'a mut Value> {
    value.get_mut(name).and_then(Value::as_array_mut).into_iter().flatten()
}
