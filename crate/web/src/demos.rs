//! The demo scenes, compiled in so that the first visit needs no file.

use serde_json::json;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;

/// Id and text, the one shown first at the head.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    ("estuary-lancet", include_str!("../../../demo-scenes/estuary-lancet.json")),
    ("north-corridor", include_str!("../../../demo-scenes/north-corridor.json")),
    ("small-rose", include_str!("../../../demo-scenes/small-rose.json")),
];

/// JSON list of `{id, name, note}`.
#[wasm_bindgen]
pub fn demo_names() -> String {
    let list: Vec<_> = DEMOS
        .iter()
        .filter_map(|(id, text)| {
            let scene = scene::read(text).ok()?;
            Some(json!({ "id": id, "name": scene.name, "note": scene.note }))
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
