//! The lines of an open window: what is found, and what its edits do.

use new_window::check_lines;
use proptest::prelude::*;
use scene::{Edit, OpenScene, Scene, read, read_edit};
use serde_json::{Value, json};

use crate::page::{in_mm, options};

const WINDOW: &str = "window";

fn checked(scene: &Scene, window: &str, within_mm: f64) -> Value {
    let text =
        check_lines(&scene::write(scene), window, within_mm).unwrap_or_else(|faults| panic!("{faults}"));
    serde_json::from_str(&text).expect("JSON")
}

fn edit(value: &Value) -> Edit {
    read_edit(&value.to_string()).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The window of the page's own tests with other leads, y up.
fn with_leads(leads: &[String]) -> Scene {
    let start =
        json!({ "name": "Lines", "at": null, "site": null, "facing_deg": null, "sill_height_m": null });
    let text = new_window::scene(&in_mm(), &options(None, &json!([])), &start.to_string());
    let mut scene: Value = serde_json::from_str(&text.expect("a scene")).expect("JSON");
    let lines: Vec<Value> = leads
        .iter()
        .enumerate()
        .map(|(k, path)| json!({ "id": k + 1, "path": path, "width_mm": 5.0 }))
        .collect();
    let piece = scene["windows"][0]["pieces"][0].clone();
    scene["windows"][0]["drawing"]["cutlines"] = json!(lines);
    let drawing: scene::Drawing =
        serde_json::from_value(scene["windows"][0]["drawing"].clone()).expect("a drawing");
    let panel = panel::panel_from_drawing(&scene::panel_drawing(&drawing), &panel::PanelOptions::default());
    let pieces: Vec<Value> = panel
        .expect("a panel")
        .pieces
        .iter()
        .enumerate()
        .map(|(k, shape)| {
            let mut piece = piece.clone();
            piece["id"] = json!(k + 1);
            piece["at_mm"] = json!(shape.interior_point.to_array());
            piece
        })
        .collect();
    scene["windows"][0]["pieces"] = json!(pieces);
    scene["windows"][0]["id"] = json!(WINDOW);
    read(&scene.to_string()).unwrap_or_else(|faults| panic!("{faults}"))
}

fn two_open_ends() -> Scene {
    with_leads(&["M0 100H300".into(), "M100 200V102".into(), "M200 0L201 97.5".into()])
}

#[test]
fn every_open_end_has_its_edit_and_is_mended_by_it() {
    let scene = two_open_ends();
    let found = checked(&scene, WINDOW, 3.0);
    let places = found["places"].as_array().expect("places");
    assert_eq!(places.len(), 2, "{found}");
    // From the top, y down.
    assert_eq!((&places[0]["kind"], &places[0]["at_mm"]), (&json!("near_miss"), &json!([100.0, 98.0])));
    assert_eq!((&places[0]["distance_mm"], &places[0]["to_mm"]), (&json!(2.0), &json!([100.0, 100.0])));
    assert_eq!(places[0]["words"], "A line stops short 2 mm from the next line.");
    assert!(places[1]["distance_mm"].as_f64().is_some_and(|mm| (mm - 2.5).abs() < 1e-3));

    let mut open = OpenScene::new(scene.clone()).expect("a scene");
    open.make(edit(&places[0]["mend"])).expect("an edit");
    assert_eq!((open.undo_words(), open.resolved().windows[0].pieces.len()), (Some("join an open end"), 3));
    assert_eq!(open.notices(), ["Piece 3 is new, with the make-up of piece 1."]);
    assert_eq!(checked(open.file(), WINDOW, 3.0)["places"].as_array().map(Vec::len), Some(1));
    open.step(true).expect("undone");
    assert_eq!(open.file(), &scene);

    open.make(edit(&found["mend_all"])).expect("an edit");
    assert_eq!((open.undo_words(), open.resolved().windows[0].pieces.len()), (Some("join 2 open ends"), 4));
    let now = checked(open.file(), WINDOW, 3.0);
    assert_eq!(now, json!({ "places": [], "mend_all": null }));
    // Another number of lines, or something beside them, is not called so.
    open.step(true).expect("undone");
    open.make(Edit::SetLine { window: WINDOW.into(), line: 2, to: None, at: None }).expect("an edit");
    assert_eq!(open.undo_words(), Some("line 2"));
}

/// What undo says after the edit that mends all of a window's ends within 3 mm.
fn mended(leads: &[&str]) -> String {
    let scene = with_leads(&leads.iter().map(|&path| path.to_owned()).collect::<Vec<_>>());
    let found = checked(&scene, WINDOW, 3.0);
    let mut open = OpenScene::new(scene).expect("a scene");
    open.make(edit(&found["mend_all"])).unwrap_or_else(|faults| panic!("{faults}: {found}"));
    assert_eq!(checked(open.file(), WINDOW, 3.0)["places"], json!([]));
    open.undo_words().expect("an edit").to_owned()
}

#[test]
fn undo_says_whether_ends_were_joined_or_trimmed() {
    // The window is 300 by 200.
    let across = "M0 100H300";
    assert_eq!(mended(&[across, "M100 200V102"]), "join an open end");
    // Past another line, and past the window's edge.
    assert_eq!(mended(&[across, "M100 200V97.5"]), "trim an end");
    assert_eq!(mended(&["M100 0V202"]), "trim an end");
    assert_eq!(mended(&["M100 0V202", "M150 0V202", "M-2 100H303"]), "trim 4 ends");
    assert_eq!(mended(&[across, "M100 200V97.5", "M200 0V202", "M50 -2.5V100"]), "trim 3 ends");
    assert_eq!(mended(&[across, "M100 200V102", "M200 0V202"]), "join or trim 2 ends");
}

#[test]
fn ends_beyond_the_tolerance_have_no_edit() {
    let found = checked(&two_open_ends(), WINDOW, 2.1);
    assert!(found["places"][0]["mend"].is_object() && found["places"][1]["mend"].is_null(), "{found}");
    assert!(found["mend_all"].is_object());
    assert!(checked(&two_open_ends(), WINDOW, 0.2)["mend_all"].is_null());
}

#[test]
fn what_cannot_be_checked_says_why() {
    let text = scene::write(&two_open_ends());
    for (window, within, path, found) in [
        ("nave", 2.0, "windows", "“nave”"),
        (WINDOW, f64::NAN, "within_mm", "NaN mm"),
        (WINDOW, 20.0, "within_mm", "20 mm"),
    ] {
        let faults = check_lines(&text, window, within).expect_err("a fault").0;
        assert_eq!((faults[0].path.as_str(), faults[0].found.as_str()), (path, found));
    }
    assert!(check_lines("{}", WINDOW, 2.0).is_err());
}

#[test]
fn nothing_is_found_in_the_demos() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-scenes");
    let mut windows = 0;
    for file in std::fs::read_dir(folder).expect("the demos") {
        let path = file.expect("a file").path();
        if path.extension().is_some_and(|extension| extension == "json") {
            let scene = read(&std::fs::read_to_string(&path).expect("text")).expect("a scene");
            for window in &scene.windows {
                let found = checked(&scene, &window.id, 15.0);
                assert_eq!(found, json!({ "places": [], "mend_all": null }), "{}", path.display());
                windows += 1;
            }
        }
    }
    assert!(windows >= 3);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Any lines: every edit can be made, mends what it is offered for, and is undone exactly.
    #[test]
    fn edits_mend_and_are_undone(
        ends in prop::collection::vec((0.0..300.0_f64, 0.0..200.0_f64, 0.0..300.0_f64, 0.0..200.0_f64), 1..7),
        within_mm in 0.5..15.0_f64,
    ) {
        let leads: Vec<String> = ends.iter().map(|(a, b, c, d)| format!("M{a:.1} {b:.1}L{c:.1} {d:.1}")).collect();
        let scene = with_leads(&leads);
        let found = checked(&scene, WINDOW, within_mm);
        let mut open = OpenScene::new(scene.clone()).expect("a scene");
        let open_ends = |open: &OpenScene| open.resolved().windows[0].panel.open_ends.len();
        let before = open_ends(&open);
        let places = found["places"].as_array().expect("places").clone();
        let edits = places.iter().map(|place| &place["mend"]).chain([&found["mend_all"]]);
        for one in edits.filter(|edit| !edit.is_null()) {
            open.make(edit(one)).unwrap_or_else(|faults| panic!("{faults}"));
            prop_assert!(open_ends(&open) < before, "{} of {before}: {one}", open_ends(&open));
            open.step(true).expect("undone");
            prop_assert_eq!(open.file(), &scene);
        }
    }
}
