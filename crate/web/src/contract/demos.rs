//! The demo scenes.

use schemars::JsonSchema;
use serde::Serialize;

/// A demo scene in the list of demos.
#[derive(Serialize, JsonSchema)]
pub(crate) struct DemoName {
    /// Its id, the argument of `demo`.
    pub(crate) id: String,
    /// The scene's name.
    pub(crate) name: String,
    /// The scene's note; empty if it has none.
    pub(crate) note: String,
}
