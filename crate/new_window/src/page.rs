//! What the page calls, from a worker of its own.

use scene::Faults;
use serde_json::json;
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

/// Longer drawings are refused, bytes: what the page asks before it reads one.
#[wasm_bindgen]
pub fn most_drawing_bytes() -> f64 {
    drawing_io::BYTE_LIMIT as f64
}

/// Checks the lines of a window of a scene: `CheckedLines` (JSON). `scene` is the text of a scene file. Throws every fault.
#[wasm_bindgen]
pub fn check_window_lines(scene: &str, window: &str, within_mm: f64) -> Result<String, JsError> {
    crate::check_lines(scene, window, within_mm).map_err(|faults| thrown(&faults))
}

/// Reads a drawing: `CheckedDrawing` (JSON). `options` is `DrawingOptions` (JSON). Throws every fault.
#[wasm_bindgen]
pub fn check_drawing(svg: &str, options: &str) -> Result<String, JsError> {
    crate::check(svg, options).map_err(|faults| thrown(&faults))
}

/// The least and the most real width of a drawing without one of its own, mm (JSON of two numbers). `options` is
/// `DrawingOptions` (JSON). Throws every fault.
#[wasm_bindgen]
pub fn widths_of_drawing(svg: &str, options: &str) -> Result<String, JsError> {
    crate::drawing_widths(svg, options).map_err(|faults| thrown(&faults))
}

/// Throws a fault if a file is a picture or a document instead of a drawing, by its first 12 bytes.
#[wasm_bindgen]
pub fn refuse_picture_file(beginning: &[u8]) -> Result<(), JsError> {
    crate::check::refuse_picture(beginning).map_err(|faults| thrown(&faults))
}

/// The scene file of a drawing. `start` is `WindowStart` (JSON). Throws every fault.
#[wasm_bindgen]
pub fn scene_of_drawing(svg: &str, options: &str, start: &str) -> Result<String, JsError> {
    crate::scene(svg, options, start).map_err(|faults| thrown(&faults))
}

/// Draws an opening: `CheckedOpening` (JSON). `measurements` is `Measurements` (JSON). Throws every fault of the text.
#[wasm_bindgen]
pub fn check_measurements(measurements: &str) -> Result<String, JsError> {
    crate::check_opening(measurements).map_err(|faults| thrown(&faults))
}

/// The scene file of an opening. `start` is `WindowStart` (JSON). Throws every fault.
#[wasm_bindgen]
pub fn scene_of_measurements(measurements: &str, start: &str) -> Result<String, JsError> {
    crate::scene_of_opening(measurements, start).map_err(|faults| thrown(&faults))
}

/// The same form that the page's first module throws faults in.
fn thrown(faults: &Faults) -> JsError {
    JsError::new(&json!({ "faults": faults.0 }).to_string())
}
