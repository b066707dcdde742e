//! The interface of `calc`: keys, order, refusals.

use serde_json::{Value, json};

use crate::run::{answers, calc, calc_bytes, keys, number, one_of_each};

fn error(answer: &Value) -> &str {
    assert_eq!(keys(answer), ["error"], "{answer}");
    answer["error"].as_str().unwrap()
}

#[test]
fn every_kind_answers_its_keys_and_no_others() {
    let (lines, expected): (Vec<_>, Vec<_>) = one_of_each().into_iter().unzip();
    for ((line, answer), expected) in lines.iter().zip(answers(&lines)).zip(expected) {
        let mut expected = expected.to_vec();
        expected.sort_unstable();
        assert_eq!(keys(&answer), expected, "{line}");
    }
}

#[test]
fn every_missing_unknown_and_wrong_field_is_named() {
    let mut lines = Vec::new();
    let mut fields = Vec::new();
    for (line, _) in one_of_each() {
        let needed = |key: &&String| !["calc", "raw", "look"].contains(&key.as_str());
        for field in line.as_object().unwrap().keys().filter(needed) {
            let mut missing = line.clone();
            missing.as_object_mut().unwrap().remove(field);
            let mut null = line.clone();
            null[field] = Value::Null;
            let mut wrong = line.clone();
            wrong[field] = json!({"no": true});
            lines.extend([missing, null, wrong]);
            fields.extend([(field.clone(), "nothing"), (field.clone(), "null"), (field.clone(), "")]);
        }
        let mut unknown = line.clone();
        unknown["bogus"] = json!(1);
        lines.push(unknown);
        fields.push(("bogus".to_owned(), "an unknown field"));
    }
    for ((line, answer), (field, found)) in lines.iter().zip(calc(&lines)).zip(fields) {
        let text = error(&answer);
        // An object in place of an object of names and amounts is read, and its contents are refused.
        assert!(text.starts_with(&field), "{text} to {line}");
        assert!(text.contains(": expected ") && text.contains(", found "), "{text}");
        assert!(text.contains(found), "{text} to {line}");
    }
}

