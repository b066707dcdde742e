//! Reading is strict: a file is read completely, or every fault in it is reported at once.

use scene::{Edit, Scene, check, read, read_edit, write};
use serde_json::{Value, json};

const TWO_PIECES: &str = include_str!("../two-pieces.json");

fn two_pieces() -> Scene {
    read(TWO_PIECES).unwrap_or_else(|faults| panic!("{faults}"))
}

/// Faults of the sample after `change`, as `path | expected | found`.
fn faults_after(change: impl FnOnce(&mut Value)) -> Vec<String> {
    let mut value: Value = serde_json::from_str(TWO_PIECES).unwrap();
    change(&mut value);
    match read(&value.to_string()) {
        Ok(_) => Vec::new(),
        Err(faults) => {
            faults.0.into_iter().map(|f| format!("{} | {} | {}", f.path, f.expected, f.found)).collect()
        }
    }
}

#[test]
fn what_is_written_reads_back_equal() {
    let scene = two_pieces();
    assert_eq!(read(&write(&scene)).unwrap(), scene);
}

#[test]
fn a_number_given_with_its_unit_is_refused_with_a_remedy() {
    let faults = faults_after(|v| {
        v["windows"][0]["pieces"][1]["makeup"]["plates"][0]["thickness_mm"] = json!("3 mm");
    });
    assert_eq!(
        faults,
        [
            "windows[0].pieces[1].makeup.plates[0].thickness_mm | a number without quotes or unit (the unit is in the \
          field's name) | \"3 mm\""
        ]
    );
}

#[test]
fn every_fault_is_listed_at_once() {
    let faults = faults_after(|v| {
        v["site"]["latitude_deg"] = json!(91);
        v["sky"]["kind"] = json!("stormy");
        v["room"]["colour"] = json!("white");
        v["windows"][0].as_object_mut().unwrap().remove("sill_height_m");
        v["windows"][0]["pieces"][0]["at_mm"] = json!([1, 2, 3]);
    });
    let paths: Vec<&str> = faults.iter().map(|f| f.split(" | ").next().unwrap()).collect();
    assert_eq!(
        paths,
        [
            "room.colour",
            "site.latitude_deg",
            "sky.kind",
            "windows[0].sill_height_m",
            "windows[0].pieces[0].at_mm"
        ]
    );
    assert!(faults[2].contains("\"clear\", \"standard\" or \"overcast\""), "{}", faults[2]);
}

#[test]
fn names_must_exist_and_be_unique() {
    let faults = faults_after(|v| {
        v["windows"][0]["pieces"][0]["makeup"]["plates"][0]["glass"] = json!("midcobalt");
        v["windows"][0]["pieces"][1]["id"] = json!(1);
        v["windows"][0]["pieces"][1]["makeup"]["paint"][0]["plate"] = json!(1);
        v["ground"] = json!({ "material": "velvet" });
        v["at"] = json!("teatime");
        v["places"][0]["distance_m"] = json!(9);
    });
    let paths: Vec<&str> = faults.iter().map(|f| f.split(" | ").next().unwrap()).collect();
    assert_eq!(
        paths,
        [
            "at",
            "ground.material",
            "windows[0].pieces[0].makeup.plates[0].glass",
            "windows[0].pieces[1].id",
            "windows[0].pieces[1].makeup.paint[0].plate",
            "places[0].distance_m",
        ]
    );
    assert!(faults[2].contains("`glasses`, such as mid-cobalt, "), "{}", faults[2]);
}

#[test]
fn the_year_must_be_one_for_which_the_suns_position_is_known() {
    for (at, fits) in [
        ("6000-12-31T12:00", true),
        ("6001-01-02T12:00", false),
        ("9999-12-31T23:59", false),
        ("-001999-01-01T00:00", true),
        ("-002001-06-01T00:00", false),
    ] {
        let faults = faults_after(|v| v["at"] = json!(at));
        assert_eq!(faults.is_empty(), fits, "{at}: {faults:?}");
        assert!(fits || faults[0].contains("at | a year from −2000 to 6000"), "{faults:?}");
    }
}

#[test]
fn the_edits_of_a_variant_must_apply() {
    let faults = faults_after(|v| {
        v["variants"][0]["edits"][0]["piece"] = json!(7);
        v["variants"].as_array_mut().unwrap().push(json!({
            "name": "blank", "edits": [{ "edit": "set_ground", "ground": { "material": "velvet" } }]
        }));
    });
    assert_eq!(faults.len(), 2, "{faults:?}");
    assert!(
        faults[0].starts_with("variants[0].edits[0] | ") && faults[0].contains("no piece 7"),
        "{}",
        faults[0]
    );
    assert!(faults[1].starts_with("variants[1]: ground.material"), "{}", faults[1]);
}

