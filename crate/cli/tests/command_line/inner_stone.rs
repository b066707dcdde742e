//! The reveal inside in pictures of windows in a wall with depth, against the direct method of the figures.

use std::collections::BTreeMap;
use std::f64::consts::FRAC_1_PI;

use render::SceneWindow;
use serde_json::{Value, json};
use spectra::luminous;
use viewing::Direct;

use crate::run::demo;

/// Mean luminance, cd/m², of jambs, head and sill: of the picture and of the figures.
fn luminances(demo_name: &str, wall: &Value, at: &str) -> BTreeMap<String, [f64; 2]> {
    let text = std::fs::read_to_string(demo(demo_name)).unwrap();
    let mut scene: Value = serde_json::from_str(&text).unwrap();
    scene["clerestory"] = json!(5);
    scene["windows"][0]["wall"] = wall.clone();
    let scene = scene::resolve(&scene::read(&scene.to_string()).unwrap(), None).unwrap();
    let outside = scene.outside(scene.instant(at).unwrap().utc).unwrap();
    let window = SceneWindow::new(&scene, 0, scene.eye_m(None).unwrap()).unwrap();
    let drawn = window.inner_sides(&window.tables(&outside, None));
    let drawn = drawn.into_iter().map(|(face, area, [r, g, b])| {
        // The second row of XYZ from linear RGB with sRGB primaries.
        (face, area, 0.2126 * r + 0.7152 * g + 0.0722 * b)
    });
    let direct = Direct::new(&scene, None).unwrap().inner_exitance(0, &outside);
    let direct = direct.into_iter().map(|(face, area, sent)| (face, area, luminous(&sent) * FRAC_1_PI));
    let mut sums: BTreeMap<String, [[f64; 2]; 2]> = BTreeMap::new();
    let mut add = |k: usize, (face, area, luminance): (_, f64, f64)| {
        let own = &mut sums.entry(format!("{face:?}")).or_default()[k];
        *own = [own[0] + area, own[1] + area * luminance];
    };
    drawn.for_each(|side| add(0, side));
    direct.for_each(|patch| add(1, patch));
    let areas = sums.iter().map(|(face, [a, b])| (face, a[0], b[0]));
    for (face, a, b) in areas {
        assert!((a / b - 1.0).abs() < 1e-6, "{face}: {a} {b}");
    }
    sums.into_iter().map(|(face, of)| (face, of.map(|[area, sum]| sum / area))).collect()
}

// The direct method follows single rays, the picture sees parts of the glass as points.
fn agrees(demo: &str, wall: &Value, at: &str) {
    let found = luminances(demo, wall, at);
    assert_eq!(found.len(), 3);
    for (face, [drawn, figure]) in found {
        let share = drawn / figure - 1.0;
        assert!(share.abs() < 0.05, "{demo} {at}, {face}: drawn {drawn}, figure {figure}");
    }
}

#[test]
fn jambs_head_and_sill_are_as_bright_as_for_the_figures() {
    let splayed = json!({ "inner": { "depth_m": 0.4, "splay_deg": { "jamb": 30.0, "sill": 35.0 } } });
    agrees("estuary-lancet", &splayed, "2026-09-22T15:00");
}

#[test]
fn so_they_are_behind_stone_and_mesh() {
    let everything = json!({
        "outer": { "depth_m": 0.25, "splay_deg": { "jamb": 8.0, "sill": 20.0 },
            "reflectance": { "material": "brick" }, "sill_reflectance": { "grey": 0.2 } },
        "inner": { "depth_m": 0.3, "reflectance": { "material": "brick" }, "sill_reflectance": { "grey": 0.7 } },
        "overhang": { "depth_m": 0.5, "above_m": 0.1, "width_m": 1.2 },
        "guards": [{ "kind": "mesh", "wire_mm": 1.5, "pitch_mm": 12.0 }]
    });
    agrees("estuary-lancet", &everything, "2026-06-21T16:00");
}
