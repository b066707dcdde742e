//! The JSON schema of the document, and the check of a document against it.
//!
//! The schema is generated from the Rust types and committed. Documents are checked against the committed
//! text, without its descriptions, so that the project enforces what it publishes. Serde alone would stop at the first fault and could
//! not say where it is; a general schema validator reports faults in the schema's terms. This one knows only
//! the keywords that the generator uses (a test refuses a schema with any other) and reports faults in terms
//! of the document.

use std::sync::OnceLock;

use serde_json::{Map, Value};

use crate::document::HASH_PATTERN;
use crate::fault::Fault;

/// The schema as committed (JSON Schema 2020-12).
pub const SCHEMA: &str = include_str!("../schema/scene.schema.json");

/// The same without descriptions, which no check reads: they would be two thirds of it in the page's module.
const CHECKED: &str = include_str!("../schema/checked.json");

/// Most faults listed: a file of another kind would have thousands.
const MOST_FAULTS: usize = 200;

fn root() -> &'static Value {
    static ROOT: OnceLock<Value> = OnceLock::new();
    // A test parses the committed schema, so that `Null`, which checks nothing, is never used.
    ROOT.get_or_init(|| serde_json::from_str(CHECKED).unwrap_or(Value::Null))
}

/// Every fault of `document` against the schema.
pub(crate) fn faults(document: &Value) -> Vec<Fault> {
    let mut found = Vec::new();
    check(document, root(), "", &mut found);
    found
}

/// Every fault of one value against the definition called `name` in the schema, such as `Edit`.
pub(crate) fn faults_of_part(value: &Value, name: &str) -> Vec<Fault> {
    let mut found = Vec::new();
    if let Some(definition) = root().get("$defs").and_then(|d| d.get(name)) {
        check(value, definition, "", &mut found);
    }
    found
}

/// Every fault of one value against a separate schema, as schemars writes it inline, without references.
pub fn faults_of(value: &Value, schema: &Value) -> Vec<Fault> {
    let mut found = Vec::new();
    check(value, schema, "", &mut found);
    found
}

fn resolved(schema: &Value) -> &Value {
    match schema.get("$ref").and_then(Value::as_str) {
        Some(reference) => root().pointer(reference.trim_start_matches('#')).unwrap_or(&Value::Null),
        None => schema,
    }
}

fn check(value: &Value, schema: &Value, path: &str, faults: &mut Vec<Fault>) {
    if faults.len() >= MOST_FAULTS {
        return;
    }
    // Beside a reference the generator may add a range or a length for this field.
    if schema.get("$ref").is_some() {
        check(value, resolved(schema), path, faults);
    }
    if let Some(branches) = schema.get("oneOf").or_else(|| schema.get("anyOf")).and_then(Value::as_array) {
        check_choice(value, branches, path, faults);
        return;
    }
    let before = faults.len();
    check_type_and_choice(value, schema, path, faults);
    if faults.len() > before {
        return;
    }
    match value {
        Value::Number(number) => check_number(number.as_f64(), value, schema, path, faults),
        Value::String(text) => {
            let letters = text.chars().count() as u64;
            if limit(schema, "minLength").is_some_and(|least| letters < least) {
                faults.push(Fault::new(path, "some text", "empty text"));
            } else if let Some(most) = limit(schema, "maxLength").filter(|most| letters > *most) {
                faults.push(Fault::new(path, format!("at most {most} characters"), format!("{letters}")));
            } else if schema.get("pattern").is_some_and(|pattern| !fits_pattern(pattern, text)) {
                faults.push(Fault::new(path, CONTENT_HASH, describe(value)));
            }
        }
        Value::Array(items) => check_array(items, schema, path, faults),
        Value::Object(fields) => check_object(fields, schema, path, faults),
        Value::Null | Value::Bool(_) => {}
    }
}

