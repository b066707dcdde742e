//! How layers scatter, as a section shows and a change makes it.

use serde_json::{Value, json};
use web::SceneDocument;

const SCENE: &str = include_str!("../../../scene/tests/frozen/v5/scattering.json");

fn scattering(document: &SceneDocument, pieces: &str, kind: &str) -> Value {
    let text = document.section("west", pieces, "").map_err(|_| "no section").unwrap();
    let section: Value = serde_json::from_str(&text).unwrap();
    let layer = section["layers"].as_array().unwrap().iter().find(|layer| layer["kind"] == kind);
    layer.map_or(Value::Null, |layer| layer["values"]["scattering"].clone())
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_section_tells_what_is_stated_and_what_is_usual() {
    let document = SceneDocument::open(SCENE).unwrap();
    let own =
        json!({ "scatters": 0.8, "forwards": 0.9, "half_width_deg": 12.0, "usual": [false, false, false] });
    assert_eq!(scattering(&document, "[1]", "glass"), own);
    let paint =
        json!({ "scatters": 0.45, "forwards": 0.6, "half_width_deg": 15.0, "usual": [false, false, true] });
    assert_eq!(scattering(&document, "[2]", "paint"), paint);
    let dirt = scattering(&document, "[2]", "deposit");
    assert_eq!((&dirt["half_width_deg"], &dirt["usual"]), (&json!(6.0), &json!([true, true, false])));
    // Glass of the library has no such controls; nor have the two glasses together.
    assert_eq!(scattering(&document, "[2]", "glass"), Value::Null);
    assert_eq!(scattering(&document, "[1,2]", "glass"), Value::Null);
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_change_of_an_own_glass_is_made_and_undone() {
    let mut document = SceneDocument::open(SCENE).unwrap();
    let before = document.text();
    let layer = json!({ "layer": "plate", "plate": 0 });
    let change = json!({ "change": "scattering", "layer": layer, "forwards": 0.5 });
    let changed = document.change("west", "[1]", &change.to_string()).map_err(|_| "no change").unwrap();
    let changed: Value = serde_json::from_str(&changed.unwrap()).unwrap();
    assert_eq!(changed["layer"], layer);
    document.make(&changed["edit"].to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    assert_eq!(scattering(&document, "[1]", "glass")["forwards"], 0.5);
    // Out of range: refused with its name.
    let change = json!({ "change": "scattering", "layer": layer, "half_width_deg": 60.0 });
    let changed = document.change("west", "[1]", &change.to_string()).map_err(|_| "no change").unwrap();
    let changed: Value = serde_json::from_str(&changed.unwrap()).unwrap();
    let faults = document.make(&changed["edit"].to_string()).unwrap_err();
    assert!(faults.to_string().contains("half_width_deg"), "{faults}");
    while document.step(true).unwrap().is_some() {}
    assert_eq!(document.text(), before);
}
