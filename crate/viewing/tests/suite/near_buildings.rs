//! The light at a place behind near buildings and shadows, against walks through the site from ray to ray.

use std::cell::RefCell;

use serde_json::{Value, json};
use spectra::luminous;
use viewing::Prepared;

use crate::path_tracer::{Tracer, Walked};
use crate::scenes::resolve;
use crate::traced::{light, small, standard};
use crate::walk::{Random, Walk};

const RHO: [f64; 3] = [0.2, 0.4, 0.3];

fn block(distance_m: f64, x_m: [f64; 2], height_m: f64, depth_m: f64) -> Value {
    json!({ "distance_m": distance_m, "from_m": x_m[0], "to_m": x_m[1], "height_m": height_m, "depth_m": depth_m,
            "reflectance": { "grey": RHO[2] } })
}

/// Names, heights of the own building, blocks, and minutes: of a clear sky, or overcast.
fn cases() -> Vec<(&'static str, f64, Vec<Value>, Vec<&'static str>)> {
    let narrow = || block(1.0, [-0.5, 0.5], 3.0, 1.0);
    let wide = || block(2.0, [-8.0, 8.0], 4.0, 6.0);
    let house = || block(12.0, [-5.0, 7.0], 9.0, 8.0);
    let three = vec![
        block(14.0, [-9.0, 2.0], 9.0, 8.0),
        block(22.0, [6.0, 20.0], 12.0, 8.0),
        block(3.0, [3.0, 5.0], 2.0, 4.0),
    ];
    let court = vec![
        block(9.0, [-30.0, 30.0], 14.0, 10.0),
        block(0.5, [-15.0, -5.0], 14.0, 8.5),
        block(0.5, [5.0, 15.0], 14.0, 8.5),
    ];
    vec![
        ("narrow", 0.0, vec![narrow()], vec!["overcast"]),
        ("narrow, own", 6.0, vec![narrow()], vec!["overcast", "T17:00", "T11:30"]),
        ("wide", 3.0, vec![wide()], vec!["overcast", "T11:30"]),
        ("own 8", 8.0, vec![], vec!["overcast", "T07:30", "T09:00", "T10:00", "T11:30", "T12:30"]),
        ("house", 5.0, vec![house()], vec!["overcast", "T09:00", "T10:30", "T12:30", "T18:00"]),
        ("three", 8.0, three, vec!["overcast", "T09:00", "T12:30", "T17:00"]),
        ("court", 14.0, court, vec!["overcast", "T12:30", "T15:00"]),
    ]
}

fn scene(own_m: f64, blocks: &[Value]) -> Value {
    let mut scene = small();
    scene["clerestory"] = json!(5);
    for k in 0..3 {
        scene["windows"][0]["drawing"]["cutlines"][k]["id"] = json!(k + 1);
    }
    scene["ground"] = json!({ "grey": RHO[0] });
    let mut horizon = json!({ "blocks": blocks });
    if own_m > 0.0 {
        horizon["own_building"] = json!({ "height_m": own_m, "reflectance": { "grey": RHO[1] } });
    }
    scene["horizon"] = horizon;
    scene
}

/// Totals, and parts, beside two standard errors of the room; what comes straight has some 0.5 % of its own.
const WITHIN: [f64; 2] = [0.015, 0.025];
/// In a court so deep that its foot sees a narrow piece of sky only.
const IN_A_COURT: [f64; 2] = [0.025, 0.07];
/// A part may be off by this share of the total.
const AT_LEAST: f64 = 0.0025;
/// Rays each way, and paths.
const EFFORT: (usize, usize) = (400, 100_000);

// Everything is seen from the middle of the window, by both.
#[test]
#[expect(clippy::print_stdout, reason = "seen only on request")]
fn the_light_at_a_place_agrees_with_walks_outside() {
    let mut faults = Vec::new();
    for (name, own_m, blocks, minutes) in cases() {
        let scene = scene(own_m, &blocks);
        let mut free = scene.clone();
        free.as_object_mut().unwrap().remove("horizon");
        let lights = |scene: &Value| -> Vec<_> {
            let of = |minute: &&str| match *minute {
                "overcast" => light(scene, Some(standard(1)), "2026-06-20T12:00"),
                minute => light(scene, None, &format!("2026-06-20{minute}")),
            };
            minutes.iter().map(of).collect()
        };
        let near = lights(&scene);
        let open: Vec<_> = lights(&free).into_iter().map(|light| light.outside).collect();
        let resolved = resolve(&scene);
        let site = resolved.horizon.buildings.as_ref().unwrap().site();
        let corners = |b: &daylight::Block| {
            [[b.x_m[0], 0.0, -b.distance_m - b.depth_m], [b.x_m[1], b.height_m, -b.distance_m]]
        };
        let walk = Walk {
            window_m: site.window_middle_height_m,
            own_m: site.own_height_m,
            boxes: site.blocks.iter().map(corners).collect(),
            reflectances: RHO,
        };
        let mut tracer = Tracer::new(&resolved);
        tracer.site = Some(Walked { walk, random: RefCell::new(Random(3)) });
        let places = ["seat", "near", "beside the window"];
        let eyes = places.map(|p| resolved.in_room(resolved.eye_m(Some(p)).unwrap()).to_array());
        let rooms = tracer.room(&eyes, &open, EFFORT.1);
        for (e, place) in places.into_iter().enumerate() {
            let prepared = Prepared::new(&resolved, Some(place)).unwrap();
            let straight = tracer.straight(eyes[e], &open, [EFFORT.0; 2]);
            for (k, light) in near.iter().enumerate() {
                let found = prepared.light(&light.outside);
                for (r, found) in [found.vertical, found.horizontal].iter().enumerate() {
                    let ((straight, _), room) = (&straight[k], &rooms[k][e]);
                    let total = straight.sky_ground[r] + straight.sun[r] + room.room[r];
                    let error = room.room_error[r];
                    let mut line = format!("{name}, {place}, {}, {}", light.name, ["level eye", "upward"][r]);
                    let mut beyond = false;
                    let [of_total, of_part] = if name == "court" { IN_A_COURT } else { WITHIN };
                    for (part, got, want, within, error) in [
                        ("total", luminous(&found.total()), total, of_total, error),
                        ("straight", luminous(&found.sky_ground), straight.sky_ground[r], of_part, 0.0),
                        ("room", luminous(&found.room), room.room[r], of_part, error),
                    ] {
                        beyond |= (got - want).abs() > (within * want).max(AT_LEAST * total) + 2.0 * error;
                        let off = 100.0 * (got / want - 1.0);
                        line += &format!(", {part} {got:.2} lx {off:+.2} %");
                    }
                    line += &format!(" ± {:.2} %", 100.0 * error / room.room[r]);
                    println!("{line}");
                    if beyond {
                        faults.push(line);
                    }
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
