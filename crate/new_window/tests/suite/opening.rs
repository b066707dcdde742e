//! Windows by their measurements: what the page sends and gets.

use new_window::{MOST_PIECES, check_opening, scene_of_opening};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::TestRunner;
use scene::Faults;
use serde_json::{Value, json};

fn start() -> String {
    json!({ "name": "Porch", "at": null, "site": null, "facing_deg": 90.0, "sill_height_m": null })
        .to_string()
}

fn checked(measurements: &Value) -> Value {
    serde_json::from_str(&check_opening(&measurements.to_string()).expect("measurements")).expect("JSON")
}

fn paths(result: Result<String, Faults>) -> Vec<String> {
    result.expect_err("faults").0.into_iter().map(|fault| fault.path).collect()
}

fn rectangle(filling: &Value) -> Value {
    json!({ "opening": { "shape": "rectangle", "width_mm": 600.0, "height_mm": 900.0 }, "filling": filling })
}

fn openings() -> Vec<Value> {
    vec![
        json!({ "shape": "rectangle", "width_mm": 600.0, "height_mm": 1500.0 }),
        json!({ "shape": "round_headed", "width_mm": 600.0, "height_mm": 1500.0 }),
        json!({ "shape": "pointed", "width_mm": 600.0, "height_mm": 1500.0, "rise_mm": null }),
        json!({ "shape": "pointed", "width_mm": 600.0, "height_mm": 1500.0, "rise_mm": 700.0 }),
        json!({ "shape": "segmental", "width_mm": 600.0, "height_mm": 1500.0, "rise_mm": 120.0 }),
        json!({ "shape": "round", "diameter_mm": 900.0 }),
    ]
}

fn fillings() -> Vec<Value> {
    vec![
        json!({ "pattern": "plain" }),
        json!({ "pattern": "quarries", "width_mm": 100.0, "height_mm": 140.0 }),
        json!({ "pattern": "rectangles", "columns": 3, "rows": 6 }),
        json!({ "pattern": "rectangles_by_size", "pane_width_mm": 150.0, "pane_height_mm": 200.0 }),
    ]
}

#[test]
fn every_shape_with_every_filling_becomes_a_scene_that_can_be_built() {
    for opening in openings() {
        for filling in fillings() {
            for border in [Value::Null, json!({ "width_mm": 45.0 })] {
                let asked = json!({ "opening": opening, "filling": filling, "border": border, "bars": {} });
                let found = checked(&asked);
                assert_eq!(found["faults"], json!([]), "{asked}");
                let drawn = &found["drawn"];
                let text = scene_of_opening(&asked.to_string(), &start()).expect("a scene");
                let made = scene::read(&text).expect("a scene file");
                let resolved =
                    scene::resolve(&made, None).unwrap_or_else(|faults| panic!("{asked}: {faults:?}"));
                let panel = &resolved.windows[0].panel;
                assert_eq!(json!(resolved.windows[0].pieces.len()), drawn["pieces"], "{asked}");
                assert!(panel.open_ends.is_empty() && panel.notes.is_empty(), "{asked}: {:?}", panel.notes);
                let least =
                    panel.pieces.iter().map(|piece| piece.light_area_mm2).fold(f64::INFINITY, f64::min);
                let shown = drawn["smallest_mm2"].as_f64().expect("an area");
                assert!(least > 0.0 && (shown - least).abs() < 1.0, "{asked}: {shown}, not {least}");
            }
        }
    }
}

#[test]
fn a_window_is_shown_from_its_upper_left_corner_as_it_is_drawn() {
    let mut asked = rectangle(&json!({ "pattern": "quarries", "width_mm": 105.0, "height_mm": 140.0 }));
    asked["bars"] = json!({});
    let drawn = &checked(&asked)["drawn"];
    assert_eq!((&drawn["width_mm"], &drawn["height_mm"]), (&json!(600.0), &json!(900.0)));
    // 600 / 105 is nearest to 6, 900 / 140 to 6.
    assert_eq!(drawn["pane_mm"], json!([100.0, 150.0]));
    // n (m − 1) + (n − 1) m whole ones, 2 n and 2 m halves.
    assert_eq!(drawn["pieces"], json!(30 + 30 + 12 + 12));
    assert_eq!((&drawn["bar_count"], &drawn["rise_mm"]), (&json!(1), &Value::Null));
    assert_eq!(drawn["bars"], "M 0 450 L 600 450");
    let pointed = json!({ "shape": "pointed", "width_mm": 600.0, "height_mm": 1500.0 });
    let head = checked(&json!({ "opening": pointed, "filling": { "pattern": "plain" } }));
    // Equilateral: 300 √3.
    assert_eq!((&head["drawn"]["rise_mm"], &head["drawn"]["pane_mm"]), (&json!(519.615), &Value::Null));
    // The apex is at the top.
    assert!(head["drawn"]["outline"].as_str().is_some_and(|path| path.contains(" 300 0")), "{head}");
}