#[test]
fn wrong_lines_are_refused_and_the_rest_go_on() {
    let right = r#"{"calc":"difference","lab1":[50,2,3],"lab2":[50,2,3]}"#;
    let lines: [(&[u8], &str); 14] = [
        (right.as_bytes(), ""),
        (b"", "the line: expected one JSON object"),
        (b"nonsense", "the line: expected one JSON object"),
        (b"[1, 2]", "the line: expected an object, found a list of 2"),
        (b"\"calc\"", "the line: expected an object"),
        (b"{}", "calc: expected text, found nothing"),
        (br#"{"calc": 3}"#, "calc: expected text, found 3"),
        (
            br#"{"calc":"moon"}"#,
            "calc: expected one of sun, rise_set, clear_spectra, cie_sky, clear_sky, colour, difference, adapt, \
             rendering, stack, recipe, glass, glare_spread, room, sun_patch, pieces_to_point, uncertainty, streak, \
             reveal, outdoors, found \"moon\"",
        ),
        (b"\xff\xfe", "the line: expected one JSON object"),
        (br#"{"calc":"difference","lab1":[NaN,2,3],"lab2":[50,2,3]}"#, "the line"),
        (br#"{"calc":"difference","lab1":[1e999,2,3],"lab2":[50,2,3]}"#, "the line"),
        (
            br#"{"calc":"difference","lab1":[1,2],"lab2":[50,2,3]}"#,
            "lab1: expected 3 numbers, found a list of 2",
        ),
        (
            br#"{"calc":"difference","lab1":[1,2,"3"],"lab2":[50,2,3]}"#,
            "lab1[2]: expected a number, found \"3\"",
        ),
        (right.as_bytes(), ""),
    ];
    let input = lines.map(|(line, _)| line).join(&b'\n');
    let output = calc_bytes(input);
    let answers: Vec<Value> = output.lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    assert_eq!(answers.len(), lines.len());
    for ((line, expected), answer) in lines.iter().zip(&answers) {
        if expected.is_empty() {
            assert!(number(&answer["ciede2000"]).abs() < 1e-12);
        } else {
            assert!(error(answer).starts_with(expected), "{answer} to {:?}", String::from_utf8_lossy(line));
        }
    }
}

#[test]
fn what_lies_outside_its_range_is_refused_by_place() {
    let with = |index: usize, pointer: &str, value: Value| {
        let mut line = one_of_each().swap_remove(index).0;
        *line.pointer_mut(pointer).unwrap() = value;
        line
    };
    let cases = [
        (with(0, "/latitude_deg", json!(91)), "latitude_deg: expected degrees from −90 to 90, found 91"),
        (
            with(0, "/utc", json!("noon")),
            "utc: expected an instant such as 2026-11-25T15:00:00Z, found \"noon\"",
        ),
        (with(1, "/date", json!("2026-02-30")), "date: expected a date such as"),
        (with(1, "/utc_offset_h", json!(30)), "utc_offset_h: expected"),
        (with(2, "/apparent_zenith_deg", json!(95)), "apparent_zenith_deg: expected degrees from 0 to 90"),
        (with(2, "/ground_albedo", json!(1.5)), "ground_albedo: expected shares from 0 to 1, found 1.5"),
        (with(3, "/type", json!(16)), "type: expected a type from 1 to 15, found 16"),
        (with(3, "/type", json!(1.5)), "type: expected a type from 1 to 15, found 1.5"),
        (with(3, "/directions/0/0", json!(95)), "directions[0][0]: expected a zenith angle"),
        (with(5, "/turbidity", json!(11)), "turbidity: expected a turbidity from 1 to 10"),
        (with(6, "/observer", json!(3)), "observer: expected 2 or 10, found 3"),
        (with(6, "/illuminant", json!("D60")), "illuminant: expected A, C, D50"),
        (with(6, "/illuminant", json!({"cct": 3000})), "illuminant.cct: "),
        (with(6, "/illuminant", json!({"cct": 5000, "x": 1})), "illuminant.x: expected no field but cct"),
        (with(6, "/illuminant", json!({"spd": vec![0.0; 81]})), "illuminant.spd: "),
        (
            with(6, "/spectrum", json!([1, 2])),
            "spectrum: expected 81 numbers, 380–780 nm by 5, found a list of 2",
        ),
        (with(8, "/degree", json!(1.1)), "degree: expected"),
        (with(10, "/angle_deg", json!(90)), "angle_deg: expected an angle of incidence"),
        (
            with(10, "/layers/0/n", json!(0.9)),
            "layers[0].n: expected a refractive index of at least 1, found 0.9",
        ),
        (with(10, "/layers/0/tau_internal", json!(1.1)), "layers[0].tau_internal: expected"),
        (with(11, "/amounts", json!({"Unobtainium": 1})), "amounts: no colourant is called \"Unobtainium\""),
        (with(11, "/amounts", json!({"Co2+": -1})), "amounts.Co2+: expected"),
        (with(12, "/id", json!("no-such-glass")), "id: expected a glass of the library ("),
        (with(13, "/angle_deg", json!(120)), "angle_deg: expected degrees from 0 to 100"),
        (with(14, "/size_m/1", json!(0)), "size_m[1]: expected metres"),
        (
            with(14, "/surfaces/floor", json!(1.2)),
            "surfaces.floor: expected a reflectance from 0 to 1, found 1.2",
        ),
        (with(14, "/pieces/0/rect_m", json!([1, 5, 1, 2])), "pieces[0].rect_m: expected"),
        (with(14, "/pieces/0", json!({"rect_m": [1, 2, 1, 2]})), "pieces[0].radiance: expected"),
        (
            with(14, "/pieces/0", json!({"rect_m": [1, 2, 1, 2], "tau_internal": 0.5})),
            "pieces[0].n: expected",
        ),
        (
            with(14, "/pieces/0", json!({"rect_m": [1, 2, 1, 2], "tau_internal": 0.5, "n": 1.5})),
            "sky: expected an object, found nothing",
        ),
        (with(14, "/points/0/at", json!([2, 1, 6])), "points[0].at: expected a point in the room"),
        (with(14, "/points/0/normal", json!([0, 0, 0])), "points[0].normal: expected a direction"),
        (with(15, "/pieces/0/rect_m", json!([2, 1, 1, 2])), "pieces[0].rect_m: expected"),
        (with(16, "/radiance", json!([1, 2])), "radiance: expected 1 radiances, one for each polygon"),
        (
            with(16, "/polygons/0", json!([[0, 0, 1], [1, 0, 1]])),
            "polygons[0]: expected at least three points",
        ),
        (with(17, "/glass", json!("blue")), "glass: expected a name in absorbance_per_mm_base10 (grey)"),
        (with(17, "/thickness_mm", json!(-1)), "thickness_mm: expected millimetres from 0 to 1000, found -1"),
        (
            with(17, "/absorbance_per_mm_base10/grey/3", json!(-1)),
            "absorbance_per_mm_base10.grey[3]: expected absorbances per mm, base 10",
        ),
        (
            with(17, "/absorbance_per_mm_base10/grey", json!([1])),
            "absorbance_per_mm_base10.grey: expected 81 numbers, 380–780 nm by 5, found a list of 1",
        ),
        (with(18, "/pieces", json!([])), "pieces: expected 1 to 400 pieces, found a list of 0"),
        (with(18, "/pieces/0/area_m2", json!(0)), "pieces[0].area_m2: expected square metres"),
        (
            with(18, "/pieces/0/amounts", json!({"blue": 1})),
            "pieces[0].amounts.blue: expected a name in absorbance_per_mm_base10 (grey), found \"blue\"",
        ),
        (with(18, "/pieces/0/amounts/grey", json!(-1)), "pieces[0].amounts.grey: expected an amount from 0"),
        (with(18, "/pieces/0", json!({"area_m2": 1, "thickness_mm": 3})), "pieces[0].amounts: expected"),
        (with(19, "/mix_mean", json!(1.5)), "mix_mean: expected the mean share of the second glass"),
        (with(19, "/first/80", json!(1e300)), "first[80]: expected absorbances per mm, base 10"),
        (with(19, "/illuminant", json!("D60")), "illuminant: expected A, C, D50"),
        (
            with(21, "/ground_reflectance", json!(1.2)),
            "ground_reflectance: expected a reflectance from 0 to 1",
        ),
        (with(21, "/window_middle_height_m", json!(-1)), "window_middle_height_m: expected metres"),
        (with(21, "/own_building/height_m", json!(1e9)), "own_building.height_m: expected metres"),
        (with(21, "/own_building/reflectance", json!("dark")), "own_building.reflectance: expected"),
        (with(21, "/sky/cie_type", json!(12)), "sky.sun_altitude_deg: expected degrees from 0 to 90"),
        (with(21, "/sky/diffuse_horizontal_lx", json!(-1)), "sky.diffuse_horizontal_lx: expected"),
        (
            with(21, "/look/0", json!([100, -30])),
            "look[0][0]: expected a bearing from -90 to 90 degrees, since",
        ),
        (with(21, "/look/1", json!([20, 95])), "look[1][1]: expected an altitude"),
        (with(21, "/look/1", json!([20])), "look[1]: expected 2 numbers"),
    ];
    let lines: Vec<Value> = cases.iter().map(|c| c.0.clone()).collect();
    for ((line, expected), answer) in cases.iter().zip(calc(&lines)) {
        assert!(error(&answer).starts_with(expected), "{answer} to {line}");
    }
}

// Out-of-range numbers give figures or an error, never null in place of a figure, and never a crash.
#[test]
fn extreme_numbers_never_give_null() {
    let mut lines = Vec::new();
    for (line, expected) in one_of_each() {
        for value in [1e308, -1e308, 1e-308, 0.0, -1.0] {
            for field in line.as_object().unwrap().keys() {
                let mut changed = line.clone();
                match &mut changed[field.as_str()] {
                    Value::Number(_) => changed[field.as_str()] = json!(value),
                    Value::Array(entries) if entries.iter().all(Value::is_number) => {
                        entries.fill(json!(value));
                    }
                    _ => continue,
                }
                lines.push((changed, expected));
            }
        }
    }
    let asked: Vec<Value> = lines.iter().map(|l| l.0.clone()).collect();
    // Undefined by nature: colour in the dark, sunrise in the polar night, the wavelength of a white.
    let may_be_null = ["colour", "rendering", "rise_set"];
    for ((line, expected), answer) in lines.iter().zip(calc(&asked)) {
        if answer.get("error").is_some() {
            error(&answer);
            continue;
        }
        let mut expected = expected.to_vec();
        expected.sort_unstable();
        assert_eq!(keys(&answer), expected);
        if !may_be_null.contains(&line["calc"].as_str().unwrap()) {
            assert!(!answer.to_string().contains("null"), "{answer} to {line}");
        }
    }
}

// A caller that waits for each answer before the next request gets it.
#[test]
fn answers_come_at_once() {
    use std::io::{BufRead, BufReader, Write};
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_clerestory"))
        .arg("calc")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let mut stdout = BufReader::new(child.stdout.take().unwrap());
    for angle in [0, 30, 60] {
        let line = json!({"calc": "stack", "angle_deg": angle, "layers": []});
        writeln!(stdin, "{line}").unwrap();
        stdin.flush().unwrap();
        let mut answer = String::new();
        stdout.read_line(&mut answer).unwrap();
        let answer: Value = serde_json::from_str(&answer).unwrap();
        assert!((number(&answer["transmittance"]) - 1.0).abs() < 1e-12);
    }
    drop(stdin);
    assert!(child.wait().unwrap().success());
}
