//! Errors as the page gets them: JSON in the message of a JavaScript `Error`.

use daylight::{DaylightError, TimeError};
use scene::{Fault, Faults};
use viewing::ViewingError;
use wasm_bindgen::JsError;

use crate::contract::Refusal;
use crate::json::Json;

/// Every fault with its path, what was expected and what was found.
pub(crate) fn from_faults(faults: &Faults) -> JsError {
    JsError::new(&Json(Refusal { faults: &faults.0 }).to_string())
}

/// One fault that has no place in the document.
pub(crate) fn from_text(expected: &str, found: impl ToString) -> JsError {
    from_fault("", expected, found)
}

/// One fault at a place of a document or a request.
pub(crate) fn from_fault(path: &str, expected: &str, found: impl ToString) -> JsError {
    from_faults(&Faults(vec![Fault::new(path, expected, found.to_string())]))
}

/// Why there are no figures: what was expected, and the sentence of the error.
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
