//! Answers as text.

use std::fmt;

use serde::Serialize;

/// An answer to the page: displayed, it is JSON.
pub(crate) struct Json<T>(pub(crate) T);

impl<T: Serialize> fmt::Display for Json<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The contract's types are plain data with string keys, which always serialise.
        f.write_str(&serde_json::to_string(&self.0).unwrap_or_default())
    }
}
