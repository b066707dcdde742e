//! Windows in a wall with depth.

use plane::{PanelPoint, PanelSpacePoint, contains};
use render::{Eye, LightTables, Look, NativeBackend, SceneWindow, View, reference, software_picture};
use scene::Resolved;
use serde_json::{Value, json};

use crate::backends::{difference, open};
use crate::golden::check;

/// A lancet of nine pieces in even glass, invented.
pub(crate) fn lancet(wall: &Value) -> Resolved {
    let plate = |glass: &str| json!({ "plates": [{ "glass": glass, "thickness_mm": 3.0 }] });
    let glasses = ["float-clear", "pale-cobalt", "opal-white", "amber"];
    let pieces: Vec<Value> = (0..9)
        .map(|k: usize| {
            let at = [80.0 + 120.0 * (k % 3) as f64, 200.0 + 420.0 * (k / 3) as f64];
            json!({ "id": k + 1, "at_mm": at, "makeup": plate(glasses[(k + k / 3) % 4]) })
        })
        .collect();
    let mut scene = json!({
        "clerestory": 5, "name": "A lancet in a thick wall",
        "site": { "latitude_deg": 52.0, "longitude_deg": 1.5, "time_zone": "Europe/London" },
        "at": "2026-03-20T14:00", "sky": { "kind": "clear" }, "ground": { "grey": 0.25 },
        "horizon": { "skyline": [{ "bearing_deg": 0.0, "altitude_deg": 4.0 }] },
        "room": { "width_m": 4.0, "height_m": 4.0, "depth_m": 8.0, "facing_deg": 225.0, "surfaces": {
            "window_wall": { "grey": 0.5 }, "back_wall": { "grey": 0.5 }, "left_wall": { "grey": 0.5 },
            "right_wall": { "grey": 0.5 }, "floor": { "grey": 0.2 }, "ceiling": { "grey": 0.5 } } },
        "windows": [{ "id": "south-west", "centre_x_m": 2.0, "sill_height_m": 1.2,
            "drawing": {
                "sight_size": { "path": "M0 0H400V1000Q400 1250 200 1400Q0 1250 0 1000Z", "width_mm": 12 },
                "cutlines": [
                    { "id": 1, "path": "M140 0V1350", "width_mm": 6 }, { "id": 2, "path": "M260 0V1350", "width_mm": 6 },
                    { "id": 3, "path": "M0 420H400", "width_mm": 6 }, { "id": 4, "path": "M0 840H400", "width_mm": 6 }
                ] },
            "pieces": pieces }],
        "places": [
            { "name": "bench", "distance_m": 3.0, "right_m": -1.2, "eye_height_m": 1.2 },
            { "name": "before it", "distance_m": 3.0, "right_m": 0.0, "eye_height_m": 1.8 }
        ]
    });
    if !wall.is_null() {
        scene["windows"][0]["wall"] = wall.clone();
    }
    scene::resolve(&scene::read(&scene.to_string()).unwrap(), None).unwrap()
}

fn outer(depth_m: f64, grey: f64) -> Value {
    json!({ "outer": { "depth_m": depth_m, "reflectance": { "grey": grey } } })
}

pub(crate) fn everything() -> Value {
    json!({
        "outer": { "depth_m": 0.3, "splay_deg": { "jamb": 10.0, "sill": 25.0 },
            "reflectance": { "material": "pale limestone" }, "sill_reflectance": { "grey": 0.2 } },
        "inner": { "depth_m": 0.4, "splay_deg": { "jamb": 35.0, "head": 10.0, "sill": 45.0 } },
        "overhang": { "depth_m": 0.5, "above_m": 0.1, "width_m": 0.9 },
        "guards": [{ "kind": "mesh", "wire_mm": 1.5, "pitch_mm": 12.0 }]
    })
}

pub(crate) fn seen(scene: &Resolved, place: &str) -> SceneWindow {
    SceneWindow::new(scene, 0, scene.eye_m(Some(place)).unwrap()).unwrap()
}

pub(crate) fn tables(scene: &Resolved, window: &SceneWindow, at: &str) -> LightTables {
    window.tables(&scene.outside(scene.instant(at).unwrap().utc).unwrap(), None)
}

fn view(window: &SceneWindow) -> View {
    View::fit(window.model.bounds(), [120, 400], 0.04)
}

