//! Windows set back in their wall against tests/reference/reveal.

use serde_json::{Value, json};

use crate::run::{answers, calc, json_file, list, near, number, numbers};

#[test]
fn mean_factors_of_every_case() {
    let file = json_file("reveal/reveal.json");
    let cases = list(&file, "glass");
    let lines: Vec<Value> = cases
        .iter()
        .map(|case| {
            let mut line = case.clone();
            line["calc"] = json!("reveal");
            line
        })
        .collect();
    for (case, answer) in cases.iter().zip(answers(&lines)) {
        let expected = number(&case["mean_factor"]);
        near(case["name"].as_str().unwrap(), number(&answer["mean_factor"]), expected, 0.01 * expected);
        assert!(answer.get("lit_share").is_none());
    }
    // Cases of rooms have a glass with a reveal before it, too.
    let mut room = list(&file, "room")[0].clone();
    assert!(room["inner"].is_object());
    room["calc"] = json!("reveal");
    assert!(number(&answers(&[room])[0]["mean_factor"]) > 0.5);
}

#[test]
fn lit_shares_of_every_case() {
    let file = json_file("reveal/reveal.json");
    let cases = list(&file, "sun");
    let suns =
        |case: &Value| -> Vec<Value> { list(case, "rows").iter().map(|r| json!([r[0], r[1]])).collect() };
    let lines: Vec<Value> = cases
        .iter()
        .enumerate()
        .map(|(k, case)| {
            let mut line = case.clone();
            line["calc"] = json!("reveal");
            // As they stand in the table, and as a list of their own.
            if k % 2 == 1 {
                line["suns"] = json!(suns(case));
            }
            line
        })
        .collect();
    for (case, answer) in cases.iter().zip(answers(&lines)) {
        let found = numbers(&answer["lit_share"]);
        assert_eq!(found.len(), list(case, "rows").len());
        for (row, share) in list(case, "rows").iter().zip(found) {
            near(&row.to_string(), share, number(&row[2]), 1e-5);
        }
        assert!(answer.get("mean_factor").is_none());
    }
}

#[test]
fn both_at_once_and_what_is_refused() {
    let whole = json!({"calc": "reveal", "width_m": 0.4, "height_m": 1.6, "outer_depth_m": 0.2,
        "outer_reflectance": 0.3, "ground_reflectance": 0.2,
        "sky": {"cie_type": 12, "diffuse_horizontal_lx": 12000, "sun_bearing_deg": 35, "sun_altitude_deg": 40},
        "suns": []});
    let with = |pointer: &str, value: Value| {
        let mut line = whole.clone();
        *line.pointer_mut(pointer).unwrap() = value;
        line
    };
    let both = &answers(&[with("/suns", json!([[405, 40], [45, 40], [45, -1]]))])[0];
    assert!(number(&both["mean_factor"]) > 0.4);
    let shares = numbers(&both["lit_share"]);
    near("a full turn further", shares[0], shares[1], 1e-12);
    near("below the horizon", shares[2], 0.0, 0.0);
    assert_eq!(answers(std::slice::from_ref(&whole))[0]["lit_share"], json!([]));

    let mut no_sky = whole.clone();
    no_sky.as_object_mut().unwrap().retain(|key, _| key != "sky" && key != "suns");
    let cases = [
        (no_sky, "sky: expected an object, found nothing"),
        (with("/width_m", json!(-1)), "width_m: expected metres from 0.001 to 1000, found -1"),
        (with("/height_m", json!(1e300)), "height_m: expected metres from 0.001 to 1000, found 1e+300"),
        (
            with("/outer_depth_m", json!("deep")),
            "outer_depth_m: expected metres from 0 to 1000, found \"deep\"",
        ),
        (with("/outer_reflectance", json!(1.5)), "outer_reflectance: expected a reflectance from 0 to 1"),
        (with("/ground_reflectance", Value::Null), "ground_reflectance: expected a reflectance from 0 to 1"),
        (with("/sky/cie_type", json!(16)), "sky.cie_type: expected a type from 1 to 15, found 16"),
        (with("/sky/sun_altitude_deg", Value::Null), "sky.sun_altitude_deg: expected degrees from 0 to 90"),
        (with("/sky/diffuse_horizontal_lx", json!(0)), "sky.diffuse_horizontal_lx: expected an illuminance"),
        (with("/sky", json!([1])), "sky: expected an object, found a list of 1"),
        (with("/suns", json!(3)), "suns: expected a list of pairs [bearing_deg, altitude_deg], found 3"),
        (with("/suns", json!([[1, 2, 3]])), "suns[0]: expected 2 numbers, found a list of 3"),
        (with("/suns", json!([[1, 2], [1, 91]])), "suns[1][1]: expected degrees from −90 to 90, found 91"),
    ];
    let lines: Vec<Value> = cases.iter().map(|c| c.0.clone()).collect();
    for ((line, expected), answer) in cases.iter().zip(calc(&lines)) {
        assert!(answer["error"].as_str().unwrap().starts_with(expected), "{answer} to {line}");
    }
}
