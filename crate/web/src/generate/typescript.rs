//! TypeScript from JSON schemas: declarations in the page's format.
//!
//! Knows the keywords that schemars writes for the types of the contract, and panics at any other: a generator that
//! guessed could write a wrong contract.

use std::fmt::Write;

use serde_json::{Map, Value};

/// Columns of a line.
const WIDTH: usize = 120;

/// The declaration of one type, its doc comment above it.
pub(super) fn declaration(name: &str, schema: &Value) -> String {
    let doc = doc_comment(schema, 0);
    if schema.get("properties").is_some() {
        return format!("{doc}export interface {name} {}\n", fields(schema, 0));
    }
    let members = members(schema);
    let documented = members.iter().any(|member| member.get("description").is_some());
    let written: Vec<String> = members.iter().map(|member| type_of(member, 4)).collect();
    let line = format!("export type {name} = {};\n", written.join(" | "));
    if members.len() == 1 || (!documented && !line.trim_end().contains('\n') && line.chars().count() <= WIDTH)
    {
        return doc + &line;
    }
    let mut text = format!("{doc}export type {name} =");
    for (member, written) in members.iter().zip(written) {
        let _ = write!(text, "\n{}  | {written}", doc_comment(member, 2));
    }
    text + ";\n"
}

/// Names of the types that a schema refers to, in order.
pub(super) fn references(schema: &Value) -> Vec<String> {
    let mut found = Vec::new();
    match schema {
        Value::Object(parts) => {
            if let Some(Value::String(reference)) = parts.get("$ref") {
                found.push(referred(reference).to_owned());
            }
            let names = parts.get("properties").map(|_| ordered_names(schema)).unwrap_or_default();
            for name in names {
                found.extend(references(&schema["properties"][name]));
            }
            for (_, part) in parts.iter().filter(|(key, _)| *key != "properties") {
                found.extend(references(part));
            }
        }
        Value::Array(parts) => found.extend(parts.iter().flat_map(references)),
        _ => {}
    }
    found
}

fn referred(reference: &str) -> &str {
    reference.rsplit('/').next().unwrap_or(reference)
}

/// The members of a union schema; the schema itself if it is not a union.
fn members(schema: &Value) -> Vec<Value> {
    let parts = |key: &str| schema.get(key).and_then(Value::as_array);
    if let Some(parts) = parts("oneOf").or_else(|| parts("anyOf")) {
        return parts.iter().flat_map(members).collect();
    }
    if let Some(values) = parts("enum") {
        return values.iter().map(|value| serde_json::json!({ "const": value })).collect();
    }
    if let Some(types) = schema.get("type").and_then(Value::as_array) {
        return types
            .iter()
            .map(|one| {
                let mut member = schema.clone();
                member["type"] = one.clone();
                member
            })
            .collect();
    }
    vec![schema.clone()]
}

/// A type as an expression; lines after the first are indented by `indent`.
fn type_of(schema: &Value, indent: usize) -> String {
    let members = members(schema);
    if members.len() > 1 || members[0] != *schema {
        return members.iter().map(|member| type_of(member, indent)).collect::<Vec<_>>().join(" | ");
    }
    if let Some(Value::String(reference)) = schema.get("$ref") {
        return referred(reference).to_owned();
    }
    if let Some(value) = schema.get("const") {
        return literal(value);
    }
    match schema.get("type").and_then(Value::as_str) {
        Some("string") => "string".to_owned(),
        Some("number" | "integer") => "number".to_owned(),
        Some("boolean") => "boolean".to_owned(),
        Some("null") => "null".to_owned(),
        Some("array") => array(schema, indent),
        Some("object") if schema.get("properties").is_some() => fields(schema, indent),
        Some("object") if schema["additionalProperties"].is_object() => {
            format!("Record<string, {}>", type_of(&schema["additionalProperties"], indent))
        }
        _ => panic!("a schema with no TypeScript here: {schema}"),
    }
}

fn array(schema: &Value, indent: usize) -> String {
    if let Some(parts) = schema.get("prefixItems").and_then(Value::as_array) {
        let parts: Vec<String> = parts.iter().map(|part| type_of(part, indent)).collect();
        return format!("[{}]", parts.join(", "));
    }
    let item = type_of(&schema["items"], indent);
    let length = |key: &str| schema.get(key).and_then(Value::as_u64);
    match (length("minItems"), length("maxItems")) {
        // A list of 81 samples is a list.
        (Some(least), Some(most)) if least == most && most <= 4 => {
            format!("[{}]", vec![item; most as usize].join(", "))
        }
        _ if item.contains(" | ") => format!("({item})[]"),
        _ => format!("{item}[]"),
    }
}

