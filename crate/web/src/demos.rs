//! The demo scenes, compiled in so that the first visit needs no file.

use serde::Deserialize;
use serde_json::json;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;

/// Id and text, the one shown first at the head.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    ("estuary-lancet", include_str!("../../../demo-scenes/estuary-lancet.json")),
    ("north-corridor", include_str!("../../../demo-scenes/north-corridor.json")),
    ("small-rose", include_str!("../../../demo-scenes/small-rose.json")),
];

/// What the list says of a demo; the rest of its file is passed over, which takes a hundredth of reading it.
#[derive(Deserialize)]
struct Title {
    name: String,
    note: Option<String>,
}

/// JSON list of `{id, name, note}`.
#[wasm_bindgen]
pub fn demo_names() -> String {
    let list: Vec<_> = DEMOS
        .iter()
        .filter_map(|(id, text)| {
            let Title { name, note } = serde_json::from_str(text).ok()?;
            Some(json!({ "id": id, "name": name, "note": note }))
        })
        .collect();
    json!(list).to_string()
}

/// The scene file of a demo.
///
/// # Errors
/// There is no demo of that id.
#[wasm_bindgen]
pub fn demo(id: &str) -> Result<String, wasm_bindgen::JsError> {
    let found = DEMOS.iter().find(|(name, _)| *name == id);
    found.map(|(_, text)| (*text).to_owned()).ok_or_else(|| error::from_text("the id of a demo scene", id))
}