/// Light of a point, cd/m²: the piece that lies there, even.
fn light(tables: &LightTables, window: &SceneWindow, x: f64, y: f64) -> [f64; 3] {
    let at = PanelPoint::new(x, y);
    let piece = window.model.pieces.iter().position(|p| contains(&p.light_shape, at)).expect("a piece");
    reference::light_at(tables, &View { mm_per_px: 0.5, ..view(window) }, piece, at)
}

// 0.4 m deep, seen from 1.2 m aside at 3 m: the far jamb's outer edge is seen 400 − (200 + 1200)·0.4/3.4 = 165 mm from
// the right. The place is that of straight sight.
#[test]
fn a_deep_lancet_seen_from_the_side_shows_stone_with_a_straight_edge() {
    let at = "2026-03-20T11:00";
    let (bare, deep) = (lancet(&Value::Null), lancet(&outer(0.4, 0.0)));
    let [bare, deep] = [bare, deep].map(|scene| {
        let window = seen(&scene, "bench");
        (tables(&scene, &window, at), window)
    });
    let edge = 400.0 - 1400.0 * 0.4 / 3.4;
    for y in [120.0, 300.0, 500.0, 800.0] {
        // Opal, which scatters, gets less light there too.
        let (x, stone) = (edge - 2.0, edge + 2.0);
        let (a, b) = (light(&bare.0, &bare.1, 50.0, y), light(&deep.0, &deep.1, 50.0, y));
        if y < 400.0 {
            assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() <= 0.0), "open at {y}");
        }
        assert!(light(&deep.0, &deep.1, x, y)[1] > 1.0, "{y}");
        let dark = light(&deep.0, &deep.1, stone, y)[1] / light(&bare.0, &bare.1, stone, y)[1];
        assert!(dark < 0.4, "{y}: {dark}");
    }
}

#[test]
fn a_wall_of_no_depth_leaves_the_picture_as_it_is() {
    let at = "2026-03-20T14:00";
    let of = |wall: &Value| {
        let scene = lancet(wall);
        let mut window = seen(&scene, "bench");
        window.set_eye(Eye { position_mm: PanelSpacePoint::new(-400.0, 500.0, 2500.0) });
        tables(&scene, &window, at)
    };
    let bare = of(&Value::Null);
    assert!(bare == of(&json!({ "outer": { "depth_m": 0.0 } })));
    assert!(bare == of(&json!({ "inner": { "depth_m": 0.0, "splay_deg": { "jamb": 30.0 } } })));
    assert!(bare != of(&outer(0.01, 0.3)));
}

#[test]
fn gpus_and_software_draw_the_same_stone() {
    let (mut vulkan, mut gl) = (open(NativeBackend::Vulkan), open(NativeBackend::Gl));
    for (place, at) in [("bench", "2026-03-20T14:00"), ("before it", "2026-12-21T12:30")] {
        let scene = lancet(&everything());
        let window = seen(&scene, place);
        let tables = tables(&scene, &window, at);
        vulkan.set(&window.mesh, tables.clone()).unwrap();
        gl.set(&window.mesh, tables.clone()).unwrap();
        for view in [view(&window), view(&window).zoomed(4.0, [90.0, 120.0])] {
            let a = vulkan.picture(view, Look::default()).unwrap();
            let b = gl.picture(view, Look::default()).unwrap();
            let c = software_picture(&window.mesh, &tables, &view, &Look::default());
            let (ab, ac) = (difference(&a, &b), difference(&a, &c));
            assert!(ab.0 <= 2, "Vulkan and GL differ by {ab:?}");
            assert!(ac.0 <= 2, "Vulkan and the CPU differ by {ac:?}");
        }
    }
}

#[test]
fn the_thick_wall_as_committed() {
    let mut device = open(NativeBackend::Any);
    for (name, wall, place, at) in [
        ("thick-wall-side", outer(0.4, 0.45), "bench", "2026-03-20T16:30"),
        ("thick-wall-everything", everything(), "before it", "2026-03-20T14:00"),
    ] {
        let scene = lancet(&wall);
        let window = seen(&scene, place);
        device.set(&window.mesh, tables(&scene, &window, at)).unwrap();
        let size = [150, 400];
        let view = View::fit(window.bounds(), size, 0.2);
        check(name, &device.picture(view, Look::default()).unwrap(), size);
    }
}
