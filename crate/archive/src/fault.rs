//! Faults of a file as a whole.

use scene::{Fault, Faults};

/// As many faults as are worth reading, and as the scene's own reader gives.
const MOST_FAULTS: usize = 200;

/// The first of the faults, if there are any.
pub(crate) fn none_or(mut faults: Vec<Fault>) -> Result<(), Faults> {
    faults.truncate(MOST_FAULTS);
    if faults.is_empty() { Ok(()) } else { Err(Faults(faults)) }
}

/// One fault.
pub(crate) fn fault(path: &str, expected: impl Into<String>, found: impl Into<String>) -> Faults {
    Faults(vec![Fault::new(path, expected, found)])
}
