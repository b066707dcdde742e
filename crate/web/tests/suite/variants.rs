//! Variants and history for the page: each edit is applied where it belongs, every step is undone exactly, and a
//! document kept between visits is unchanged.

#![cfg(not(target_arch = "wasm32"))]

use proptest::prelude::{Strategy, prop_assert_eq, prop_oneof, proptest};
use serde_json::{Value, json};
use web::{Figures, SceneDocument};

use crate::demos::ESTUARY;

fn estuary() -> SceneDocument {
    SceneDocument::open(ESTUARY).unwrap()
}

/// A small scene, since the property tests use it many times.
fn two_pieces() -> SceneDocument {
    SceneDocument::open(include_str!("../../../scene/tests/two-pieces.json")).unwrap()
}

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn overview(document: &SceneDocument) -> Value {
    parsed(&document.overview())
}

fn vary(document: &mut SceneDocument, action: Value) {
    document.vary(&action.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
}

fn make(document: &mut SceneDocument, edit: Value) {
    document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
}

fn glaze(document: &mut SceneDocument, piece: u32, glass: &str) {
    let plates = json!([{ "glass": glass, "thickness_mm": 3.0 }]);
    make(
        document,
        json!({ "edit": "set_makeup", "window": "west", "piece": piece, "makeup": { "plates": plates } }),
    );
}

fn glass_of(document: &SceneDocument, piece: u32) -> String {
    let window = &document.resolved().windows[0];
    window.pieces.iter().find(|p| p.id == piece).unwrap().makeup.plates[0].glass.id.clone()
}

fn shown_lux(document: &SceneDocument) -> f64 {
    let mut figures = Figures::open(&document.shown_text()).unwrap();
    let at = document.resolved().scene.at.clone();
    let report = parsed(&figures.report(&at, "").map_err(|_| "no report").unwrap());
    report["viewing"]["vertical"]["total_lx"].as_f64().unwrap()
}

#[test]
fn an_edit_changes_only_the_variant_shown() {
    let mut document = two_pieces();
    let drawn = glass_of(&document, 1);
    vary(&mut document, json!({ "variant": "add", "name": "Dusk" }));
    assert_eq!(overview(&document)["shown"], "Dusk");
    glaze(&mut document, 1, "lilac");
    glaze(&mut document, 1, "amber");
    let variants = overview(&document)["variants"].clone();
    assert_eq!(variants[1], json!({ "name": "Dusk", "note": "", "differences": 1 }));
    assert_eq!(glass_of(&document, 1), "amber");
    vary(&mut document, json!({ "variant": "show", "name": null }));
    assert_eq!(glass_of(&document, 1), drawn);
    // An edit of the scene as drawn also shows in a variant, unless the variant sets that part itself.
    glaze(&mut document, 2, "lilac");
    vary(&mut document, json!({ "variant": "show", "name": "Dusk" }));
    assert_eq!([glass_of(&document, 1), glass_of(&document, 2)], ["amber", "lilac"]);
    // A value equal to the scene's is not a difference.
    glaze(&mut document, 1, &drawn);
    assert_eq!(overview(&document)["variants"][1]["differences"], 0);
}

#[test]
fn hour_and_names_belong_to_the_scene_unless_the_variant_sets_them() {
    let mut document = two_pieces();
    vary(&mut document, json!({ "variant": "add", "name": "Dusk" }));
    make(&mut document, json!({ "edit": "set_at", "at": "2026-06-21T19:30" }));
    make(&mut document, json!({ "edit": "set_name", "name": "Renamed" }));
    assert_eq!(overview(&document)["variants"][1]["differences"], 0);
    vary(&mut document, json!({ "variant": "show", "name": null }));
    assert_eq!(overview(&document)["at"], "2026-06-21T19:30");
    assert_eq!(overview(&document)["name"], "Renamed");
    let own_hour = json!([{ "name": "Late", "edits": [{ "edit": "set_at", "at": "2026-06-21T21:00" }] }]);
    make(&mut document, json!({ "edit": "set_variants", "variants": own_hour }));
    vary(&mut document, json!({ "variant": "show", "name": "Late" }));
    make(&mut document, json!({ "edit": "set_at", "at": "2026-06-21T21:15" }));
    assert_eq!(overview(&document)["at"], "2026-06-21T21:15");
    vary(&mut document, json!({ "variant": "show", "name": null }));
    assert_eq!(overview(&document)["at"], "2026-06-21T19:30");
}

#[test]
fn undo_returns_to_the_variant_in_which_the_edit_was_made() {
    let mut document = two_pieces();
    let drawn = glass_of(&document, 1);
    vary(&mut document, json!({ "variant": "show", "name": "pale" }));
    let pale = glass_of(&document, 1);
    glaze(&mut document, 1, "lilac");
    assert_eq!(document.undo_words().as_deref(), Some("glass of piece 1"));
    vary(&mut document, json!({ "variant": "show", "name": null }));
    assert_eq!(glass_of(&document, 1), drawn);
    assert_eq!(document.undo_words().as_deref(), Some("glass of piece 1"));
    document.step(true).unwrap();
    assert_eq!(overview(&document)["shown"], "pale");
    assert_eq!(glass_of(&document, 1), pale);
    assert_eq!(document.undo_words(), None);
    assert_eq!(document.redo_words().as_deref(), Some("glass of piece 1"));
    document.step(false).unwrap();
    assert_eq!(glass_of(&document, 1), "lilac");
}

#[test]
fn variants_are_named_noted_copied_and_removed_and_all_of_it_is_undone() {
    let mut document = two_pieces();
    let before = document.text();
    vary(&mut document, json!({ "variant": "show", "name": "pale" }));
    vary(&mut document, json!({ "variant": "rename", "name": "pale", "to": " Paler " }));
    assert_eq!(overview(&document)["shown"], "Paler");
    vary(&mut document, json!({ "variant": "note", "name": "Paler", "note": "for the north wall" }));
    vary(&mut document, json!({ "variant": "duplicate", "name": "Paler", "to": "Copy" }));
    let variants = overview(&document)["variants"].clone();
    assert_eq!(variants[1], json!({ "name": "Copy", "note": "for the north wall", "differences": 1 }));
    glaze(&mut document, 2, "lilac");
    vary(&mut document, json!({ "variant": "remove", "name": "Copy" }));
    assert_eq!(overview(&document)["shown"], Value::Null);
    document.step(true).unwrap();
    assert_eq!(overview(&document)["shown"], "Copy");
    assert_eq!(glass_of(&document, 2), "lilac");
    while document.step(true).unwrap().is_some() {}
    assert_eq!(document.text(), before);
    assert_eq!(overview(&document)["shown"], "pale");
    let no_name = [
        json!({ "variant": "add", "name": "pale" }),
        json!({ "variant": "add", "name": "  " }),
        json!({ "variant": "add", "name": "long".repeat(26) }),
        json!({ "variant": "rename", "name": "nowhere", "to": "x" }),
        json!({ "variant": "show", "name": "nowhere" }),
        json!({ "variant": "sing" }),
    ];
    for action in no_name {
        assert!(document.vary(&action.to_string()).is_err(), "{action}");
    }
    assert_eq!(document.text(), before);
    assert!(!document.can_undo());
}

#[test]
fn applying_a_variant_to_the_scene_leaves_the_other_variants_looking_the_same() {
    let mut document = two_pieces();
    let before = document.text();
    vary(&mut document, json!({ "variant": "add", "name": "Other" }));
    glaze(&mut document, 2, "lilac");
    let (one, two) = (glass_of(&document, 1), glass_of(&document, 2));
    vary(&mut document, json!({ "variant": "make_scene", "name": "pale" }));
    // "Other" is still shown, and sets piece 1 to what the scene had before.
    assert_eq!([glass_of(&document, 1), glass_of(&document, 2)], [one, two]);
    assert_eq!(overview(&document)["variants"], json!([{ "name": "Other", "note": "", "differences": 2 }]));
    vary(&mut document, json!({ "variant": "show", "name": null }));
    assert_eq!(glass_of(&document, 1), "pale-cobalt");
    while document.step(true).unwrap().is_some() {}
    assert_eq!(document.text(), before);
}

#[test]
fn an_edit_removes_what_no_longer_fits_and_its_undo_restores_it() {
    let mut document = two_pieces();
    vary(&mut document, json!({ "variant": "add", "name": "Aside" }));
    make(
        &mut document,
        json!({ "edit": "move_window", "window": "west", "centre_x_m": 3.6, "sill_height_m": 1.2 }),
    );
    glaze(&mut document, 1, "lilac");
    vary(&mut document, json!({ "variant": "show", "name": null }));
    let mut room = parsed(&document.text())["room"].clone();
    room["width_m"] = json!(3.5);
    make(&mut document, json!({ "edit": "set_room", "room": room }));
    let lost = "Variant “Aside” has lost a difference that no longer fits: position of window “west”.";
    assert_eq!(overview(&document)["notices"], json!([lost]));
    assert_eq!(overview(&document)["variants"][1]["differences"], 1);
    vary(&mut document, json!({ "variant": "show", "name": "Aside" }));
    assert_eq!(glass_of(&document, 1), "lilac");
    document.step(true).unwrap();
    assert_eq!(overview(&document)["notices"], json!([]));
    assert_eq!(overview(&document)["variants"][1]["differences"], 2);
    // A room that the scene itself does not fit is refused, whatever the variants are.
    room["width_m"] = json!(1.0);
    assert!(document.make(&json!({ "edit": "set_room", "room": room }).to_string()).is_err());
}

#[test]
fn a_variant_that_cannot_be_built_is_not_shown_and_nothing_changes() {
    let mut scene = parsed(&two_pieces().text());
    scene["variants"] = json!([{ "name": "Outside", "edits": [
        { "edit": "move_window", "window": "west", "centre_x_m": 3.9, "sill_height_m": 1.2 }
    ] }]);
    let mut document = SceneDocument::open(&scene.to_string()).unwrap();
    let faults = document.vary(r#"{"variant":"show","name":"Outside"}"#).unwrap_err();
    assert!(faults.to_string().contains("centre_x_m"), "{faults}");
    assert_eq!(overview(&document)["shown"], Value::Null);
    assert!(document.make(r#"{"edit":"set_name","name":"Still at work"}"#).is_ok());
}

#[test]
fn a_worker_copy_shows_the_figures_of_the_variant() {
    let mut document = estuary();
    let mut figures = Figures::open(&document.shown_text()).unwrap();
    let at = document.resolved().scene.at.clone();
    let name = overview(&document)["variants"][0]["name"].clone();
    for shown in [name.clone(), Value::Null, name] {
        let made = document.vary(&json!({ "variant": "show", "name": shown }).to_string()).unwrap();
        figures.follow(&serde_json::to_string(&made.edit).unwrap()).unwrap();
        let in_step = parsed(&figures.report(&at, "").map_err(|_| "no report").unwrap());
        let in_step = in_step["viewing"]["vertical"]["total_lx"].as_f64().unwrap();
        // As on the command line: from the file, by the variant's name.
        let scene = scene::read(&document.text()).unwrap();
        let anew = scene::resolve(&scene, shown.as_str()).unwrap();
        let anew = viewing::report(&anew, Some(&at), None).unwrap();
        let anew = serde_json::to_value(anew).unwrap()["viewing"]["vertical"]["total_lx"].as_f64().unwrap();
        assert!((in_step - anew).abs() < 1e-9 * anew, "{shown}: {in_step} in step, {anew} from the file");
        assert!((in_step - shown_lux(&document)).abs() < 1e-9 * in_step);
    }
}

#[test]
fn a_kept_document_is_restored_completely_or_not_at_all() {
    let mut document = two_pieces();
    vary(&mut document, json!({ "variant": "show", "name": "pale" }));
    glaze(&mut document, 1, "lilac");
    glaze(&mut document, 2, "lilac");
    document.step(true).unwrap();
    let kept = document.kept();
    let mut again = SceneDocument::reopen(&kept).unwrap();
    assert_eq!(again.kept(), kept);
    assert_eq!(overview(&again)["shown"], "pale");
    assert_eq!(again.redo_words().as_deref(), Some("make-up of piece 2"));
    again.step(false).unwrap();
    assert_eq!(glass_of(&again, 2), "lilac");
    while again.step(true).unwrap().is_some() {}
    assert_eq!(again.text(), two_pieces().text());
    let mut newer = parsed(&kept);
    newer["kept"] = json!(3);
    let mut unknown = parsed(&kept);
    unknown["shown"] = json!("nowhere");
    let mut odd_history = parsed(&kept);
    odd_history["undo"][0]["back"] = json!({ "edits": [{ "edit": "sing" }] });
    let damaged = [String::new(), kept[..kept.len() / 2].to_owned(), newer.to_string()];
    for text in damaged.into_iter().chain([unknown.to_string(), odd_history.to_string()]) {
        assert!(SceneDocument::reopen(&text).is_err(), "{text}");
    }
    // A step of another scene's history is refused and changes nothing.
    let mut foreign = parsed(&kept);
    foreign["undo"][0]["back"] = json!({ "edits": [{ "edit": "move_window", "window": "east", "centre_x_m": 1.0, "sill_height_m": 1.0 }] });
    let mut foreign = SceneDocument::reopen(&foreign.to_string()).unwrap();
    let before = foreign.text();
    assert!(foreign.step(true).is_err());
    assert_eq!(foreign.text(), before);
}

#[test]
fn every_action_has_a_label() {
    let mut document = estuary();
    let makeup = |piece: u32, makeup: Value| json!({ "edit": "set_makeup", "window": "west", "piece": piece, "makeup": makeup });
    let now =
        parsed(&document.section("west", "[84]", "").map_err(|_| "no section").unwrap())["makeup"].clone();
    let mut thicker = now.clone();
    thicker["plates"][0]["thickness_mm"] = json!(7.5);
    let mut painted = thicker.clone();
    painted["paint"] = json!([{ "kind": "matting", "density": 0.77 }]);
    let plates =
        json!([{ "glass": "amber", "thickness_mm": 3.0 }, { "glass": "lilac", "thickness_mm": 3.0 }]);
    let cases = [
        (makeup(84, thicker), "thickness of piece 84"),
        (makeup(84, painted), "paint of piece 84"),
        (makeup(84, json!({ "plates": plates })), "plating of piece 84"),
        (json!({ "edit": "set_at", "at": "2026-09-22T04:45" }), "hour"),
        (json!({ "edit": "set_at", "at": "2026-09-23T04:45" }), "date"),
        (json!({ "edit": "set_ground", "ground": { "grey": 0.5 } }), "ground outside"),
        (
            json!({ "edit": "together", "edits": [
                makeup(1, json!({ "plates": [{ "glass": "amber", "thickness_mm": 2.0 }] })),
                makeup(2, json!({ "plates": [{ "glass": "amber", "thickness_mm": 2.0 }] })),
            ] }),
            "2 pieces",
        ),
    ];
    for (edit, words) in cases {
        make(&mut document, edit.clone());
        let found = document.undo_words().unwrap_or_default();
        assert!(found.ends_with(words), "{edit}: “{found}”");
    }
}

#[test]
fn an_edit_that_changes_nothing_adds_no_undo_step() {
    let mut document = two_pieces();
    let at = document.resolved().scene.at.clone();
    make(&mut document, json!({ "edit": "set_at", "at": at }));
    assert!(!document.can_undo());
}

fn some_action() -> impl Strategy<Value = (bool, Value)> {
    let name = || proptest::sample::select(vec!["pale", "a", "b"]);
    let vary = |value| (true, value);
    prop_oneof![
        (1u32..=2, proptest::sample::select(vec!["amber", "lilac", "pale-cobalt"])).prop_map(
            |(piece, glass)| {
                let makeup = json!({ "plates": [{ "glass": glass, "thickness_mm": 3.0 }] });
                (false, json!({ "edit": "set_makeup", "window": "west", "piece": piece, "makeup": makeup }))
            }
        ),
        (1u32..=3, proptest::option::of(1u32..9)).prop_map(|(line, y)| {
            let path = y.map(|y| format!("M0 {0}L600 {0}", 100 * y + 3 * line));
            let to = path.map(|path| json!({ "path": path, "width_mm": 5.0 }));
            (false, json!({ "edit": "set_line", "window": "west", "line": line, "to": to }))
        }),
        (0u32..24).prop_map(|h| (false, json!({ "edit": "set_at", "at": format!("2026-03-01T{h:02}:00") }))),
        (1u32..9).prop_map(|c| {
            (false, json!({ "edit": "set_sky", "sky": { "kind": "overcast", "cloud": f64::from(c) / 9.0 } }))
        }),
        proptest::option::of(name()).prop_map(move |n| vary(json!({ "variant": "show", "name": n }))),
        name().prop_map(move |n| vary(json!({ "variant": "add", "name": n }))),
        (name(), name()).prop_map(move |(n, to)| vary(json!({ "variant": "rename", "name": n, "to": to }))),
        (name(), name())
            .prop_map(move |(n, to)| vary(json!({ "variant": "duplicate", "name": n, "to": to }))),
        name().prop_map(move |n| vary(json!({ "variant": "remove", "name": n }))),
        name().prop_map(move |n| vary(json!({ "variant": "make_scene", "name": n }))),
    ]
}

/// Updates the pieces of the window as the page does.
fn follow(pieces: &mut Value, answer: &str) {
    for window in parsed(answer)["windows"].as_array().unwrap() {
        let before = pieces["pieces"].as_array().unwrap().clone();
        let mut now = vec![Value::Null; window["count"].as_u64().unwrap() as usize];
        for run in window["kept"].as_array().unwrap() {
            let [at, was, count] = [0, 1, 2].map(|i| run[i].as_u64().unwrap() as usize);
            now[at..at + count].clone_from_slice(&before[was..was + count]);
        }
        for changed in window["pieces"].as_array().unwrap() {
            now[changed["index"].as_u64().unwrap() as usize] = changed["piece"].clone();
        }
        *pieces = json!({ "opening": window["opening"], "pieces": now });
    }
}

proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(48))]

    #[test]
    fn any_actions_can_all_be_undone_and_redone(
        actions in proptest::collection::vec(some_action(), 1..24)
    ) {
        let mut document = two_pieces();
        let first = document.text();
        let mut figures = scene::read(&document.shown_text()).unwrap();
        let mut pieces = parsed(&document.outlines())[0].clone();
        for (on_variants, action) in actions {
            let text = action.to_string();
            let made = if on_variants { document.vary(&text) } else { document.make(&text) };
            // A name that is taken or unknown is refused.
            if let Ok(made) = made {
                follow(&mut pieces, &document.answer(&made));
                made.edit.apply(&mut figures).unwrap();
            }
            prop_assert_eq!(&figures, &document.resolved().scene);
            prop_assert_eq!(&pieces, &parsed(&document.outlines())[0]);
        }
        let last = document.text();
        let kept = document.kept();
        while let Some(made) = document.step(true).unwrap() {
            follow(&mut pieces, &document.answer(&made));
            prop_assert_eq!(&pieces, &parsed(&document.outlines())[0]);
            made.edit.apply(&mut figures).unwrap();
            prop_assert_eq!(&figures, &document.resolved().scene);
        }
        prop_assert_eq!(document.text(), first.clone());
        while document.step(false).unwrap().is_some() {}
        prop_assert_eq!(document.text(), last.clone());
        let mut again = SceneDocument::reopen(&kept).unwrap();
        prop_assert_eq!(again.text(), last);
        while again.step(true).unwrap().is_some() {}
        prop_assert_eq!(again.text(), first);
    }
}
