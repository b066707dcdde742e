//! What comes of a step.

use crate::counts::Counts;

/// How a step ended when nothing went wrong with the step itself.
pub(crate) struct Done {
    /// What it counted; a step with a failed test is a failed step.
    pub(crate) counts: Counts,
    /// A remark for the same line, or nothing.
    pub(crate) note: String,
    /// What to do if some of the counted tests failed.
    pub(crate) remedy: String,
}

impl Done {
    /// Preparation: counts as nothing.
    pub(crate) fn prepared(note: impl Into<String>) -> Self {
        Self { counts: Counts::default(), note: note.into(), remedy: String::new() }
    }

    /// One check that passed.
    pub(crate) fn checked(note: impl Into<String>) -> Self {
        Self { counts: Counts { passed: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// One check that could not be made here.
    pub(crate) fn skipped(note: impl Into<String>) -> Self {
        Self { counts: Counts { skipped: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// Tests, counted.
    pub(crate) fn counted(counts: Counts, remedy: impl Into<String>) -> Self {
        let ran = counts.passed + counts.failed;
        // In other words than the summary's, which is to be the only line of its form.
        let mut note = if counts.failed == 0 {
            format!("{ran} tests")
        } else {
            format!("{} of {ran} tests failed", counts.failed)
        };
        if counts.skipped > 0 {
            note += &format!(" ({} more skipped)", counts.skipped);
        }
        Self { counts, note, remedy: remedy.into() }
    }
}
