//! What is wrong with a document, where, and what would be right.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// One fault: its place, what was expected there, what was found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Fault {
    /// Path in the document, such as `windows[0].pieces[14].makeup.plates[0].thickness_mm`; empty for the
    /// document itself.
    pub path: String,
    /// What was expected and, where it helps, what to do.
    pub expected: String,
    /// What was found there.
    pub found: String,
    /// The document is in a newer version of the format: this program cannot read it, but it is not damaged.
    #[serde(default, skip_serializing_if = "is_false")]
    pub newer: bool,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
fn is_false(value: &bool) -> bool {
    !value
}

impl Fault {
    /// A fault of a document of this version or an older one.
    pub fn new(path: impl Into<String>, expected: impl Into<String>, found: impl Into<String>) -> Self {
        Self { path: path.into(), expected: expected.into(), found: found.into(), newer: false }
    }

    /// A document of a newer version of the format.
    pub(crate) fn newer(path: &str, expected: String, found: String) -> Self {
        Self { newer: true, ..Self::new(path, expected, found) }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = if self.path.is_empty() { "the document" } else { &self.path };
        write!(f, "{path}: expected {}, found {}", self.expected, self.found)
    }
}

/// Every fault that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults(pub Vec<Fault>);

impl Faults {
    /// Whether the document is of a newer version of the format and therefore not damaged.
    pub fn is_newer_version(&self) -> bool {
        self.0.iter().any(|fault| fault.newer)
    }

    /// The faults, if there are any.
    pub(crate) fn none_or(faults: Vec<Fault>) -> Result<(), Self> {
        if faults.is_empty() { Ok(()) } else { Err(Self(faults)) }
    }
}

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.0.iter().enumerate() {
            if i > 0 {
                writeln!(f)?;
            }
            fault.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}