fn check_type_and_choice(value: &Value, schema: &Value, path: &str, faults: &mut Vec<Fault>) {
    if let Some(only) = schema.get("const").filter(|only| *only != value) {
        faults.push(Fault::new(path, only.to_string(), describe(value)));
        return;
    }
    if let Some(list) = schema.get("enum").and_then(Value::as_array).filter(|list| !list.contains(value)) {
        faults.push(Fault::new(path, one_of(list.iter().map(Value::to_string)), describe(value)));
        return;
    }
    let fits = |name: &str| match name {
        "null" => value.is_null(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_u64() || value.is_i64(),
        "number" => value.is_number(),
        "string" => value.is_string(),
        "array" => value.is_array(),
        "object" => value.is_object(),
        _ => false,
    };
    let names: Vec<&str> = match schema.get("type") {
        Some(Value::String(name)) => vec![name],
        Some(Value::Array(names)) => names.iter().filter_map(Value::as_str).collect(),
        _ => return,
    };
    if !names.iter().any(|name| fits(name)) {
        let wanted = names.iter().filter(|n| **n != "null").map(|name| match *name {
            "integer" => "a whole number",
            "number" => "a number",
            "string" => "text",
            "array" => "a list",
            "object" => "an object with named fields",
            other => other,
        });
        let wanted = one_of(wanted.map(str::to_owned));
        let remedy = if wanted.contains("number") && value.is_string() {
            " without quotes or unit (the unit is in the field's name)"
        } else {
            ""
        };
        faults.push(Fault::new(path, wanted + remedy, describe(value)));
    }
}

fn check_number(number: Option<f64>, value: &Value, schema: &Value, path: &str, faults: &mut Vec<Fault>) {
    let Some(number) = number else { return };
    let bound = |name: &str| schema.get(name).and_then(Value::as_f64);
    let (least, most) = (bound("minimum"), bound("maximum"));
    if least.is_some_and(|l| number < l) || most.is_some_and(|m| number > m) {
        let wanted = match (least, most) {
            (Some(l), Some(m)) => format!("a number from {l} to {m}"),
            (Some(l), None) => format!("a number of at least {l}"),
            (_, Some(m)) => format!("a number of at most {m}"),
            (None, None) => return,
        };
        faults.push(Fault::new(path, wanted, describe(value)));
    }
}

fn check_array(items: &[Value], schema: &Value, path: &str, faults: &mut Vec<Fault>) {
    let length = items.len() as u64;
    let (least, most) = (limit(schema, "minItems"), limit(schema, "maxItems"));
    if least.is_some_and(|l| length < l) || most.is_some_and(|m| length > m) {
        let wanted = match (least, most) {
            (Some(l), Some(m)) if l == m => format!("a list of exactly {l}"),
            (Some(l), _) if length < l => format!("a list of at least {l}"),
            (_, Some(m)) => format!("a list of at most {m}"),
            _ => return,
        };
        faults.push(Fault::new(path, wanted, format!("a list of {length}")));
        return;
    }
    let each = schema.get("items").filter(|items| items.is_object());
    let in_order = schema.get("prefixItems").and_then(Value::as_array);
    for (i, item) in items.iter().enumerate() {
        if let Some(schema) = in_order.and_then(|list| list.get(i)).or(each) {
            check(item, schema, &format!("{path}[{i}]"), faults);
        }
    }
}

fn check_object(fields: &Map<String, Value>, schema: &Value, path: &str, faults: &mut Vec<Fault>) {
    let no_fields = Map::new();
    let known = schema.get("properties").and_then(Value::as_object).unwrap_or(&no_fields);
    for name in required(schema) {
        if !fields.contains_key(name) {
            let mut missing = Vec::new();
            if let Some(schema) = known.get(name) {
                // Checking `null` tells what the schema expects here.
                check(&Value::Null, schema, "", &mut missing);
            }
            let wanted =
                missing.into_iter().next().map_or_else(|| "a value".to_owned(), |fault| fault.expected);
            faults.push(Fault::new(join(path, name), wanted, "nothing: the field is missing"));
        }
    }
    let by_pattern = schema.get("patternProperties").and_then(Value::as_object);
    for (name, value) in fields {
        if let Some(by_pattern) = by_pattern {
            match by_pattern.iter().find(|(pattern, _)| fits_pattern(&Value::from(pattern.as_str()), name)) {
                Some((_, schema)) => check(value, schema, &join(path, name), faults),
                None => {
                    let found = format!("\"{}\"", name.chars().take(80).collect::<String>());
                    faults.push(Fault::new(path, format!("only names that are {CONTENT_HASH}"), found));
                }
            }
            continue;
        }
        match (known.get(name), schema.get("additionalProperties")) {
            (Some(schema), _) => check(value, schema, &join(path, name), faults),
            (None, Some(Value::Bool(false))) => {
                let names = known.keys().map(|k| format!("`{k}`"));
                let wanted = format!("only the fields {}", known_list(names));
                faults.push(Fault::new(join(path, name), wanted, "an unknown field"));
            }
            (None, Some(schema)) if schema.is_object() => check(value, schema, &join(path, name), faults),
            (None, _) => {}
        }
    }
}

/// Checks a value that may take one of several forms: an optional value, an enumeration with or without
/// fields.
fn check_choice(value: &Value, branches: &[Value], path: &str, faults: &mut Vec<Fault>) {
    let branches: Vec<&Value> = branches.iter().map(resolved).collect();
    let is_null = |schema: &Value| schema.get("type").and_then(Value::as_str) == Some("null");
    if value.is_null() && branches.iter().any(|b| is_null(b)) {
        return;
    }
    let branches: Vec<&Value> = branches.into_iter().filter(|b| !is_null(b)).collect();
    if let [only] = branches[..] {
        check(value, only, path, faults);
        return;
    }
    let consts = |schema: &'_ Value| -> Vec<Value> {
        let list = schema.get("enum").and_then(Value::as_array).cloned().unwrap_or_default();
        schema.get("const").cloned().into_iter().chain(list).collect()
    };
    if let Some(tag) = branches.first().and_then(|b| tag_of(b)) {
        let tag_values = || branches.iter().filter_map(|b| b.pointer(&format!("/properties/{tag}/const")));
        let Some(fields) = value.as_object() else {
            let wanted = format!("an object with `{tag}` {}", one_of(tag_values().map(Value::to_string)));
            faults.push(Fault::new(path, wanted, describe(value)));
            return;
        };
        let given = fields.get(tag);
        match branches
            .iter()
            .find(|b| b.pointer(&format!("/properties/{tag}/const")) == given && given.is_some())
        {
            Some(branch) => check(value, branch, path, faults),
            None => {
                let wanted = one_of(tag_values().map(Value::to_string));
                let found = given.map_or_else(|| "nothing: the field is missing".to_owned(), describe);
                faults.push(Fault::new(join(path, tag), wanted, found));
            }
        }
        return;
    }
    if branches.iter().any(|b| consts(b).contains(value)) {
        return;
    }
    let names = |schema: &Value| required(schema).next().map(str::to_owned);
    if let Some(fields) = value.as_object() {
        let named = branches.iter().find(|b| names(b).is_some_and(|name| fields.contains_key(&name)));
        if let Some(branch) = named {
            check(value, branch, path, faults);
            return;
        }
    }
    let forms = branches.iter().flat_map(|b| {
        let words = consts(b).into_iter().map(|v| v.to_string());
        words.chain(names(b).map(|name| format!("{{\"{name}\": …}}"))).collect::<Vec<_>>()
    });
    faults.push(Fault::new(path, one_of(forms), describe(value)));
}

