//! Names edits by the open ends that they mend, for the labels of undo and redo.

use crate::changes::ChangeSet;
use crate::resolved::Resolved;

/// How many lines there are, and how many of their ends meet nothing.
#[derive(Clone, Copy)]
pub(crate) struct OpenEnds {
    lines: usize,
    open: usize,
}

impl OpenEnds {
    pub(crate) fn of(resolved: &Resolved) -> Self {
        let sum = |count: fn(&crate::ResolvedWindow) -> usize| resolved.windows.iter().map(count).sum();
        Self { lines: sum(|window| window.lines.len()), open: sum(|window| window.panel.open_ends.len()) }
    }

    /// What an edit changed, in words that follow "Undo: ": the open ends that are mended if it only changed lines,
    /// otherwise as [`ChangeSet::words`].
    pub(crate) fn words(self, changes: &ChangeSet, after: &Resolved) -> String {
        let now = Self::of(after);
        let only_lines =
            changes.windows.values().all(|window| !window.lines.is_empty()) && changes.parts().len() == 1;
        match self.open.saturating_sub(now.open) {
            1 if only_lines && self.lines == now.lines => "mend an open end".to_owned(),
            mended @ 2.. if only_lines && self.lines == now.lines => format!("mend {mended} open ends"),
            _ => changes.words(),
        }
    }
}
