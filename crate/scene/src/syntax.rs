//! Where a text stops being JSON, in words for the person who wrote it.

use crate::fault::Fault;

/// Most of a line that is quoted, characters.
const QUOTED: usize = 40;

/// The fault of a text that serde refused. Serde notices a missing character only at the next one; the place
/// reported is where it was expected.
pub(crate) fn fault(text: &str, error: &serde_json::Error) -> Fault {
    let words = error.to_string();
    let reason = words.rsplit_once(" at line ").map_or(words.as_str(), |(reason, _)| reason);
    if error.is_eof() {
        let line = text.trim_end().lines().count();
        let found = "the end of the file before every bracket and quotation mark was closed";
        return Fault::new(format!("line {line}"), "a complete scene in JSON", found);
    }
    let begins: usize = text.split_inclusive('\n').take(error.line().saturating_sub(1)).map(str::len).sum();
    // The column counts bytes, the first is 1.
    let at = text.floor_char_boundary((begins + error.column().saturating_sub(1)).min(text.len()));
    let before = text[..at].trim_end();
    let missing = text[before.len()..at].contains('\n');
    let line = if missing { before.lines().count() } else { error.line() };
    let place = if missing {
        format!("line {line}, at its end")
    } else {
        format!("line {line}, column {}", error.column())
    };
    let written = text.lines().nth(line.saturating_sub(1)).unwrap_or_default().trim();
    let mut quoted: String = written.chars().take(QUOTED).collect();
    if quoted.len() < written.len() {
        quoted.push('…');
    }
    let reason = match reason {
        "expected ident" | "expected value" => {
            "no value of JSON begins like this; text needs quotation marks"
        }
        "key must be a string" => "a name needs quotation marks",
        "trailing characters" => "the scene ends before it",
        reason => reason,
    };
    Fault::new(place, "a scene in JSON", format!("“{quoted}”, which cannot be read there ({reason})"))
}

#[cfg(test)]
mod tests {
    fn of(text: &str) -> (String, String) {
        let error = serde_json::from_str::<serde_json::Value>(text).unwrap_err();
        let fault = super::fault(text, &error);
        (fault.path, fault.found)
    }

    #[test]
    fn names_the_line_that_lacks_something_and_quotes_it() {
        let (place, found) = of("{\n  \"clerestory\": 1\n\n  \"name\": \"x\"\n}\n");
        assert_eq!(place, "line 2, at its end");
        assert!(found.starts_with("“\"clerestory\": 1”") && found.contains("expected `,`"), "{found}");
        let (place, found) = of("{\n  \"name\": nothing\n}");
        assert_eq!(place, "line 2, column 12");
        assert!(found.contains("text needs quotation marks"), "{found}");
        let (place, found) = of("{\n  \"name\": \"Größe über alles, was sich sagen lässt, und mehr\" 1\n}");
        assert!(place.starts_with("line 2, column") && found.contains('…'), "{place} {found}");
    }

    #[test]
    fn a_file_that_ends_too_early_says_so() {
        let (place, found) = of("{\n  \"name\": \"x\",\n");
        assert_eq!(place, "line 2");
        assert!(found.starts_with("the end of the file"), "{found}");
        assert_eq!(of("{").0, "line 1");
    }
}
