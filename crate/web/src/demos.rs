//! The demo scenes, compiled in so that the first visit needs no file.

use serde::Deserialize;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::contract::DemoName;
use crate::error;
use crate::json::Json;

/// Id and text of each; the page opens with the first.
pub(crate) const DEMOS: [(&str, &str); 3] = [
    ("estuary-lancet", include_str!("../../../demo-scenes/estuary-lancet.json")),
    ("north-corridor", include_str!("../../../demo-scenes/north-corridor.json")),
    ("small-rose", include_str!("../../../demo-scenes/small-rose.json")),
];

/// The fields of a demo's file that the list shows. Skipping the rest takes a hundredth of the time of reading it.
#[derive(Deserialize)]
struct Title {
    name: String,
    #[serde(default)]
    note: String,
}

/// JSON: the demo scenes, a list of `DemoName`.
#[wasm_bindgen]
pub fn demo_names() -> String {
    let list = DEMOS.iter().filter_map(|(id, text)| {
        let Title { name, note } = serde_json::from_str(text).ok()?;
        Some(DemoName { id: (*id).to_owned(), name, note })
    });
    Json(list.collect::<Vec<_>>()).to_string()
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
