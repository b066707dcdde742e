//! Answers of every demo fit, field by field, the types from which the TypeScript is generated; requests that do not
//! fit are refused with the place of each fault.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};
use wasm_bindgen::JsError;

use super::absent_or_a_value;
use crate::contract::{
    Choices, Day, FileRequest, Gamut, GlassFamily, Made, Overview, PictureMode, PictureRequest, Report,
    Section, SunPath, Surroundings, WindowShapes, Year,
};
use crate::request::read;
use crate::{Figures, SceneDocument, choices};
use scene::VariantAction;

#[path = "../../tests/suite/demos.rs"]
mod demos;
use demos::{DEMOS, ESTUARY};

fn answer(text: Result<String, JsError>) -> String {
    text.map_err(|_| "no answer").unwrap()
}

/// Refuses every field missing from a schema: an answer has exactly the fields of its schema.
fn close(schema: &mut Value) {
    match schema {
        Value::Object(parts) => {
            if parts.contains_key("properties") {
                parts.entry("additionalProperties").or_insert(Value::Bool(false));
            }
            parts.values_mut().for_each(close);
        }
        Value::Array(parts) => parts.iter_mut().for_each(close),
        _ => {}
    }
}

fn schema_of<T: JsonSchema>() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize().with(|s| s.inline_subschemas = true);
    let mut schema = settings.into_generator().into_root_schema_for::<T>().into();
    close(&mut schema);
    absent_or_a_value(&mut schema);
    schema
}

/// Parses the answer, which must fit the type.
fn fits<T: JsonSchema>(text: &str) -> Value {
    let value: Value = serde_json::from_str(text).unwrap();
    let faults = scene::faults_of(&value, &schema_of::<T>());
    assert!(faults.is_empty(), "{}: {}", T::schema_name(), scene::Faults(faults));
    value
}

#[test]
fn every_answer_of_every_demo_fits_its_type() {
    fits::<Choices>(&choices());
    for text in DEMOS {
        let mut document = SceneDocument::open(text).unwrap();
        let overview = fits::<Overview>(&document.overview());
        fits::<Vec<WindowShapes>>(&document.outlines());
        let window = document.resolved().windows[0].id.clone();
        let some = json!(document.resolved().windows[0].pieces.iter().map(|p| p.id).collect::<Vec<_>>());
        check_attachments(&mut document);
        check_skies(&mut document);
        check_pieces(&mut document, &window, &some);
        for variant in overview["variants"].as_array().unwrap() {
            let shown = document.vary(&json!({ "variant": "show", "name": variant["name"] }).to_string());
            let made = fits::<Made<'_>>(&document.answer(&shown.unwrap()));
            scene::read_edit(&made["edit"].to_string()).unwrap();
            fits::<Overview>(&document.overview());
        }
    }
}

/// With a file attached, removed, and attached again by undo.
fn check_attachments(document: &mut SceneDocument) {
    let attachment =
        json!({ "name": "wall.jpg", "kind": "photograph", "media_type": "image/jpeg", "bytes": 5 });
    for attachment in [attachment, json!(null)] {
        let edit = json!({ "edit": "set_attachment", "hash": "0a".repeat(32), "attachment": attachment });
        let made = document.make(&edit.to_string()).unwrap();
        let made = fits::<Made<'_>>(&document.answer(&made));
        assert_eq!(made["changes"]["attachments"]["0a".repeat(32)]["name"], "wall.jpg");
    }
    document.step(true).unwrap();
    let overview = fits::<Overview>(&document.overview());
    assert_eq!(overview["attachments"][0]["hash"], "0a".repeat(32));
    document.step(true).unwrap();
}

/// Under every sky, by day and by night.
fn check_skies(document: &mut SceneDocument) {
    let at = document.resolved().scene.at.clone();
    let date = at[..10].to_owned();
    for weather in scene::Weather::ALL {
        document.make(&json!({ "edit": "set_sky", "sky": weather.sky() }).to_string()).unwrap();
        assert_eq!(fits::<Surroundings>(&document.surroundings())["weather"], json!(weather));
    }
    fits::<SunPath>(&answer(document.sun_path(&date)));
    let mut figures = Figures::open(&document.shown_text()).unwrap();
    for at in [at, format!("{date}T00:10")] {
        fits::<Report>(&answer(figures.report(&at, "")));
        fits::<viewing::Ranges>(&answer(figures.ranges(&at, "")));
    }
    fits::<Day>(&answer(figures.day(&date, "", 0, 12)));
    fits::<Day>(&answer(figures.day(&date, "", 6, 12)));
    fits::<Year>(&answer(figures.year(2026, "", 1, 36)));
}

