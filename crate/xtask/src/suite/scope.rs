//! The scope of a run of the suite.

use std::collections::BTreeSet;
use std::fmt;

use crate::modules;
use crate::workspace::Workspace;

/// The parts of the suite to run.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Scope {
    /// The crates to lint and to test.
    pub(super) crates: BTreeSet<String>,
    /// Whether the page is built and tested.
    pub(super) page: bool,
    /// Whether dependencies are checked for known vulnerabilities.
    pub(super) packages: bool,
    /// Why the scope is limited; empty if it is not.
    pub(super) because: String,
}

impl Scope {
    pub(super) fn everything(w: &Workspace) -> Self {
        let crates = w.members.iter().map(|id| w.packages[id].name.clone()).collect();
        Self { crates, page: true, packages: true, because: String::new() }
    }

    /// Whether a crate that a module of the page is built from is among them.
    pub(super) fn has_module(&self) -> bool {
        modules::crates().any(|name| self.crates.contains(name))
    }

    /// Cargo's arguments that select the crates.
    pub(super) fn cargo_packages(&self, w: &Workspace) -> Vec<String> {
        if self.crates.len() == w.members.len() {
            return vec!["--workspace".to_owned()];
        }
        self.crates.iter().flat_map(|name| ["-p".to_owned(), name.clone()]).collect()
    }

    pub(super) fn in_words(&self, w: &Workspace) -> String {
        if self.crates.len() == w.members.len() {
            return "cargo test, every crate".to_owned();
        }
        let names: Vec<&str> = self.crates.iter().map(String::as_str).collect();
        format!("cargo test, {}", names.join(", "))
    }
}

impl fmt::Display for Scope {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.because.is_empty() {
            return write!(f, "Everything is tested.");
        }
        let crates: Vec<&str> = self.crates.iter().map(String::as_str).collect();
        let crates = if crates.is_empty() { "no crates".to_owned() } else { crates.join(", ") };
        let page = if self.page { "the page" } else { "not the page" };
        write!(f, "{}\nTested: {crates}; {page}.", self.because)
    }
}
