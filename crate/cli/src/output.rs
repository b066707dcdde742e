//! Standard output and standard error, without a panic if a pipe is closed.

use std::io::{self, Write};

use scene::is_steering;
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

/// A number of things: `1 window`, `2 windows`.
pub(crate) fn counted(number: usize, thing: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{plural}")
}

/// Prints a complete answer as JSON.
///
/// # Errors
/// As [`print`].
pub(crate) fn print_json(value: &impl Serialize) -> Result<(), CliError> {
    let text = serde_json::to_string_pretty(value).map_err(io::Error::from)?;
    print(&(escaped(&text) + "\n"))
}

/// The same JSON with what steers escaped. Outside texts, which may have anything in them, only line breaks steer.
fn escaped(json: &str) -> String {
    let mut escaped = String::with_capacity(json.len());
    for c in json.chars() {
        if is_steering(c) && c != '\n' {
            escaped += &format!("\\u{:04x}", u32::from(c));
        } else {
            escaped.push(c);
        }
    }
    escaped
}

/// Writes a line to standard error; ignored if that is closed.
pub(crate) fn say(line: &str) {
    let _ = writeln!(io::stderr().lock(), "{}", tame(line));
}

/// Removes what steers the terminal or the direction of writing: names in a scene file are not to be trusted.
fn tame(text: &str) -> String {
    text.chars().map(|c| if is_steering(c) && c != '\n' { char::REPLACEMENT_CHARACTER } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_says_what_it_said() {
        let name = "a\u{9b}2J\u{202e}\u{7f}\u{1b}\nß";
        let text = serde_json::to_string_pretty(&[name]).unwrap();
        assert!(!escaped(&text).contains(|c| is_steering(c) && c != '\n'));
        assert_eq!(serde_json::from_str::<[String; 1]>(&escaped(&text)).unwrap(), [name]);
    }

    #[test]
    fn a_name_cannot_steer_the_terminal() {
        assert_eq!(tame("gpj.\u{202e}exe \u{61c}"), "gpj.\u{fffd}exe \u{fffd}");
        assert_eq!(tame("a\u{1b}[31mred\r\u{9b}2J\nß 3 °"), "a\u{fffd}[31mred\u{fffd}\u{fffd}2J\nß 3 °");
    }
}
