//! A small scene to vary: six pieces, one opalescent, one painted, one plated.
#![allow(dead_code, unreachable_pub)]

use scene::{Resolved, Scene};
use serde_json::{Value, json};

/// West window of 1.2 × 1.6 m in a coloured room of 4 × 3 × 6 m.
pub fn six_pieces() -> Value {
    let plate = |glass: &str| json!({ "plates": [{ "glass": glass, "thickness_mm": 3.0 }] });
    let piece =
        |id: u32, x: f64, y: f64, makeup: Value| json!({ "id": id, "at_mm": [x, y], "makeup": makeup });
    let mut painted = plate("amber");
    painted["paint"] = json!([{ "kind": "matting", "density": 0.4, "coverage": 0.7 }]);
    let mut plated = plate("pale-cobalt");
    plated["plates"].as_array_mut().unwrap().push(json!({ "glass": "float-clear", "thickness_mm": 4.0 }));
    json!({
        "clerestory": 1,
        "name": "Six pieces",
        "site": { "latitude_deg": 52.0, "longitude_deg": 1.5, "time_zone": "Europe/London" },
        "at": "2026-06-20T17:30",
        "sky": { "kind": "clear" },
        "ground": { "grey": 0.2 },
        "room": {
            "width_m": 4.0, "height_m": 3.0, "depth_m": 6.0, "facing_deg": 270.0,
            "surfaces": {
                "window_wall": { "grey": 0.5 }, "back_wall": { "material": "pale limestone" },
                "left_wall": { "material": "white paint" }, "right_wall": { "material": "cream plaster" },
                "floor": { "material": "red tile" }, "ceiling": { "grey": 0.8 }
            }
        },
        "windows": [{
            "id": "west", "centre_x_m": 2.0, "sill_height_m": 0.9,
            "drawing": {
                "sight_size": { "path": "M0 0H1200V1600H0Z", "width_mm": 12 },
                "cutlines": [
                    { "path": "M600 0V1600", "width_mm": 8 },
                    { "path": "M0 500H1200", "width_mm": 6 },
                    { "path": "M0 1100H1200", "width_mm": 6 }
                ],
                "bars": [{ "path": "M0 800H1200", "width_mm": 10 }]
            },
            "pieces": [
                piece(1, 300.0, 250.0, plate("deep-cobalt")), piece(2, 900.0, 250.0, painted),
                piece(3, 300.0, 700.0, plate("float-clear")), piece(4, 900.0, 700.0, plate("opal-white")),
                piece(5, 300.0, 1300.0, plated), piece(6, 900.0, 1300.0, plate("copper-green"))
            ]
        }],
        "places": [
            { "name": "seat", "distance_m": 3.0, "right_m": 0.4, "eye_height_m": 1.2 },
            { "name": "near", "distance_m": 0.7, "right_m": -0.2, "eye_height_m": 1.6 }
        ]
    })
}

pub fn resolve(value: &Value) -> Resolved {
    let scene: Scene = scene::read(&value.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
    scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Every piece of one glass, 3 mm, unpainted.
pub fn all_of(scene: &mut Value, glass: &str, thickness_mm: f64) {
    for piece in scene["windows"][0]["pieces"].as_array_mut().unwrap() {
        piece["makeup"] = json!({ "plates": [{ "glass": glass, "thickness_mm": thickness_mm }] });
    }
}
