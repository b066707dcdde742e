//! Checks that no files of a crate, and no sources of the page, form a cycle: a file uses only files below it.
//!
//! `rust` and `script` find which file uses which, `graph` finds cycles among them. A test module may use what it
//! tests, so tests do not count.

mod graph;
mod rust;
mod script;

use crate::done::Done;
use crate::fault::Fault;
use crate::workspace::Workspace;

/// Checks every crate and `www/src`.
pub(crate) fn check(workspace: &Workspace) -> Result<Done, Fault> {
    let mut faults = Vec::new();
    let mut files = 0;
    let mut judge = |whose: &str, uses: &graph::Uses| {
        files += uses.len();
        faults.extend(graph::cycles(uses).iter().map(|cycle| graph::in_words(whose, cycle, &workspace.root)));
    };
    for id in &workspace.members {
        let package = &workspace.packages[id];
        for root in &package.sources {
            judge(&package.name, &rust::uses(root)?);
        }
    }
    judge("www", &script::uses(&workspace.www().join("src"))?);
    if faults.is_empty() {
        return Ok(Done::checked(format!("{files} files")));
    }
    Err(Fault::new(
        faults.join("\n"),
        "Move what both files need into a third file below them, or pass it as an argument.",
    ))
}
