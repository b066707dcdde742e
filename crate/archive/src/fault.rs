//! Faults of a file as a whole.

use scene::{Fault, Faults};

/// One fault.
pub(crate) fn fault(path: &str, expected: impl Into<String>, found: impl Into<String>) -> Faults {
    Faults(vec![Fault::new(path, expected, found)])
}
