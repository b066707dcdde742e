//! The demo scenes.

use schemars::JsonSchema;
use serde::Serialize;

/// A demo scene in the list of them.
#[derive(Serialize, JsonSchema)]
pub(crate) struct DemoName {
    /// What `demo` takes.
    pub(crate) id: String,
    /// The scene's name.
    pub(crate) name: String,
    /// The scene's note; empty where it has none.
    pub(crate) note: String,
}
