//! Ranges and streaks against tests/reference/uncertainty.

use serde_json::{Value, json};

use crate::run::{answers, calc, close, json_file, list, number, numbers};

/// An entry as the file has it, with the spectra.
fn question(entry: &Value, spectra: &Value) -> Value {
    let mut line = entry.clone();
    line["calc"] = json!("uncertainty");
    line["absorbance_per_mm_base10"] = spectra.clone();
    line
}

// Tolerances of the table: median 1 %, percentiles and standard deviation 2 %, twice that where sd_ln is above 0.5. Half
// of each is reached. One in three of the pieces: the crate's own tests take them all.
#[test]
fn ranges_of_pieces_and_groups() {
    let file = json_file("uncertainty/uncertainty.json");
    for (kind, step, [median, p05, p95, sd]) in [
        ("pieces", 3, ["Y_median", "Y_p05", "Y_p95", "sd_ln_Y"]),
        ("groups", 1, ["mean_Y_median", "mean_Y_p05", "mean_Y_p95", "sd_ln_mean_Y"]),
    ] {
        let entries = list(&file, kind).iter().step_by(step);
        assert!(entries.len() >= 8);
        let lines: Vec<Value> =
            entries.clone().map(|entry| question(entry, &file["absorbance_per_mm_base10"])).collect();
        for (entry, answer) in entries.zip(answers(&lines)) {
            let wide = if number(&entry[sd]) > 0.5 { 2.0 } else { 1.0 };
            for (key, tolerance) in
                [(median, 0.005 * wide), (p05, 0.01 * wide), (p95, 0.01 * wide), (sd, 0.01)]
            {
                close(&format!("{key} of {entry}"), number(&answer[key]), number(&entry[key]), tolerance);
            }
        }
    }
}

#[test]
fn streaks() {
    let file = json_file("uncertainty/streak.json");
    let spectra = &file["absorbance_per_mm_base10"];
    let cases = list(&file, "cases");
    let ask = |case: &Value| {
        let mut line = case.clone();
        (line["calc"], line["illuminant"]) = (json!("streak"), json!("D65"));
        line["absorbance_per_mm_base10"] = spectra.clone();
        line
    };
    let lines: Vec<Value> = cases.iter().map(ask).collect();
    for (case, answer) in cases.iter().zip(answers(&lines)) {
        let (found, expected) = (numbers(&answer["XYZ_mean_of_T"]), numbers(&case["XYZ_mean_of_T"]));
        for (found, expected) in found.into_iter().zip(expected) {
            close(&case.to_string(), found, expected, 1e-5);
        }
    }
    // The spectra in place of their names; a name that is not there.
    let by_name = ask(&cases[0]);
    let mut by_spectrum = by_name.clone();
    by_spectrum.as_object_mut().unwrap().remove("absorbance_per_mm_base10");
    let mut unknown = by_spectrum.clone();
    for key in ["first", "second"] {
        by_spectrum[key] = spectra[cases[0][key].as_str().unwrap()].clone();
    }
    unknown["second"] = by_spectrum["second"].clone();
    let both = calc(&[by_name, by_spectrum, unknown]);
    assert_eq!(both[0], both[1]);
    let refused = both[2]["error"].as_str().unwrap();
    assert!(refused.starts_with("first: expected a name in absorbance_per_mm_base10"), "{refused}");
}

#[test]
fn equal_lines_have_equal_answers_and_wrong_ones_name_the_field() {
    let spectra = json!({"grey": vec![0.1; 81]});
    let piece = |more: Value| {
        let mut line = json!({"calc": "uncertainty", "glass": "grey", "thickness_mm": 3, "paint_density": 0.2,
            "absorbance_per_mm_base10": spectra});
        line.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        line
    };
    let group = |more: Value| {
        let mut line = json!({"calc": "uncertainty", "absorbance_per_mm_base10": spectra,
            "pieces": [{"area_m2": 0.1, "thickness_mm": 3, "amounts": {"grey": 1}, "paint_density": 0.2}]});
        line.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        line
    };
    let unsure = piece(json!({"sigma_ln_absorbance": 0.3, "correlation_nm": 30, "sigma_density": 0.1,
        "sigma_thickness_mm": 0.5, "sigma_edge_nm": 5}));
    let twice = calc(&[unsure.clone(), unsure]);
    assert_eq!(twice[0], twice[1]);
    assert!(number(&twice[0]["sd_ln_Y"]) > 0.1);

    // So dark or so thick that nothing passes: a range, but no logarithm.
    for (line, key) in [
        (piece(json!({"absorbance_per_mm_base10": {"grey": vec![1000; 81]}})), "sd_ln_Y"),
        (piece(json!({"thickness_mm": 1000, "absorbance_per_mm_base10": {"grey": vec![3; 81]}})), "sd_ln_Y"),
        (group(json!({"absorbance_per_mm_base10": {"grey": vec![1000; 81]}})), "sd_ln_mean_Y"),
    ] {
        let answer = &calc(&[line])[0];
        assert!(answer["error"].is_null() && answer[key].is_null(), "{answer}");
        assert!(number(&answer[key.replace("sd_ln_", "") + "_p95"]) < 1e-300, "{answer}");
    }

    let cases = [
        (piece(json!({"sigma_ln_absorbance": -0.1})), "sigma_ln_absorbance: expected a standard deviation"),
        (
            piece(json!({"sigma_ln_absorbance": 0.1, "correlation_nm": 0})),
            "correlation_nm: expected nanometres",
        ),
        (piece(json!({"sigma_thickness_mm": 1e300})), "sigma_thickness_mm: expected millimetres"),
        (
            piece(json!({"sigma_edge_nm": "5"})),
            "sigma_edge_nm: expected nanometres from 0 to 400, found \"5\"",
        ),
        (piece(json!({"sigma_density": -1})), "sigma_density: expected"),
        (
            piece(json!({"sigma_density": 0.1, "sigma_ln_density": 0.1})),
            "sigma_ln_density: expected nothing beside sigma_density, found both",
        ),
        (piece(json!({"paint_density": 1e9})), "paint_density: expected a density from 0 to 100"),
        (piece(json!({"draws": 1})), "draws: expected a number of draws from 64"),
        (piece(json!({"thickness_shared": true})), "thickness_shared: expected no field but"),
        (group(json!({"sigma_ln_shared": {"blue": 0.1}})), "sigma_ln_shared.blue: expected a name in"),
        (group(json!({"sigma_ln_own": {"grey": -1}})), "sigma_ln_own.grey: expected a standard deviation"),
        (group(json!({"sigma_ln_own": [1]})), "sigma_ln_own: expected an object, found a list of 1"),
        (group(json!({"thickness_shared": 1})), "thickness_shared: expected true or false, found 1"),
        (group(json!({"sigma_ln_absorbance": 0.1})), "sigma_ln_absorbance: expected no field but"),
    ];
    let lines: Vec<Value> = cases.iter().map(|c| c.0.clone()).collect();
    for ((line, expected), answer) in cases.iter().zip(calc(&lines)) {
        let text = answer["error"].as_str().unwrap_or_else(|| panic!("{answer} to {line}"));
        assert!(text.starts_with(expected), "{text} to {line}");
    }
}
