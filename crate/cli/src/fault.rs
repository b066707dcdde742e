//! Why a command can fail, in words for the person who typed it.

use std::io;
use std::path::PathBuf;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub(crate) enum CliError {
    /// The scene file cannot be read.
    #[error("{}: {}", .path.display(), unread(.error))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The system's error.
        error: io::Error,
    },
    /// The scene file or its variant has faults.
    #[error("{}: {}\n{}", .path.display(), count(.faults.0.len()), indented(.faults))]
    Faults {
        /// The file.
        path: PathBuf,
        /// All of them.
        faults: scene::Faults,
    },
    /// No window can be made of a drawing.
    #[error("{}: {why}", .path.display())]
    Drawing {
        /// The file.
        path: PathBuf,
        /// Why not, and what to do.
        why: String,
    },
    /// Values of options of which no window or scene can be made.
    #[error("{}", lines(.faults))]
    Options {
        /// Each with its option, what was expected and what was found.
        faults: Vec<String>,
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
    /// A file could not be written; nothing was left behind.
    #[error("{}: could not be written: {}", .path.display(), unwritten(.error))]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// The system's error.
        error: io::Error,
    },
    /// No attachment, or more than one, of that hash or name.
    #[error("HASH-OR-NAME: expected {expected}, found “{found}”")]
    UnknownAttachment {
        /// What would be right.
        expected: String,
        /// What was asked for.
        found: String,
    },
    /// A file is where one should be extracted to; nothing was extracted.
    #[error("{}: expected no file there, found one. Extract to another folder, or move it away.", .path.display())]
    InTheWay {
        /// The file.
        path: PathBuf,
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

/// Why a file cannot be read, in plain words.
fn unread(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_owned(),
        io::ErrorKind::PermissionDenied => "this file may not be read by you".to_owned(),
        io::ErrorKind::IsADirectory => "this is a folder, not a file".to_owned(),
        _ => plain(error),
    }
}

/// Why a file cannot be written, in plain words.
fn unwritten(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such folder".to_owned(),
        io::ErrorKind::NotADirectory => "part of its path is a file, not a folder".to_owned(),
        io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
        io::ErrorKind::IsADirectory => "a folder has that name".to_owned(),
        _ => plain(error),
    }
}

/// The system's own words without its number.
fn plain(error: &io::Error) -> String {
    let words = error.to_string();
    words.split_once(" (os error ").map_or(words.as_str(), |(words, _)| words).to_owned()
}

fn count(number: usize) -> String {
    if number == 1 { "1 fault".to_owned() } else { format!("{number} faults") }
}

/// One fault alone, or several, one a line.
fn lines(faults: &[String]) -> String {
    match faults {
        [one] => one.clone(),
        _ => format!("{}\n  {}", count(faults.len()), faults.join("\n  ")),
    }
}

fn indented(faults: &scene::Faults) -> String {
    faults.0.iter().map(|f| format!("  {f}")).collect::<Vec<_>>().join("\n")
}
