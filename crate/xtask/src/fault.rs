//! What went wrong and what to do about it.

use std::fmt;

/// An error and its remedy. Both are sentences for the person at the terminal.
#[derive(Debug)]
pub(crate) struct Fault {
    what: String,
    remedy: String,
}

impl Fault {
    pub(crate) fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { what: what.into(), remedy: remedy.into() }
    }

    /// An error about a file or folder.
    pub(crate) fn file(path: &std::path::Path, error: &std::io::Error) -> Self {
        Self::new(format!("{}: {error}.", path.display()), "Check that the file exists and may be accessed.")
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}\nWhat to do: {}", self.what, self.remedy)
    }
}
