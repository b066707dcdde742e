//! Errors as the page gets them: JSON in the message of a JavaScript `Error`.

use daylight::{DaylightError, TimeError};
use scene::{Fault, Faults};
use serde_json::json;
use viewing::ViewingError;
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

/// Why there are no figures: what would have had to be, and the sentence that says what is.
pub(crate) fn from_viewing(error: &ViewingError) -> JsError {
    let expected = match error {
        ViewingError::UnknownPlace { .. } => "a place to view from that the scene has",
        ViewingError::PlaceOutside { .. } => "a viewing position inside the room and before the glass",
        ViewingError::Daylight(DaylightError::YearOutsideRange(_))
        | ViewingError::Time(TimeError::OutsideCalendar) => {
            "a year for which it is known where the sun stands, −2000 to 6000"
        }
        ViewingError::Daylight(_) => "a site and a sky that can be",
        ViewingError::Time(_) => "a date and a time that can be read",
    };
    from_text(expected, error)
}