#[test]
fn a_text_that_is_not_a_scene_is_refused_and_the_fault_located() {
    for (text, found) in [
        ("", "an empty file"),
        ("\u{feff}  \n", "an empty file"),
        ("[]", "something else"),
        ("{}", "nothing: the field is missing"),
        ("{\"clerestory\": 6}", "version 6"),
        ("{\"clerestory\": 1,\n  \"name\": }", "“\"name\": }”, which cannot be read there"),
    ] {
        let faults = read(text).unwrap_err();
        assert_eq!(faults.0.len(), 1, "{text:?}: {faults}");
        assert!(faults.0[0].found.contains(found), "{text:?}: {faults}");
    }
    assert_eq!(read("{\"clerestory\": 1,\n  \"name\": }").unwrap_err().0[0].path, "line 2, column 11");
}

#[test]
fn deeply_nested_and_long_files_are_handled() {
    assert!(read(&"[".repeat(100_000)).is_err());
    let mut value: Value = serde_json::from_str(TWO_PIECES).unwrap();
    value["windows"][0]["pieces"] = Value::Array(vec![json!({}); 5_000]);
    assert!(read(&value.to_string()).unwrap_err().0.len() <= 210);
}

#[test]
fn removing_or_replacing_any_field_never_panics() {
    fn visit(value: &Value, path: &mut Vec<String>, all: &mut Vec<Vec<String>>) {
        all.push(path.clone());
        let children: Vec<(String, &Value)> = match value {
            Value::Object(fields) => fields.iter().map(|(k, v)| (k.clone(), v)).collect(),
            Value::Array(items) => items.iter().enumerate().map(|(i, v)| (i.to_string(), v)).collect(),
            _ => Vec::new(),
        };
        for (name, child) in children {
            path.push(name);
            visit(child, path, all);
            path.pop();
        }
    }
    let original: Value = serde_json::from_str(TWO_PIECES).unwrap();
    let mut all = Vec::new();
    visit(&original, &mut Vec::new(), &mut all);
    for path in &all {
        for replacement in [json!(null), json!(-1e308), json!("x"), json!([]), json!({}), json!(true)] {
            let mut value = original.clone();
            let pointer: String = path.iter().map(|p| format!("/{p}")).collect();
            *value.pointer_mut(&pointer).unwrap() = replacement.clone();
            if let Ok(scene) = read(&value.to_string()) {
                assert_eq!(check(&scene), [], "{pointer} = {replacement}");
            }
        }
    }
}

