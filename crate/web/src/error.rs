//! Errors as the page gets them: JSON in the message of a JavaScript `Error`.

use scene::{Fault, Faults};
use serde_json::json;
use wasm_bindgen::JsError;

/// Every fault with its path, what was expected and what was found.
pub(crate) fn from_faults(faults: &Faults) -> JsError {
    let list: Vec<_> = faults
        .0
        .iter()
        .map(|fault| json!({ "path": fault.path, "expected": fault.expected, "found": fault.found }))
        .collect();
    JsError::new(&json!({ "faults": list }).to_string())
}

/// One fault that has no place in the document.
pub(crate) fn from_text(expected: &str, found: impl ToString) -> JsError {
    from_faults(&Faults(vec![Fault {
        path: String::new(),
        expected: expected.to_owned(),
        found: found.to_string(),
    }]))
}
