//! Why a command can fail, in words for the person who typed it.

use std::io;
use std::path::PathBuf;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub(crate) enum CliError {
    /// The scene file cannot be read.
    #[error("{}: {error}", .path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The system's error.
        error: io::Error,
    },
    /// The scene file or its variant has faults.
    #[error("{}: {}\n{}", .path.display(), count(.faults), indented(.faults))]
    Faults {
        /// The file.
        path: PathBuf,
        /// All of them.
        faults: scene::Faults,
    },
    /// A place, a time or a sky that cannot be.
    #[error(transparent)]
    Viewing(#[from] viewing::ViewingError),
    /// No window of that name.
    #[error("--window: expected one of {}, found \"{found}\"", .known.join(", "))]
    UnknownWindow {
        /// What was asked for.
        found: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The picture could not be drawn.
    #[error("the picture could not be drawn: {0}")]
    Picture(String),
    /// The picture could not be written; nothing was left behind.
    #[error("{}: the picture could not be written: {error}", .path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// The system's error.
        error: io::Error,
    },
    /// Standard input or output failed.
    #[error("standard input or output: {0}")]
    Output(#[from] io::Error),
}

impl From<daylight::TimeError> for CliError {
    fn from(error: daylight::TimeError) -> Self {
        Self::Viewing(error.into())
    }
}

impl From<daylight::DaylightError> for CliError {
    fn from(error: daylight::DaylightError) -> Self {
        Self::Viewing(error.into())
    }
}

fn count(faults: &scene::Faults) -> String {
    match faults.0.len() {
        1 => "1 fault".to_owned(),
        n => format!("{n} faults"),
    }
}

fn indented(faults: &scene::Faults) -> String {
    faults.0.iter().map(|f| format!("  {f}")).collect::<Vec<_>>().join("\n")
}