#[test]
fn only_pieces_that_are_notably_small_are_shown() {
    for regular in [
        json!({ "pattern": "rectangles", "columns": 3, "rows": 4 }),
        json!({ "pattern": "quarries", "width_mm": 100.0, "height_mm": 150.0 }),
    ] {
        assert_eq!(checked(&rectangle(&regular))["drawn"]["smallest"], "");
    }
    // Remnants under the arch, mirror images of one another.
    let opening = json!({ "shape": "pointed", "width_mm": 600.0, "height_mm": 1500.0 });
    let filling = json!({ "pattern": "quarries", "width_mm": 100.0, "height_mm": 140.0 });
    let found = checked(&json!({ "opening": opening, "filling": filling, "border": { "width_mm": 40.0 } }));
    let shown = found["drawn"]["smallest"].as_str().expect("path data");
    assert_eq!((shown.matches('M').count(), shown.matches('Z').count()), (2, 2), "{shown}");
}

#[test]
fn impossible_measurements_are_named_with_what_is_possible() {
    let asked = json!({
        "opening": { "shape": "round_headed", "width_mm": 600.0, "height_mm": 299.0 },
        "filling": { "pattern": "rectangles", "columns": 0, "rows": 3 },
        "border": null, "bars": { "spacing_mm": -5.0, "diameter_mm": 1e300 },
        "leads": { "border_face_mm": 0.0, "face_mm": 6.0 },
    });
    let found = checked(&asked);
    assert_eq!(found["drawn"], Value::Null);
    let fields: Vec<&str> = found["faults"]
        .as_array()
        .expect("faults")
        .iter()
        .map(|fault| fault["field"].as_str().expect("a path"))
        .collect();
    let expected = [
        "opening.height_mm",
        "leads.border_face_mm",
        "filling.columns",
        "bars.spacing_mm",
        "bars.diameter_mm",
    ];
    assert_eq!(fields, expected);
    assert_eq!(
        (&found["faults"][0]["kind"], &found["faults"][0]["least_mm"]),
        (&json!("length"), &json!(300.0))
    );
    let thrown = scene_of_opening(&asked.to_string(), &start()).expect_err("faults").0;
    assert_eq!(thrown.iter().map(|fault| fault.path.as_str()).collect::<Vec<_>>(), expected);
    assert_eq!(
        (thrown[0].expected.as_str(), thrown[0].found.as_str()),
        ("300 to 19999 mm (at least half the width, for a semicircular head)", "299 mm")
    );
}

#[test]
fn thousands_of_pieces_are_refused_in_words() {
    // Above the page's limit, above the drawing's own, and as many as there can be.
    for (columns, rows) in [(60, 100), (200, 400), (2000, 2000)] {
        let mut many = rectangle(&json!({ "pattern": "rectangles", "columns": columns, "rows": rows }));
        many["opening"] = json!({ "shape": "rectangle", "width_mm": 6000.0, "height_mm": 9000.0 });
        let found = checked(&many);
        assert_eq!(found["faults"][0]["kind"], "too_many_pieces", "{found}");
        let thrown = scene_of_opening(&many.to_string(), &start()).expect_err("faults").0;
        assert_eq!(thrown[0].path, "filling");
        assert!(thrown[0].expected.contains("pieces"), "{thrown:?}");
    }
    let mut most = rectangle(&json!({ "pattern": "rectangles", "columns": 50, "rows": 100 }));
    most["opening"] = json!({ "shape": "rectangle", "width_mm": 6000.0, "height_mm": 9000.0 });
    assert_eq!(checked(&most)["drawn"]["pieces"], json!(MOST_PIECES));
}

