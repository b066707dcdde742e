//! Errors for the page: JSON in the message of a JavaScript `Error`.

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

/// One fault without a place in the document.
pub(crate) fn from_text(expected: &str, found: impl ToString) -> JsError {
    from_fault("", expected, found)
}

/// One fault at a place of a document or a request.
pub(crate) fn from_fault(path: &str, expected: &str, found: impl ToString) -> JsError {
    from_faults(&Faults(vec![Fault::new(path, expected, found.to_string())]))
}

/// Why there are no figures: what was expected, and the error message.
pub(crate) fn from_viewing(error: &ViewingError) -> JsError {
    let expected = match error {
        ViewingError::UnknownPlace { .. } => "one of the scene's viewing positions",
        ViewingError::PlaceOutside { .. } => "a viewing position inside the room and in front of the glass",
        ViewingError::Daylight(DaylightError::YearOutsideRange(_))
        | ViewingError::Time(TimeError::OutsideCalendar) => {
            "a year from −2000 to 6000, for which the sun's position is known"
        }
        ViewingError::Daylight(_) | ViewingError::Ranges(_) => "a valid site and sky",
        ViewingError::Time(_) => "a valid date and time",
    };
    from_text(expected, error)
}