/// Sections of one piece, of all of them, and with every kind of layer.
fn check_pieces(document: &mut SceneDocument, window: &str, all: &Value) {
    let (first, second) = (&all[0], &all[1]);
    let section = |document: &SceneDocument, pieces: &Value| {
        fits::<Section>(&answer(document.section(window, &pieces.to_string(), "")))
    };
    section(document, &json!([first]));
    section(document, all);
    let makeup = |gap: &str| {
        json!({
            "plates": [
                { "glass": "flashed-ruby", "thickness_mm": 3.0, "flash_left": 0.5 },
                { "glass": "clear-soda", "thickness_mm": 2.0 }
            ],
            "gap": gap,
            "paint": [
                { "kind": { "stain": "gold" }, "face": "outside", "density": 0.4 },
                { "kind": "trace", "plate": 1, "density": 2.5, "coverage": 0.1 },
                { "kind": { "enamel": "rose" }, "plate": 1, "density": 0.3, "firing": 2 }
            ]
        })
    };
    let glazing = json!({ "thickness_mm": 6.0, "dirt": 0.08 });
    let edits = json!({ "edit": "together", "edits": [
        { "edit": "set_makeup", "window": window, "piece": first, "makeup": makeup("air") },
        { "edit": "set_makeup", "window": window, "piece": second, "makeup": makeup("contact") },
        { "edit": "set_protective_glazing", "window": window, "protective_glazing": glazing },
        { "edit": "set_deposits", "window": window, "deposits": { "outside": { "loss": 0.05 }, "inside": { "loss": 0.02 } } },
    ] });
    document.make(&edits.to_string()).unwrap();
    let layers = section(document, &json!([first]))["layers"].clone();
    let kinds: Vec<&str> = layers.as_array().unwrap().iter().map(|l| l["kind"].as_str().unwrap()).collect();
    let expected = [
        "protective",
        "air",
        "deposit",
        "paint",
        "glass",
        "flash",
        "air",
        "glass",
        "paint",
        "paint",
        "deposit",
    ];
    assert_eq!(kinds, expected);
    section(document, &json!([first, second]));
    fits::<Vec<GlassFamily>>(&document.glasses("", 3.0));
    let change = json!({ "change": "thickness", "plate": 0, "thickness_mm": 4.0 }).to_string();
    let pieces = json!([first, second]).to_string();
    let changed = document.change(window, &pieces, &change).map_err(|_| "no change").unwrap();
    fits::<scene::Changed>(&changed.unwrap());
    // The pane in front is not a layer of a piece, so nothing changes.
    let change = json!({ "change": "remove_paint", "paint": layers[0]["key"] }).to_string();
    assert!(document.change(window, &pieces, &change).map_err(|_| "no change").unwrap().is_none());
}

/// With everything that the page offers to begin with: the opening widens with the splay, and the report has the wall.
#[test]
fn the_wall_that_the_page_begins_with_can_be_built() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let usual = fits::<Choices>(&choices())["usual_window_wall"].clone();
    let place =
        |document: &SceneDocument| fits::<Surroundings>(&document.surroundings())["windows"][0].clone();
    let before = place(&document);
    assert_eq!(before["wall"], json!({}));
    assert_eq!(before["outer_face"], before["inner_face"]);
    let mut inner = usual["reveal"].clone();
    inner["splay_deg"] = json!({ "jamb": 45, "head": 0, "sill": 45 });
    let wall = json!({
        "outer": usual["reveal"], "inner": inner, "overhang": before["overhang_if_added"], "guards": usual["guards"],
        "leaf_mm": usual["leaf_mm"]
    });
    document.make(&json!({ "edit": "set_wall", "window": "west", "wall": wall }).to_string()).unwrap();
    let after = place(&document);
    assert_eq!(after["outer_face"], before["outer_face"]);
    let depth_m = usual["reveal"]["depth_m"].as_f64().unwrap();
    for (edge, grown) in [("left_m", -depth_m), ("right_m", depth_m), ("bottom_m", -depth_m), ("top_m", 0.0)]
    {
        let moved =
            after["inner_face"][edge].as_f64().unwrap() - before["inner_face"][edge].as_f64().unwrap();
        // The two arcs of the head lean with the jambs, so only a level edge is exact.
        let exact = edge != "top_m";
        assert!((moved - grown).abs() < 1e-9 || (!exact && moved >= grown), "{edge}: {moved}");
    }
    let mut figures = Figures::open(&document.shown_text()).unwrap();
    let report = fits::<Report>(&answer(figures.report(&document.resolved().scene.at, "")));
    assert_eq!(report["walls"][0]["window"], "west");
    assert_eq!(
        (&report["leads"][0]["window"], &report["leads"][0]["leaf_mm"]),
        (&json!("west"), &json!(1.0))
    );
}

