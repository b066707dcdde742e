//! The result of a step.

use crate::counts::Counts;

/// How a step ended when nothing went wrong with the step itself.
pub(crate) struct Done {
    /// Its counts; a step with a failed test has failed.
    pub(crate) counts: Counts,
    /// A note for the same line, or nothing.
    pub(crate) note: String,
    /// What to do if some of the counted tests failed.
    pub(crate) remedy: String,
}

impl Done {
    /// Preparation: not counted.
    pub(crate) fn prepared(note: impl Into<String>) -> Self {
        Self { counts: Counts::default(), note: note.into(), remedy: String::new() }
    }

    /// One check that passed.
    pub(crate) fn checked(note: impl Into<String>) -> Self {
        Self { counts: Counts { passed: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// One check that cannot be made here.
    pub(crate) fn skipped(note: impl Into<String>) -> Self {
        Self { counts: Counts { skipped: 1, ..Counts::default() }, note: note.into(), remedy: String::new() }
    }

    /// Tests, counted.
    pub(crate) fn counted(counts: Counts, remedy: impl Into<String>) -> Self {
        let ran = counts.passed + counts.failed;
        // Worded differently from the summary, which must be the only line of its form.
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