/// The field whose constant distinguishes the branches of a choice.
fn tag_of(branch: &Value) -> Option<&str> {
    let properties = branch.get("properties")?.as_object()?;
    properties.iter().find(|(_, schema)| schema.get("const").is_some()).map(|(name, _)| name.as_str())
}

/// What the one pattern of the schema means.
const CONTENT_HASH: &str = "the SHA-256 of an attachment's content, 64 digits from 0–9 and a–f";

/// A text fits the one pattern that the schema has, a content hash; a test refuses a schema with any other.
fn fits_pattern(pattern: &Value, text: &str) -> bool {
    pattern == HASH_PATTERN
        && text.len() == 64
        && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

fn required(schema: &Value) -> impl Iterator<Item = &str> {
    schema.get("required").and_then(Value::as_array).into_iter().flatten().filter_map(Value::as_str)
}

fn limit(schema: &Value, name: &str) -> Option<u64> {
    schema.get(name).and_then(Value::as_u64)
}

fn join(path: &str, name: &str) -> String {
    if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") }
}

fn one_of(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    match &names[..] {
        [] => "a value".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

fn known_list(names: impl Iterator<Item = String>) -> String {
    let names: Vec<String> = names.collect();
    if names.is_empty() { "of its kind, which has none".to_owned() } else { names.join(", ") }
}

fn describe(value: &Value) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Bool(b) => b.to_string(),
        Value::Number(n) => n.to_string(),
        Value::String(text) if text.chars().count() > 40 => {
            format!("\"{}…\"", text.chars().take(40).collect::<String>())
        }
        Value::String(text) => format!("\"{text}\""),
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(fields) => format!("an object with {} fields", fields.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The keywords that `check` understands, and those that are only annotations.
    const KEYWORDS: [&str; 25] = [
        "pattern",
        "patternProperties",
        "$ref",
        "$defs",
        "$schema",
        "title",
        "description",
        "default",
        "format",
        "type",
        "const",
        "enum",
        "oneOf",
        "anyOf",
        "properties",
        "required",
        "additionalProperties",
        "items",
        "prefixItems",
        "minItems",
        "maxItems",
        "minLength",
        "maxLength",
        "minimum",
        "maximum",
    ];

    fn assert_known(schema: &Value, path: &str) {
        let Some(fields) = schema.as_object() else { return };
        for (keyword, value) in fields {
            assert!(KEYWORDS.contains(&keyword.as_str()), "{path}: the check does not know `{keyword}`");
            match keyword.as_str() {
                "$defs" | "properties" => {
                    for (name, schema) in value.as_object().into_iter().flatten() {
                        assert_known(schema, &format!("{path}/{name}"));
                    }
                }
                "pattern" => assert_eq!(value, HASH_PATTERN, "{path}: the check knows one pattern"),
                "patternProperties" => {
                    for (pattern, schema) in value.as_object().into_iter().flatten() {
                        assert_eq!(pattern, HASH_PATTERN, "{path}: the check knows one pattern");
                        assert_known(schema, path);
                    }
                }
                "oneOf" | "anyOf" | "prefixItems" => {
                    for schema in value.as_array().into_iter().flatten() {
                        assert_known(schema, path);
                    }
                }
                "items" | "additionalProperties" => assert_known(value, path),
                _ => {}
            }
        }
    }

    #[test]
    fn the_committed_schema_uses_only_what_is_checked() {
        assert!(root().is_object());
        assert_known(root(), "");
    }

    /// Removes the descriptions. A field of that name has a schema, not a text.
    fn undescribed(schema: &mut Value) {
        if let Some(keys) = schema.as_object_mut() {
            keys.retain(|key, value| key != "description" || !value.is_string());
            keys.values_mut().for_each(undescribed);
        }
        schema.as_array_mut().into_iter().flatten().for_each(undescribed);
    }

    #[test]
    fn the_committed_schema_is_the_one_of_the_types() {
        let mut schema = serde_json::to_value(schemars::schema_for!(crate::Scene)).unwrap();
        let generated = serde_json::to_string_pretty(&schemars::schema_for!(crate::Scene)).unwrap() + "\n";
        undescribed(&mut schema);
        let checked = schema.to_string() + "\n";
        if std::env::var_os("UPDATE_SCHEMA").is_some() {
            let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/schema");
            std::fs::write(format!("{folder}/scene.schema.json"), &generated).unwrap();
            std::fs::write(format!("{folder}/checked.json"), &checked).unwrap();
        }
        let same = generated == SCHEMA && checked == CHECKED;
        assert!(same, "run `UPDATE_SCHEMA=1 cargo test -p scene` and commit both schemas");
    }
}
