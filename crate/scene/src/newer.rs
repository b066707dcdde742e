//! What a document has although the version that it states did not: a newer field in an older version is an error,
//! in the scene itself as in the edits of its variants, its history and its journal.

use serde_json::Value;

use crate::document::{VERSION_WITH_ATTACHMENTS, VERSION_WITH_OUTDOORS, VERSION_WITH_WORKING_PLANES};
use crate::fault::{Fault, Faults};

/// A field, or an edit that sets it, that came with a version.
struct Newer {
    /// The first version that has it.
    since: u32,
    name: &'static str,
    /// Where it is; empty at the top level of a scene.
    within: String,
}

/// Checks a scene that states this version.
///
/// # Errors
/// It has what the version did not have.
pub(crate) fn in_scene(scene: &Value, version: u32) -> Result<(), Faults> {
    let mut found = Vec::new();
    if has_planes(scene) {
        found.push(plane(String::new()));
    }
    of_horizon(scene, "", &mut found);
    if scene.get("attachments").is_some() {
        found.push(attachments(String::new()));
    }
    for (id, glass) in scene.get("glasses").and_then(Value::as_object).into_iter().flatten() {
        of_glass(glass, &format!("glasses.{id}"), &mut found);
    }
    for (k, window) in list(scene, "windows").enumerate() {
        let path = format!("windows[{k}]");
        if window.get("wall").is_some() {
            found.push(outdoors("wall", &path));
        }
        of_deposits(window, &path, &mut found);
        of_pieces(window, &path, &mut found);
    }
    of_variants(scene, "", &mut found);
    refuse(found, version)
}

/// Checks an edit of this version.
///
/// # Errors
/// As [`in_scene`].
pub(crate) fn in_edit(edit: &Value, version: u32) -> Result<(), Faults> {
    let mut found = Vec::new();
    of_edit(edit, "edit", &mut found);
    refuse(found, version)
}

fn refuse(found: Vec<Newer>, version: u32) -> Result<(), Faults> {
    let newer = found.into_iter().filter(|one| one.since > version);
    // The newest of them tells which version is needed.
    let Some(Newer { since, name, within }) = newer.reduce(|a, b| if b.since > a.since { b } else { a })
    else {
        return Ok(());
    };
    let place = if within.is_empty() { within } else { format!(" (in {within})") };
    let wanted = format!("{since}, the first version that has `{name}`{place}");
    Err(Faults(vec![Fault::new("clerestory", wanted, format!("version {version}"))]))
}

fn plane(within: String) -> Newer {
    Newer { since: VERSION_WITH_WORKING_PLANES, name: "working_plane", within }
}

fn attachments(within: String) -> Newer {
    Newer { since: VERSION_WITH_ATTACHMENTS, name: "attachments", within }
}

fn of_edit(edit: &Value, path: &str, found: &mut Vec<Newer>) {
    match edit.get("edit").and_then(Value::as_str) {
        Some("set_places") if has_planes(edit) => found.push(plane(path.to_owned())),
        Some("set_horizon") => of_horizon(edit, path, found),
        Some("set_attachment") => found.push(attachments(path.to_owned())),
        Some("set_wall") if edit.get("wall").is_some_and(|wall| !wall.is_null()) => {
            found.push(outdoors("wall", path));
        }
        Some("set_deposits") => found.push(outdoors("set_deposits", path)),
        Some("set_glass") => {
            if let Some(glass) = edit.get("glass") {
                of_glass(glass, path, found);
            }
        }
        Some("set_makeup") => of_makeup(edit, path, found),
        Some("set_piece") => {
            if let Some(entry) = edit.get("to") {
                of_makeup(entry, path, found);
            }
        }
        Some("set_drawing") => of_pieces(edit, path, found),
        Some("together") => of_edits(edit, path, found),
        Some("set_variants") => of_variants(edit, &format!("{path}."), found),
        _ => {}
    }
}

/// Fields of a horizon that came with version 5.
fn of_horizon(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    let Some(horizon) = holder.get("horizon") else { return };
    let names = ["own_building", "blocks", "floor_above_ground_m"].into_iter();
    found.extend(names.filter(|name| horizon.get(*name).is_some()).map(|name| outdoors(name, path)));
}

fn outdoors(name: &'static str, within: &str) -> Newer {
    Newer { since: VERSION_WITH_OUTDOORS, name, within: within.to_owned() }
}

fn of_deposits(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    if holder.get("deposits").is_some() {
        found.push(outdoors("deposits", path));
    }
}

/// `holder`: of a `makeup`.
fn of_makeup(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    if let Some(makeup) = holder.get("makeup") {
        of_deposits(makeup, path, found);
        if list(makeup, "plates").any(|plate| plate.get("thickness_sd_mm").is_some()) {
            found.push(outdoors("thickness_sd_mm", path));
        }
        for paint in list(makeup, "paint") {
            let newer = ["scatters", "lobe"].into_iter().filter(|name| paint.get(*name).is_some());
            found.extend(newer.map(|name| outdoors(name, path)));
        }
    }
}

fn of_pieces(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    for (k, piece) in list(holder, "pieces").enumerate() {
        of_makeup(piece, &format!("{path}.pieces[{k}]"), found);
    }
}

fn of_glass(glass: &Value, path: &str, found: &mut Vec<Newer>) {
    let newer =
        ["kind", "flash", "streak", "sheets", "lobe"].into_iter().filter(|name| glass.get(*name).is_some());
    found.extend(newer.map(|name| outdoors(name, path)));
    if glass.get("colour").is_some_and(|colour| colour.get("total").is_some()) {
        found.push(outdoors("total", path));
    }
}

fn of_edits(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    for (k, edit) in list(holder, "edits").enumerate() {
        of_edit(edit, &format!("{path}.edits[{k}]"), found);
    }
}

/// `path`: of the holder, with the point that follows it.
fn of_variants(holder: &Value, path: &str, found: &mut Vec<Newer>) {
    let mut inside = Vec::new();
    for (k, variant) in list(holder, "variants").enumerate() {
        of_edits(variant, &format!("{path}variants[{k}]"), &mut inside);
    }
    // No version has attachments in a variant: that is a fault of its own.
    found.extend(inside.into_iter().filter(|one| one.since != VERSION_WITH_ATTACHMENTS));
}

fn has_planes(holder: &Value) -> bool {
    list(holder, "places").any(|place| place.get("working_plane").is_some())
}

fn list<'a>(value: &'a Value, name: &str) -> impl Iterator<Item = &'a Value> {
    value.get(name).and_then(Value::as_array).into_iter().flatten()
}