#[test]
fn text_that_is_no_request_names_the_place() {
    let plain = json!({ "pattern": "plain" });
    let mut nothing = rectangle(&plain);
    // A page's NaN and infinities arrive as null.
    nothing["opening"]["width_mm"] = Value::Null;
    assert_eq!(paths(check_opening(&nothing.to_string())), ["opening.width_mm"]);
    let mut missing = rectangle(&plain);
    missing["opening"].as_object_mut().expect("an opening").remove("height_mm");
    assert_eq!(paths(check_opening(&missing.to_string())), ["opening.height_mm"]);
    let mut half = rectangle(&json!({ "pattern": "rectangles", "columns": 2.5, "rows": 3 }));
    assert_eq!(paths(check_opening(&half.to_string())), ["filling.columns"]);
    half["filling"] = json!({ "pattern": "rectangles", "columns": -1, "rows": 3 });
    assert_eq!(paths(check_opening(&half.to_string())), ["filling.columns"]);
    assert_eq!(paths(check_opening("a letter")), ["measurements"]);
    assert_eq!(paths(check_opening(r#"{"opening": {"width_mm": 1e999}}"#)), ["measurements"]);
    assert_eq!(paths(scene_of_opening(&rectangle(&plain).to_string(), "{}")), ["start"]);
}

/// Usual lengths, and some that no opening can have.
fn length() -> impl Strategy<Value = f64> + Clone {
    prop_oneof![
        6 => 20.0..3000.0_f64,
        2 => (1_u32..60).prop_map(|n| f64::from(n * 10)),
        1 => prop::sample::select(vec![0.0, -0.0, -300.0, 1e300, -1e300, f64::MIN_POSITIVE, 49.999, 20_000.000_1]),
    ]
}

fn opening() -> impl Strategy<Value = Value> {
    (0..5, length(), length(), prop::option::of(length()), length()).prop_map(
        |(shape, width_mm, height_mm, pointed, rise_mm)| match shape {
            0 => json!({ "shape": "rectangle", "width_mm": width_mm, "height_mm": height_mm }),
            1 => json!({ "shape": "round_headed", "width_mm": width_mm, "height_mm": height_mm }),
            2 => json!({ "shape": "pointed", "width_mm": width_mm, "height_mm": height_mm, "rise_mm": pointed }),
            3 => json!({ "shape": "segmental", "width_mm": width_mm, "height_mm": height_mm, "rise_mm": rise_mm }),
            _ => json!({ "shape": "round", "diameter_mm": width_mm }),
        },
    )
}

fn filling() -> impl Strategy<Value = Value> {
    (0..4, length(), length(), 0_u32..30, 0_u32..30).prop_map(|(pattern, width, height, columns, rows)| {
        match pattern {
            0 => json!({ "pattern": "plain" }),
            1 => json!({ "pattern": "quarries", "width_mm": width, "height_mm": height }),
            2 => json!({ "pattern": "rectangles", "columns": columns, "rows": rows }),
            _ => json!({ "pattern": "rectangles_by_size", "pane_width_mm": width, "pane_height_mm": height }),
        }
    })
}

fn measurements() -> impl Strategy<Value = Value> {
    let border = prop::option::of((8.0..200.0_f64, prop::option::of(length())))
        .prop_map(|border| border.map(|(width, piece)| json!({ "width_mm": width, "piece_mm": piece })));
    let bars = prop::option::of((length(), 2.0..60.0_f64)).prop_map(|bars| {
        bars.map(|(spacing, across)| json!({ "spacing_mm": spacing, "diameter_mm": across }))
    });
    let leads = (1.0..55.0_f64, 1.0..30.0_f64)
        .prop_map(|(edge, inside)| json!({ "border_face_mm": edge, "face_mm": inside }));
    (opening(), filling(), border, bars, leads).prop_map(|(opening, filling, border, bars, leads)| {
        json!({ "opening": opening, "filling": filling, "border": border, "bars": bars, "leads": leads })
    })
}

#[test]
fn measurements_in_their_ranges_are_drawn() {
    // The same measurements in every run.
    let mut runner = TestRunner::deterministic();
    let (mut drawn, mut unsound) = (0, 0);
    for _ in 0..300 {
        let found = checked(&measurements().new_tree(&mut runner).expect("measurements").current());
        drawn += usize::from(!found["drawn"].is_null());
        if found["faults"][0]["kind"] == "not_sound" {
            unsound += 1;
            assert!(
                found["faults"][0]["reason"].as_str().is_some_and(|reason| !reason.is_empty()),
                "{found}"
            );
        }
    }
    // The others are mostly out of range: a head too high for its opening, a border wider than a third, a wild length.
    assert!(drawn >= 60, "{drawn} of 300");
    assert!(unsound <= 2, "{unsound} of 300");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn any_measurements_are_refused_with_a_path_or_become_a_scene(asked in measurements()) {
        let found = checked(&asked);
        let made = scene_of_opening(&asked.to_string(), &start());
        let faults = found["faults"].as_array().expect("faults");
        prop_assert_eq!(found["drawn"].is_null(), !faults.is_empty(), "{}", found);
        let Ok(text) = made else {
            let paths = paths(made);
            prop_assert_eq!(paths.len(), faults.len());
            prop_assert!(paths.iter().all(|path| !path.is_empty()), "{:?}", paths);
            return Ok(());
        };
        prop_assert!(faults.is_empty(), "{}", found);
        let drawn = &found["drawn"];
        let scene = scene::read(&text).expect("a scene file");
        let resolved = scene::resolve(&scene, None);
        let resolved = resolved.map_err(|faults| TestCaseError::fail(format!("{faults:?}")))?;
        let panel = &resolved.windows[0].panel;
        prop_assert_eq!(json!(panel.pieces.len()), drawn["pieces"].clone());
        prop_assert!(panel.open_ends.is_empty() && panel.notes.is_empty(), "{:?}", panel.notes);
        let (whole, parts) = (panel.opening.area_mm2(), panel.pieces.iter().map(|piece| piece.area_mm2).sum::<f64>());
        prop_assert!((whole - parts).abs() < 1e-4 * whole, "{} mm², not {}", parts, whole);
        prop_assert!(drawn["smallest_mm2"].as_f64().is_some_and(|area| area > 0.0), "{}", drawn);
    }
}
