//! Standard output and standard error, without a panic if a pipe is closed.

use std::io::{self, Write};

use serde::Serialize;

use crate::fault::CliError;

/// Prints a complete answer.
///
/// # Errors
/// The system's error, including a closed pipe.
pub(crate) fn print(text: &str) -> Result<(), CliError> {
    let mut out = io::stdout().lock();
    out.write_all(tame(text).as_bytes())?;
    Ok(out.flush()?)
}

/// Prints a complete answer as JSON.
///
/// # Errors
/// As [`print`].
pub(crate) fn print_json(value: &impl Serialize) -> Result<(), CliError> {
    let text = serde_json::to_string_pretty(value).map_err(io::Error::from)?;
    print(&(text + "\n"))
}

/// Writes a line to standard error; ignored if that is closed.
pub(crate) fn say(line: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", tame(line));
}

/// Removes control characters: names in a scene file are not to be trusted.
fn tame(text: &str) -> String {
    text.chars().map(|c| if c.is_control() && c != '\n' { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_steer_the_terminal() {
        assert_eq!(tame("a\u{1b}[31mred\r\u{9b}2J\nß 3 °"), "a\u{fffd}[31mred\u{fffd}\u{fffd}2J\nß 3 °");
    }
}