#[test]
fn brushwork_and_bars_read_back_equal_and_defaults_are_not_written() {
    let mut value: Value = serde_json::from_str(TWO_PIECES).unwrap();
    let paint = json!([
        { "kind": "trace", "density": 2.5, "strokes": [{ "path": "M100 100C200 150 300 150 400 100", "width_mm": 1.5 }] },
        { "kind": "matting", "density": 0.3, "fade_mm": 12.5, "stipple": 0.6, "firing": 2 },
        { "kind": "matting", "density": 0.1, "coverage": 1.0, "stipple": 0.3, "firing": 3 }
    ]);
    value["windows"][0]["pieces"][1]["makeup"]["paint"] = paint;
    value["windows"][0]["drawing"]["bars"] = json!([
        { "path": "M0 250H600", "width_mm": 10, "side": "outside" },
        { "path": "M0 750H600", "width_mm": 10, "side": "inside" }
    ]);
    let scene = read(&value.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
    let text = write(&scene);
    assert_eq!(read(&text).unwrap(), scene);
    let written: Value = serde_json::from_str(&text).unwrap();
    let window = &written["windows"][0];
    assert_eq!(window["drawing"]["bars"][0]["side"], "outside");
    assert!(window["drawing"]["bars"][1].get("side").is_none());
    let paint = &window["pieces"][1]["makeup"]["paint"];
    assert_eq!(paint[0]["strokes"][0]["width_mm"], 1.5);
    assert_eq!((&paint[1]["fade_mm"], &paint[1]["stipple"]), (&json!(12.5), &json!(0.6)));
    // A coverage that was given is written; defaults are not.
    assert_eq!(paint[2]["coverage"], 1.0);
    for absent in ["coverage", "fade_mm", "stipple"] {
        assert!(paint[0].get(absent).is_none(), "{absent}");
    }
    for absent in ["strokes", "fade_mm", "stipple"] {
        assert!(paint[2].get(absent).is_none(), "{absent}");
    }
}

#[test]
fn brushwork_belongs_to_its_kind_of_paint() {
    let faults = faults_after(|v| {
        v["windows"][0]["pieces"][1]["makeup"]["paint"] = json!([
            { "kind": "matting", "density": 0.3, "strokes": [{ "path": "M0 0H50", "width_mm": 1 }] },
            { "kind": "trace", "density": 2.0, "coverage": 0.1, "fade_mm": 10, "stipple": 0.5,
              "strokes": [{ "path": "M0 0L50 x", "width_mm": 1 }, { "path": "M5 5", "width_mm": 1 }] }
        ]);
    });
    let paint = "windows[0].pieces[1].makeup.paint";
    assert_eq!(
        faults,
        [
            format!("{paint}[0].strokes | strokes only on paint of kind \"trace\" | 1"),
            format!("{paint}[1].fade_mm | a fade only on paint of kind \"matting\" | 10"),
            format!("{paint}[1].stipple | a stipple only on paint of kind \"matting\" | 0.5"),
            format!(
                "{paint}[1].coverage | no coverage where there are strokes: it is computed from them | 0.1"
            ),
            format!("{paint}[1].strokes[0].path | SVG path data in mm | not a number, at character 9"),
            format!("{paint}[1].strokes[1].path | a line longer than zero | \"M5 5\""),
        ]
    );
    let faults = faults_after(|v| {
        v["windows"][0]["pieces"][1]["makeup"]["paint"][0] = json!(
            { "kind": "trace", "density": 2.0, "strokes": [{ "path": "M0 0H50", "width_mm": "1 mm" }] });
        v["windows"][0]["drawing"]["bars"] = json!([{ "path": "M0 0H50", "width_mm": 9, "side": "behind" }]);
    });
    assert!(
        faults[0].starts_with("windows[0].drawing.bars[0].side | \"outside\" or \"inside\""),
        "{}",
        faults[0]
    );
    assert!(faults[1].starts_with(&format!("{paint}[0].strokes[0].width_mm | ")), "{}", faults[1]);
}

#[test]
fn edits_undo_exactly() {
    let scene = two_pieces();
    let edits = [
        json!({ "edit": "set_name", "name": "Other" }),
        json!({ "edit": "set_at", "at": "2026-06-21T12:00" }),
        json!({ "edit": "set_sky", "sky": { "kind": "overcast", "cloud": 1.0 } }),
        json!({ "edit": "move_window", "window": "west", "centre_x_m": 1.0, "sill_height_m": 0.5 }),
        json!({ "edit": "set_makeup", "window": "west", "piece": 2,
                "makeup": { "plates": [{ "glass": "deep-cobalt", "thickness_mm": 2.0 }] } }),
        json!({ "edit": "set_glass", "id": "own-red", "glass": {
                "name": "Own red", "family": "red", "colour": { "recipe": { "Co2+": 0.1 } }, "provenance": "recipe" } }),
        json!({ "edit": "set_deposits", "window": "west", "deposits": { "outside": { "loss": 0.1 } } }),
        json!({ "edit": "set_viewer", "viewer": { "age_years": 70 } }),
        json!({ "edit": "together", "edits": [
                { "edit": "set_places", "places": [] }, { "edit": "set_variants", "variants": [] },
                { "edit": "set_protective_glazing", "window": "west",
                  "protective_glazing": { "thickness_mm": 6.0, "dirt": 0.08 } } ] }),
    ];
    let mut edited = scene.clone();
    let mut inverses = Vec::new();
    for edit in &edits {
        let edit = read_edit(&edit.to_string()).unwrap_or_else(|faults| panic!("{edit}: {faults}"));
        inverses.push(edit.apply(&mut edited).unwrap());
    }
    assert_ne!(edited, scene);
    for inverse in inverses.into_iter().rev() {
        inverse.apply(&mut edited).unwrap();
    }
    assert_eq!(edited, scene);
}

#[test]
fn grouped_edits_are_all_applied_or_none() {
    let scene = two_pieces();
    let mut edited = scene.clone();
    let edit = Edit::Together {
        edits: vec![
            Edit::SetName { name: "Half done".to_owned() },
            Edit::MoveWindow { window: "north".to_owned(), centre_x_m: 1.0, sill_height_m: 1.0 },
        ],
    };
    assert!(edit.apply(&mut edited).unwrap_err().to_string().contains("north"));
    assert_eq!(edited, scene);
}

#[test]
fn a_fault_in_an_edit_is_located() {
    let faults = read_edit(r#"{"edit": "set_name", "name": 3}"#).unwrap_err();
    assert_eq!(faults.0[0].path, "name");
    assert!(read_edit(r#"{"edit": "set_colour"}"#).unwrap_err().0[0].expected.contains("\"set_makeup\""));
}

#[test]
fn the_default_viewer_is_not_written_and_others_must_be_in_range() {
    let scene = two_pieces();
    assert_eq!(scene.viewer, scene::Viewer::default());
    assert!(!scene::write(&scene).contains("viewer"));
    let old = read_edit(r#"{"edit": "set_viewer", "viewer": {"age_years": 80, "pigmentation": 1}}"#).unwrap();
    let mut edited = scene;
    old.apply(&mut edited).unwrap();
    assert_eq!(scene::read(&scene::write(&edited)).unwrap(), edited);
    for wrong in [r#"{"age_years": 3}"#, r#"{"age_years": 40, "pigmentation": 1.5}"#, r#"{"age": 40}"#] {
        let edit = format!(r#"{{"edit": "set_viewer", "viewer": {wrong}}}"#);
        assert!(read_edit(&edit).unwrap_err().0[0].path.starts_with("viewer"), "{wrong}");
    }
}
