//! The files generated from the contract, and the tests that fail when they are stale.

mod samples;
mod typescript;

use std::collections::BTreeSet;
use std::path::Path;

use schemars::JsonSchema;
use schemars::generate::{SchemaGenerator, SchemaSettings};
use serde_json::{Map, Value, json};

use crate::contract::{
    Choices, Day, FileRequest, GlassFamily, Made, NULL_IS_WRITTEN, Overview, PictureRequest, Report, Section,
    SunPath, Surroundings, WindowShapes, Year,
};
use crate::request::SCHEMAS;
use typescript::{declaration, references};

/// Types under one heading of the generated file, in its order.
type Heading = (&'static str, &'static [&'static str]);

const HEADINGS: [Heading; 11] = [
    ("Errors", &["Fault"]),
    ("The scene at a glance", &["SceneOverview", "WindowShapes"]),
    ("Results of actions", &["Made"]),
    ("Surroundings of the windows", &["Surroundings", "Choices", "SunPath"]),
    ("What pieces are made of", &["Section", "GlassFamily", "Changed"]),
    ("Figures", &["Report", "Ranges", "Day", "Year"]),
    ("Changes of pieces", &["Change"]),
    ("Actions on variants", &["VariantAction"]),
    ("Pictures", &["PictureRequest", "FileRequest"]),
    ("The lines of an open window, checked in the same module as new ones", &["CheckedLines"]),
    (
        "New windows, a module of their own",
        &["CheckedDrawing", "DrawingOptions", "CheckedOpening", "Measurements", "WindowStart"],
    ),
];

const HEAD: &str = "\
// Generated from the Rust types of crate/web/src/contract.rs. Do not edit: change the types, then run
// `UPDATE_CONTRACT=1 cargo test -p web` and commit this file.
// The JSON exchanged between the page and the wasm module. Lengths are in mm in the panel plane, y down from the upper
// edge of the sight size, and in m in the room; angles in degrees.
";

/// Everything that the module answers.
fn answers(generator: &mut SchemaGenerator) {
    generator.subschema_for::<scene::Fault>();
    generator.subschema_for::<Overview>();
    generator.subschema_for::<WindowShapes>();
    generator.subschema_for::<Made<'_>>();
    generator.subschema_for::<Surroundings>();
    generator.subschema_for::<Choices>();
    generator.subschema_for::<SunPath>();
    generator.subschema_for::<Section>();
    generator.subschema_for::<GlassFamily>();
    generator.subschema_for::<scene::Changed>();
    generator.subschema_for::<Report>();
    generator.subschema_for::<viewing::Ranges>();
    generator.subschema_for::<Day>();
    generator.subschema_for::<Year>();
    generator.subschema_for::<new_window::CheckedDrawing>();
    generator.subschema_for::<new_window::CheckedOpening>();
    generator.subschema_for::<new_window::CheckedLines>();
}

/// Everything that the page sends.
fn requests(generator: &mut SchemaGenerator) {
    generator.subschema_for::<scene::Edit>();
    generator.subschema_for::<scene::Change>();
    generator.subschema_for::<scene::VariantAction>();
    generator.subschema_for::<PictureRequest>();
    generator.subschema_for::<FileRequest>();
    generator.subschema_for::<new_window::DrawingOptions>();
    generator.subschema_for::<new_window::Measurements>();
    generator.subschema_for::<new_window::WindowStart>();
}

/// Definitions of all types by name. A type used in both directions is declared as the module writes it: the page gives
/// every field that is always written.
fn definitions() -> Map<String, Value> {
    let mut written = SchemaSettings::draft2020_12().for_serialize().into_generator();
    answers(&mut written);
    let mut written = written.take_definitions(true);
    written.values_mut().for_each(absent_or_a_value);
    let mut read = SchemaSettings::draft2020_12().for_deserialize().into_generator();
    requests(&mut read);
    let mut all = read.take_definitions(true);
    for (name, schema) in &written {
        if let Some(read) = all.get(name) {
            assert_accepted(schema, read, name);
        }
    }
    all.extend(written);
    all
}

/// An `Option` omitted when it is `None` is never written as null.
fn absent_or_a_value(schema: &mut Value) {
    match schema {
        Value::Object(parts) => {
            let required = parts.get("required").cloned().unwrap_or_default();
            let fields = parts.get_mut("properties").and_then(Value::as_object_mut).into_iter().flatten();
            for (name, field) in fields {
                let optional = !required.as_array().is_some_and(|names| names.contains(&json!(name)));
                if optional && field.get(NULL_IS_WRITTEN).is_none() {
                    without_null(field);
                }
            }
            parts.values_mut().for_each(absent_or_a_value);
        }
        Value::Array(parts) => parts.iter_mut().for_each(absent_or_a_value),
        _ => {}
    }
}

fn without_null(schema: &mut Value) {
    if let Some(Value::Array(types)) = schema.get_mut("type") {
        types.retain(|one| one != "null");
        if let [only] = &types[..] {
            schema["type"] = only.clone();
        }
    } else if let Some(Value::Array(choices)) = schema.get_mut("anyOf") {
        choices.retain(|choice| choice.get("type") != Some(&json!("null")));
    }
}

/// The module reads whatever it writes of a type: all required fields and no others.
fn assert_accepted(written: &Value, read: &Value, name: &str) {
    let names = |schema: &Value| -> BTreeSet<String> {
        schema["properties"].as_object().into_iter().flat_map(Map::keys).cloned().collect()
    };
    let required = |schema: &Value| -> BTreeSet<String> {
        let names = schema["required"].as_array().into_iter().flatten();
        names.filter_map(Value::as_str).map(str::to_owned).collect()
    };
    assert_eq!(names(written), names(read), "{name}");
    assert!(required(read).is_subset(&required(written)), "{name}");
    let choices = |schema: &Value| schema["oneOf"].as_array().cloned().unwrap_or_default();
    assert_eq!(choices(written).len(), choices(read).len(), "{name}");
    for (written, read) in choices(written).iter().zip(&choices(read)) {
        assert_accepted(written, read, name);
    }
}

fn typescript() -> String {
    let definitions = definitions();
    let mut text = HEAD.to_owned();
    let mut done = BTreeSet::new();
    for (title, names) in HEADINGS {
        text += &format!("\n// {title}\n");
        for name in names {
            declare(name, &definitions, &mut done, &mut text);
        }
    }
    let left: Vec<&String> = definitions.keys().filter(|name| !done.contains(*name)).collect();
    assert!(left.is_empty(), "without a heading: {left:?}");
    text + "\n// Names of combinations and parts\n\n" + include_str!("generate/names.ts")
}

/// Declares a type and then the undeclared types that it refers to.
fn declare(name: &str, all: &Map<String, Value>, done: &mut BTreeSet<String>, text: &mut String) {
    if !done.insert(name.to_owned()) {
        return;
    }
    let schema = all.get(name).unwrap_or_else(|| panic!("no type is called {name}"));
    text.push('\n');
    text.push_str(&declaration(name, schema));
    for name in references(schema) {
        declare(&name, all, done, text);
    }
}

/// Schemas of the requests that the module checks, each self-contained, one line per request.
fn request_schemas() -> String {
    fn schema<T: JsonSchema>() -> Value {
        let settings = SchemaSettings::draft2020_12().for_deserialize();
        let mut schema: Value =
            settings.with(|s| s.inline_subschemas = true).into_generator().into_root_schema_for::<T>().into();
        strip(&mut schema);
        schema
    }
    let all = [
        ("Change", schema::<scene::Change>()),
        ("FileRequest", schema::<FileRequest>()),
        ("PictureRequest", schema::<PictureRequest>()),
        ("VariantAction", schema::<scene::VariantAction>()),
    ];
    let lines: Vec<String> = all.iter().map(|(name, schema)| format!("  \"{name}\": {schema}")).collect();
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

/// Removes annotations, since the module carries these schemas.
fn strip(schema: &mut Value) {
    match schema {
        Value::Object(parts) => {
            for (key, part) in parts.iter_mut() {
                if key == "properties" {
                    part.as_object_mut().into_iter().flat_map(Map::values_mut).for_each(strip);
                } else {
                    strip(part);
                }
            }
            let explains = ["$schema", "title", "description", "default", "format"];
            parts.retain(|key, _| !explains.contains(&key.as_str()));
        }
        Value::Array(parts) => parts.iter_mut().for_each(strip),
        _ => {}
    }
}

fn refuse_stale(file: &str, generated: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    if std::env::var_os("UPDATE_CONTRACT").is_some() {
        std::fs::write(&path, generated).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(committed == generated, "{file}: run `UPDATE_CONTRACT=1 cargo test -p web` and commit the file");
}

#[test]
fn the_committed_typescript_is_the_one_of_the_types() {
    refuse_stale("../../www/src/engine/contract.ts", &typescript());
}

#[test]
fn the_committed_schemas_are_those_of_the_requests() {
    refuse_stale("schema/requests.json", &request_schemas());
    let read: Value = serde_json::from_str(SCHEMAS).unwrap();
    assert!(std::env::var_os("UPDATE_CONTRACT").is_some() || read["Change"].is_object());
}
