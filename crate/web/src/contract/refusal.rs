//! The content of an error.

use scene::Fault;
use schemars::JsonSchema;
use serde::Serialize;

/// Why something was refused: the message of a JavaScript `Error` that the module throws.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Refusal<'a> {
    /// Every fault that was found.
    pub(crate) faults: &'a [Fault],
}