#[test]
fn an_answer_with_a_field_more_or_less_does_not_fit() {
    let document = SceneDocument::open(ESTUARY).unwrap();
    let mut value: Value = serde_json::from_str(&document.surroundings()).unwrap();
    let schema = schema_of::<Surroundings>();
    value["room"]["colour"] = json!("red");
    value["windows"][0].as_object_mut().unwrap().remove("width_m");
    let paths: Vec<String> = scene::faults_of(&value, &schema).into_iter().map(|fault| fault.path).collect();
    assert_eq!(paths, ["room.colour", "windows[0].width_m"]);
}

fn picture() -> Map<String, Value> {
    let request = json!({
        "window": "west", "place": "", "at": "2026-11-25T15:00", "mode": "colour_true", "mark_unshowable": false,
        "gamut": "display_p3", "width_px": 640, "height_px": 400, "centre_x_mm": 150.5, "centre_y_mm": 90,
        "mm_per_px": 0.5
    });
    request.as_object().unwrap().clone()
}

#[test]
fn requests_for_pictures_are_read() {
    let read_back: PictureRequest = read(&json!(picture()).to_string(), "PictureRequest").unwrap();
    let expected = PictureRequest {
        window: "west".to_owned(),
        place: String::new(),
        at: "2026-11-25T15:00".to_owned(),
        mode: PictureMode::ColourTrue,
        mark_unshowable: false,
        gamut: Some(Gamut::DisplayP3),
        width_px: 640,
        height_px: 400,
        centre_x_mm: 150.5,
        centre_y_mm: 90.0,
        mm_per_px: 0.5,
    };
    assert_eq!(read_back, expected);
    let mut without = picture();
    without.remove("gamut");
    let read_back: PictureRequest = read(&json!(without).to_string(), "PictureRequest").unwrap();
    assert_eq!(read_back, PictureRequest { gamut: None, ..expected });
    let mut file = picture();
    file.retain(|key, _| !["height_px", "centre_x_mm", "centre_y_mm", "mm_per_px"].contains(&key.as_str()));
    let read_back: FileRequest = read(&json!(file).to_string(), "FileRequest").unwrap();
    assert_eq!((read_back.gamut, read_back.width_px), (Gamut::DisplayP3, 640));
}

/// The fault of a request, as shown.
fn check_picture(change: impl Fn(&mut Map<String, Value>), fault: &str) {
    let mut request = picture();
    change(&mut request);
    let faults = read::<PictureRequest>(&json!(request).to_string(), "PictureRequest").unwrap_err();
    assert_eq!(faults.to_string(), fault);
}

#[test]
fn faults_of_requests_have_their_places() {
    check_picture(
        |request| drop(request.remove("window")),
        "window: expected text, found nothing: the field is missing",
    );
    check_picture(
        |request| drop(request.insert("width_px".to_owned(), json!("640"))),
        "width_px: expected a whole number without quotes or unit (the unit is in the field's name), found \"640\"",
    );
    check_picture(
        |request| drop(request.insert("height_px".to_owned(), json!(0))),
        "height_px: expected a number from 1 to 16384, found 0",
    );
    check_picture(
        |request| drop(request.insert("mm_per_px".to_owned(), json!(0.0))),
        "mm_per_px: expected a number of at least 0.000001, found 0.0",
    );
    check_picture(
        |request| drop(request.insert("mode".to_owned(), json!("sepia"))),
        "mode: expected \"appearance\" or \"colour_true\", found \"sepia\"",
    );
    let mut unknown = picture();
    unknown.insert("zoom".to_owned(), json!(2));
    let faults = read::<PictureRequest>(&json!(unknown).to_string(), "PictureRequest").unwrap_err();
    assert_eq!(faults.0[0].path, "zoom");
    assert!(read::<PictureRequest>("{", "PictureRequest").is_err());
    assert!(read::<PictureRequest>("[]", "PictureRequest").is_err());
    let unknown = read::<PictureRequest>(&json!(picture()).to_string(), "Sculpture").unwrap_err();
    assert_eq!(unknown.0[0].found, "“Sculpture”");

    let change = |change: Value| read::<scene::Change>(&change.to_string(), "Change").unwrap_err().0;
    let thick = change(json!({ "change": "thickness", "plate": "0", "thickness_mm": 3.0, "unit": "mm" }));
    let paths: Vec<&str> = thick.iter().map(|fault| fault.path.as_str()).collect();
    assert_eq!(paths, ["plate", "unit"]);
    let layer =
        change(json!({ "change": "remove_paint", "paint": { "layer": "paint", "plate": 0, "face": "up" } }));
    let paths: Vec<&str> = layer.iter().map(|fault| fault.path.as_str()).collect();
    assert_eq!(paths, ["paint.kind", "paint.nth", "paint.face"]);
    let vary = |action: Value| read::<VariantAction>(&action.to_string(), "VariantAction").unwrap_err().0;
    assert_eq!(vary(json!({ "variant": "sing" }))[0].path, "variant");
    assert_eq!(vary(json!({ "variant": "rename", "name": "Dusk" }))[0].path, "to");
}
