//! Light on a window from outside against tests/reference/outdoors; refusals of sites.

use serde_json::{Value, json};

use crate::run::{answers, calc, close, json_file, list, near, number};

/// A case as the file has it, looking where it has luminances.
fn line(case: &Value) -> Value {
    let looks: Vec<Value> = list(case, "seen_below")
        .iter()
        .map(|seen| json!([seen["bearing_deg"], seen["altitude_deg"]]))
        .collect();
    let mut line = case.clone();
    line["calc"] = json!("outdoors");
    line["look"] = json!(looks);
    line
}

#[test]
fn every_case_of_the_check_data() {
    let file = json_file("outdoors/outdoors.json");
    let cases = list(&file, "cases");
    let lines: Vec<Value> = cases.iter().map(line).collect();
    assert_eq!(lines.len(), 47);
    for (case, answer) in cases.iter().zip(answers(&lines)) {
        let name = case["name"].as_str().unwrap();
        let block = case.get("block").is_some();
        let (total, part, luminance) = if block { (0.03, 0.08, 0.08) } else { (0.015, 0.03, 0.04) };
        let (found, expected) = (&answer["vertical_illuminance"], &case["vertical_illuminance"]);
        for (key, tolerance) in [
            ("total_lx", total),
            ("sky_lx", 0.005),
            ("ground_lx", part),
            ("facade_lx", part),
            ("sun_lx", 0.005),
        ] {
            close(&format!("{name} {key}"), number(&found[key]), number(&expected[key]), tolerance);
        }
        let sum: f64 =
            ["sky_lx", "ground_lx", "facade_lx", "sun_lx"].map(|key| number(&found[key])).iter().sum();
        near(name, sum, number(&found["total_lx"]), 1e-6);
        let luminances = list(&answer, "luminance_cd_m2");
        for (seen, found) in list(case, "seen_below").iter().zip(luminances) {
            close(&format!("{name} {seen}"), number(found), number(&seen["luminance_cd_m2"]), luminance);
        }
    }
}

#[test]
fn nothing_need_be_looked_at() {
    let file = json_file("outdoors/outdoors.json");
    let whole = line(&list(&file, "cases")[0]);
    let mut blind = whole.clone();
    blind.as_object_mut().unwrap().remove("look");
    let answers = answers(&[whole, blind]);
    assert_eq!(answers[0]["vertical_illuminance"], answers[1]["vertical_illuminance"]);
    assert_eq!(answers[1]["luminance_cd_m2"], json!([]));
}

#[test]
fn an_angle_may_stand_for_a_measurement() {
    let file = json_file("outdoors/outdoors.json");
    for (kind, keys) in [("street", &["height_m"][..]), ("block", &["x0_m", "x1_m"])] {
        let case = list(&file, "cases").iter().find(|case| case.get(kind).is_some()).unwrap();
        let mut by_angle = line(case);
        for key in keys {
            by_angle[kind].as_object_mut().unwrap().remove(*key);
        }
        let both = answers(&[line(case), by_angle]);
        let total = |answer: &Value| number(&answer["vertical_illuminance"]["total_lx"]);
        close(kind, total(&both[0]), total(&both[1]), 1e-4);
    }
}

#[test]
fn wrong_sites_are_refused_by_field() {
    let site = |more: Value| {
        let mut line = json!({"calc": "outdoors", "sky": {"cie_type": 1, "diffuse_horizontal_lx": 1e4},
            "window_middle_height_m": 2, "ground_reflectance": 0.2,
            "own_building": {"height_m": 10, "reflectance": 0.4}, "look": [[0, -30]]});
        line.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        line
    };
    let street = |street: Value| site(json!({"street": street}));
    let block = |key: &str, value: Value| {
        let mut block = json!({"distance_m": 10, "x0_m": -3, "x1_m": 3, "depth_m": 8, "height_m": 9,
            "reflectance": 0.3});
        block[key] = value;
        site(json!({"block": block}))
    };
    let cases = [
        (
            street(json!({"distance_m": 0, "height_m": 5, "reflectance": 0.3})),
            "street.distance_m: expected metres",
        ),
        (
            street(json!({"distance_m": 9, "reflectance": 0.3})),
            "street.height_m: expected a number, found nothing",
        ),
        (
            street(json!({"distance_m": 9, "skyline_altitude_deg": 20, "height_m": 9, "reflectance": 0.3})),
            "street.height_m: expected about 5.276, as street.skyline_altitude_deg implies",
        ),
        (
            street(json!({"distance_m": 9, "skyline_altitude_deg": 95, "reflectance": 0.3})),
            "street.skyline_altitude_deg: expected degrees",
        ),
        (
            street(json!({"distance_m": 9, "skyline_altitude_deg": -80, "reflectance": 0.3})),
            "street.height_m: expected metres",
        ),
        (street(json!({"distance_m": 9, "height_m": 5, "reflectance": -1})), "street.reflectance: expected"),
        (
            street(json!({"distance_m": 9, "height_m": 5, "reflectance": 0.1, "x": 1})),
            "street.x: expected no field",
        ),
        (street(json!([1])), "street: expected an object, found a list of 1"),
        (block("x1_m", json!(-3)), "block.x1_m: expected a place at least 0.01 m to the right"),
        (block("x0_m", json!(1e300)), "block.x0_m: expected metres"),
        (block("depth_m", json!(0)), "block.depth_m: expected metres"),
        (block("height_m", json!(-5)), "block.height_m: expected metres"),
        (block("distance_m", Value::Null), "block.distance_m: expected a number, found null"),
        (block("front_bearings_deg", json!([-20, 90])), "block.front_bearings_deg[1]: expected degrees"),
        (
            site(json!({"street": {"distance_m": 9}, "block": {"distance_m": 9}})),
            "block: expected street or block, not both, found both",
        ),
        (
            site(json!({"sky": {"cie_type": 12, "diffuse_horizontal_lx": 1e4, "sun_altitude_deg": -5,
                "sun_bearing_deg": 0}})),
            "sky.sun_altitude_deg: expected degrees from 0 to 90, found -5",
        ),
        (
            site(json!({"sky": {"cie_type": 1, "diffuse_horizontal_lx": 1e4, "beam_normal_lx": 1e4}})),
            "sky.sun_altitude_deg: expected degrees",
        ),
        (
            site(json!({"sky": {"cie_type": 1, "diffuse_horizontal_lx": 1e4, "beam_normal_lx": -1}})),
            "sky.beam_normal_lx: expected an illuminance",
        ),
    ];
    let lines: Vec<Value> = cases.iter().map(|case| case.0.clone()).collect();
    for ((line, expected), answer) in cases.iter().zip(calc(&lines)) {
        let error = answer["error"].as_str().unwrap_or_else(|| panic!("{answer} to {line}"));
        assert!(error.starts_with(expected), "{error} to {line}");
    }
}