fn literal(value: &Value) -> String {
    match value {
        Value::String(text) => format!("'{}'", text.replace('\\', "\\\\").replace('\'', "\\'")),
        other => other.to_string(),
    }
}

/// The fields of an object, in braces.
fn fields(schema: &Value, indent: usize) -> String {
    let inner = indent + 2;
    let required = required(schema);
    let mut text = "{\n".to_owned();
    for name in ordered_names(schema) {
        let field = &schema["properties"][name];
        let mark = if required.contains(&name) { "" } else { "?" };
        let of_field = type_of(field, inner);
        let _ = writeln!(text, "{}{:inner$}{name}{mark}: {of_field};", doc_comment(field, inner), "");
    }
    let _ = write!(text, "{:indent$}}}", "");
    text
}

fn required(schema: &Value) -> Vec<&str> {
    schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str).collect()
}

/// Names of an object's fields: required ones in the order of the Rust type, then the others.
fn ordered_names(schema: &Value) -> Vec<&str> {
    let mut names = required(schema);
    let all = schema["properties"].as_object().into_iter().flat_map(Map::keys);
    let others: Vec<&str> = all.map(String::as_str).filter(|name| !names.contains(name)).collect();
    names.extend(others);
    names
}

/// The description of a schema as a comment on lines of its own; empty if it has none.
fn doc_comment(schema: &Value, indent: usize) -> String {
    let Some(text) = schema.get("description").and_then(Value::as_str) else { return String::new() };
    let text = plain(text);
    let one = format!("{:indent$}/** {text} */\n", "");
    if !text.contains("\n\n") && one.trim_end().chars().count() <= WIDTH {
        return one;
    }
    let mut comment = format!("{:indent$}/**\n", "");
    for (i, paragraph) in text.split("\n\n").enumerate() {
        if i > 0 {
            let _ = writeln!(comment, "{:indent$} *", "");
        }
        for line in wrapped(paragraph, WIDTH - indent - 3) {
            let _ = writeln!(comment, "{:indent$} * {line}", "");
        }
    }
    comment + &format!("{:indent$} */\n", "")
}

/// A Rust doc comment for TypeScript: links as code, `null` for `None`, one line per paragraph.
fn plain(text: &str) -> String {
    let text = text.replace("[`", "`").replace("`]", "`").replace("`None`", "null").replace("*/", "* /");
    let text = text.replace("`crate::", "`").replace("`Self::", "`");
    let paragraphs = text.split("\n\n").map(|p| p.split_whitespace().collect::<Vec<_>>().join(" "));
    paragraphs.collect::<Vec<_>>().join("\n\n")
}

fn wrapped(paragraph: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in paragraph.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn check(schema: Value, declared: &str) {
        assert_eq!(declaration("T", &schema), declared);
    }

    #[test]
    fn absent_and_null_are_two_things() {
        check(
            json!({ "type": "object", "required": ["b", "a"], "properties": {
                "a": { "type": ["number", "null"], "description": "In lx." },
                "b": { "anyOf": [{ "$ref": "#/$defs/Other" }, { "type": "null" }] },
                "c": { "type": "string" },
                "d": { "type": ["string", "null"] },
            } }),
            "export interface T {\n  b: Other | null;\n  /** In lx. */\n  a: number | null;\n  c?: string;\n  \
             d?: string | null;\n}\n",
        );
    }

    #[test]
    fn choices_are_unions() {
        check(json!({ "type": "string", "enum": ["a", "b"] }), "export type T = 'a' | 'b';\n");
        check(
            json!({ "description": "One of two.", "oneOf": [
                { "const": "a", "description": "The first." },
                { "type": "object", "required": ["b"], "properties": { "b": { "type": "integer" } } },
            ] }),
            "/** One of two. */\nexport type T =\n  /** The first. */\n  | 'a'\n  | {\n      b: number;\n    };\n",
        );
    }

    #[test]
    fn lists_of_a_few_are_tuples() {
        let list = |least: u32, most: u32| json!({ "type": "array", "items": { "type": ["number", "null"] }, "minItems": least, "maxItems": most });
        check(list(2, 2), "export type T = [number | null, number | null];\n");
        check(list(81, 81), "export type T = (number | null)[];\n");
        check(json!({ "type": "array", "items": { "type": "string" } }), "export type T = string[];\n");
    }

    #[test]
    #[should_panic(expected = "no TypeScript here")]
    fn what_is_not_known_is_not_guessed() {
        declaration("T", &json!({ "not": { "type": "string" } }));
    }

    #[test]
    fn comments_are_wrapped() {
        let long = "word ".repeat(40);
        let text = declaration("T", &json!({ "type": "string", "description": long }));
        assert!(
            text.starts_with("/**\n * word word") && text.lines().all(|line| line.chars().count() <= WIDTH)
        );
    }
}
