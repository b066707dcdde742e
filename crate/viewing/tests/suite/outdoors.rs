//! What stands outside, through a scene and its report.

use serde_json::{Value, json};
use spectra::luminous;
use viewing::{Direct, Prepared};

use crate::scenes::{all_of, resolve, six_pieces};

/// Height of the middle of the window above the floor, m.
const MIDDLE_M: f64 = 1.7;

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn standard(cie_type: &Value, lx: f64) -> Value {
    json!({ "kind": "standard", "cie_type": cie_type, "spectrum": { "cct_k": 6500.0 }, "diffuse_horizontal_lx": lx })
}

/// The small scene in the newest version.
fn newest() -> Value {
    let mut scene = six_pieces();
    scene["clerestory"] = json!(5);
    let lines = scene["windows"][0]["drawing"]["cutlines"].as_array_mut().unwrap();
    for (k, line) in lines.iter_mut().enumerate() {
        line["id"] = json!(k + 1);
    }
    scene
}

/// A scene with the surroundings of a case of the check data; a street's facade as a block of ten kilometres.
fn scene_of(case: &Value) -> Value {
    let mut scene = newest();
    let sky = &case["sky"];
    scene["sky"] = standard(&sky["cie_type"], number(sky, "diffuse_horizontal_lx"));
    scene["ground"] = json!({ "grey": number(case, "ground_reflectance") });
    let height_m = number(case, "window_middle_height_m");
    let mut horizon = json!({ "floor_above_ground_m": height_m - MIDDLE_M });
    let own = &case["own_building"];
    if number(own, "height_m") > 0.0 {
        let reflectance = json!({ "grey": number(own, "reflectance") });
        horizon["own_building"] = json!({ "height_m": number(own, "height_m"), "reflectance": reflectance });
    }
    let (street, block) = (&case["street"], &case["block"]);
    let opposite = if street.is_object() { street } else { block };
    if opposite.is_object() {
        let of = |key: &str, endless: f64| block[key].as_f64().unwrap_or(endless);
        horizon["blocks"] = json!([{
            "distance_m": number(opposite, "distance_m"),
            "from_m": of("x0_m", -5000.0),
            "to_m": of("x1_m", 5000.0),
            "height_m": number(opposite, "height_m"),
            "depth_m": of("depth_m", 5000.0),
            "reflectance": { "grey": number(opposite, "reflectance") },
        }]);
    }
    scene["horizon"] = horizon;
    scene
}

// Source: tests/reference/outdoors, every case whose sky needs no sun of its own, which `calc outdoors` is held to, too.
// 3 %: the mesh for every hour of a year.
#[test]
fn the_report_of_a_scene_agrees_with_the_check_data() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/outdoors/outdoors.json");
    let file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let cases = file["cases"].as_array().unwrap();
    let mut count = 0;
    for case in cases.iter().filter(|case| case["sky"]["cie_type"] != 12) {
        let resolved = resolve(&scene_of(case));
        let report = viewing::report(&resolved, None, None).unwrap();
        let (found, expected) =
            (report.outside.vertical_on_glass_lx, number(&case["vertical_illuminance"], "total_lx"));
        assert!((found / expected - 1.0).abs() < 0.03, "{}: {found}, expected {expected}", case["name"]);
        let counted = !report.warnings.iter().any(|warning| warning.starts_with("own building"));
        assert_eq!(counted, number(&case["own_building"], "height_m") > 0.0, "{}", case["name"]);
        count += 1;
    }
    assert!(count > 25, "{count}");
}

// A place a few nanometres inside the edge of the glass sees it as a column narrower than rounding.
#[test]
fn a_place_at_the_very_edge_of_the_glass_has_light() {
    let mut scene = newest();
    scene["horizon"] = json!({
        "skyline": [{ "bearing_deg": 0.0, "altitude_deg": 10.0 }],
        "blocks": [{ "distance_m": 6.0, "from_m": -50.0, "to_m": 50.0, "height_m": 20.0, "depth_m": 10.0 }],
    });
    let resolved = resolve(&scene);
    let wall = Prepared::new(&resolved, Some("seat")).unwrap().wall().clone();
    let across = wall.pieces.iter().flat_map(|piece| piece.light.iter().flatten()).map(|p| p.to_array()[0]);
    let middle_m = scene["room"]["width_m"].as_f64().unwrap() / 2.0;
    let edge_m = across.fold(f64::NEG_INFINITY, f64::max) - middle_m;
    // Where the edge falls among the lines of the grid depends on the distance.
    for distance_m in [1.0, 1.2, 1.5, 1.9, 2.4, 3.1] {
        scene["places"] = json!([{
            "name": "edge", "distance_m": distance_m, "eye_height_m": 1.5, "right_m": edge_m - 1e-9,
        }]);
        let report = viewing::report(&resolve(&scene), None, Some("edge")).unwrap();
        assert!(report.viewing.vertical.total_lx > 0.0, "{distance_m} m");
    }
}

// Under blocks and snow, with the own building's shadow in the view: totals within 2 %. Cells of the view may lie
// half in a shadow on the ground.
#[test]
fn prepared_and_direct_agree_under_blocks_and_snow() {
    let mut scene = newest();
    all_of(&mut scene, "float-clear", 3.0);
    scene["ground"] = json!({ "material": "snow" });
    scene["horizon"] = json!({
        "own_building": { "height_m": 8.0 },
        "floor_above_ground_m": 1.0,
        "blocks": [
            { "distance_m": 14.0, "from_m": -9.0, "to_m": 2.0, "height_m": 9.0, "depth_m": 8.0 },
            { "distance_m": 22.0, "from_m": 6.0, "to_m": 20.0, "height_m": 12.0, "depth_m": 8.0,
              "reflectance": { "material": "brick" } },
        ],
    });
    for (sky, at) in [
        (json!({ "kind": "clear" }), "2026-06-20T10:00"),
        (json!({ "kind": "clear" }), "2026-06-20T18:00"),
        (json!({ "kind": "overcast", "cloud": 1.0 }), "2026-02-11T10:30"),
    ] {
        scene["sky"] = sky;
        let resolved = resolve(&scene);
        let prepared = Prepared::new(&resolved, Some("seat")).unwrap();
        let outside = resolved.outside(resolved.instant(at).unwrap().utc).unwrap();
        let (fast, slow) = (prepared.light(&outside), Direct::from_prepared(&prepared).light(&outside));
        for (name, a, b) in
            [("vertical", fast.vertical, slow.vertical), ("horizontal", fast.horizontal, slow.horizontal)]
        {
            let (a, b) = (luminous(&a.total()), luminous(&b.total()));
            assert!((a / b - 1.0).abs() < 0.02, "{at}, {name}: prepared {a}, direct {b}");
        }
    }
}
