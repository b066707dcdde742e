//! JSON spread over lines, as a file has it.

/// Spreads JSON without blanks over lines, indented by two spaces a level: what `serde_json::to_string_pretty` writes.
/// That, called with a scene, would put everything that writes one into the page's module twice.
pub(crate) fn on_lines(compact: &str) -> String {
    let mut out = String::with_capacity(2 * compact.len());
    let (mut depth, mut in_text, mut escaped) = (0, false, false);
    let mut before = '\0';
    for character in compact.chars() {
        let opened = matches!(before, '{' | '[') && !in_text;
        let closes = matches!(character, '}' | ']') && !in_text;
        if closes {
            depth -= 1;
        }
        if opened != closes || before == ',' && !in_text {
            out.push('\n');
            (0..depth).for_each(|_| out.push_str("  "));
        }
        out.push(character);
        if in_text {
            in_text = character != '"' || escaped;
            escaped = character == '\\' && !escaped;
            // What a text ends with opens nothing.
            before = '"';
            continue;
        }
        match character {
            '"' => in_text = true,
            '{' | '[' => depth += 1,
            ':' => out.push(' '),
            _ => {}
        }
        before = character;
    }
    out
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;

    #[test]
    fn lines_are_those_of_serde_json() {
        let demo: Value = serde_json::from_str(include_str!("../../../demo-scenes/small-rose.json")).unwrap();
        for value in [
            demo,
            json!({}),
            json!([]),
            json!([[], {}, [[]], [{}], { "a": {} }, null, true, -0.5e-9]),
            json!({ "{": "}", "[,]:": ["\"", "\\", "\\\"[", "a: b, {c}\n\t", "é“”", ""], "z": [1, 2, [3]] }),
            json!("[]{},:"),
            json!(1.5),
        ] {
            assert_eq!(on_lines(&value.to_string()), serde_json::to_string_pretty(&value).unwrap());
        }
    }
}
