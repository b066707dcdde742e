//! The prepared method compared with the direct one, and edits compared with preparing again.

use crate::scenes::{resolve, six_pieces};
use serde_json::json;
use spectra::{Observer, Spectrum, Xyz, luminous};
use viewing::{Direct, Irradiance, Prepared};

fn uv(s: &Spectrum) -> [f64; 2] {
    let uv = Xyz::absolute(s, Observer::Cie1931).u_prime_v_prime().unwrap();
    [uv.u, uv.v]
}

// Measured: totals within 0.27 %, the room's part within 0.9 %. Required: totals and the part directly from sky and
// ground within 0.5 %, the room's part within 1.5 %, direct sun within 0.1 % (optics by table against optics at the
// angle), u′v′ within 0.0005. The prepared method samples the sky in cells of up to 3.5° and spreads light in the
// room from about 300 samples and 570 directions.
pub(crate) fn compare(what: &str, prepared: &Irradiance, direct: &Irradiance) {
    let near = |name: &str, a: &Spectrum, b: &Spectrum, tolerance: f64| {
        let (a, b) = (luminous(a), luminous(b));
        assert!((a - b).abs() <= tolerance * b + 1e-9, "{what}, {name}: prepared {a}, direct {b}");
    };
    near("sky and ground", &prepared.sky_ground, &direct.sky_ground, 5e-3);
    near("sun", &prepared.sun, &direct.sun, 1e-3);
    near("room", &prepared.room, &direct.room, 1.5e-2);
    near("total", &prepared.total(), &direct.total(), 5e-3);
    for (a, b) in uv(&prepared.total()).iter().zip(uv(&direct.total())) {
        assert!((a - b).abs() < 5e-4, "{what}: u′v′ {a} {b}");
    }
}

fn check(what: &str, scene: &serde_json::Value, at: &str, place: &str) {
    let resolved = resolve(scene);
    let prepared = Prepared::new(&resolved, Some(place)).unwrap();
    let outside = resolved.outside(resolved.instant(at).unwrap().utc).unwrap();
    let fast = prepared.light(&outside);
    let slow = Direct::from_prepared(&prepared).light(&outside);
    compare(&format!("{what}, vertical"), &fast.vertical, &slow.vertical);
    compare(&format!("{what}, horizontal"), &fast.horizontal, &slow.horizontal);
    for r in 0..2 {
        let (a, b) = (luminous(&fast.clear[r]), luminous(&slow.clear[r]));
        assert!((a / b - 1.0).abs() < 5e-3, "{what}, clear: {a} {b}");
    }
    for (p, (a, b)) in fast.pieces.iter().zip(&slow.pieces).enumerate() {
        let (a, b) = (luminous(&a.radiance.unwrap()), luminous(&b.radiance.unwrap()));
        // A piece's own mean luminance: 1 %, since its rim shares cells with its neighbours.
        assert!((a / b - 1.0).abs() < 1e-2, "{what}, piece {p}: {a} {b}");
    }
}

#[test]
fn clear_sky_with_sun_in_the_room() {
    check("evening sun", &six_pieces(), "2026-06-20T18:30", "seat");
}

#[test]
fn clear_sky_close_to_the_glass() {
    check("morning, near", &six_pieces(), "2026-06-20T10:00", "near");
}

#[test]
fn overcast_with_a_skyline() {
    let mut scene = six_pieces();
    scene["sky"] = json!({ "kind": "standard", "cie_type": 1, "spectrum": { "cct_k": 6500.0 }, "diffuse_horizontal_lx": 10000.0 });
    scene["horizon"] = json!({ "skyline": [{ "bearing_deg": 0.0, "altitude_deg": 6.0 }, { "bearing_deg": 180.0, "altitude_deg": 6.0 }] });
    check("overcast", &scene, "2026-11-25T12:00", "seat");
}

// In a room that reflects nine tenths, nearly all light has been reflected many times: the total must be as
// accurate as the room's part elsewhere.
#[test]
fn a_white_room() {
    let mut scene = six_pieces();
    for surface in scene["room"]["surfaces"].as_object_mut().unwrap().values_mut() {
        *surface = json!({ "grey": 0.9 });
    }
    let resolved = resolve(&scene);
    let prepared = Prepared::new(&resolved, Some("seat")).unwrap();
    let outside = resolved.outside(resolved.instant("2026-06-20T18:30").unwrap().utc).unwrap();
    let (fast, slow) = (prepared.light(&outside), Direct::from_prepared(&prepared).light(&outside));
    for (name, a, b) in
        [("vertical", fast.vertical, slow.vertical), ("horizontal", fast.horizontal, slow.horizontal)]
    {
        let (a, b) = (luminous(&a.total()), luminous(&b.total()));
        assert!((a / b - 1.0).abs() < 1.5e-2, "{name}: prepared {a}, direct {b}");
    }
}

// An edit is applied by difference; the result equals preparing again up to the rounding of sums.
#[test]
fn an_edit_equals_preparing_again() {
    let own_glass = |uncertainty: f64| {
        json!({ "edit": "set_glass", "id": "attic-green", "glass": {
            "name": "Green from the attic", "family": "green", "colour": { "recipe": { "Fe2+": uncertainty } },
            "provenance": "recipe" } })
    };
    let makeup = |piece: u32, glass: &str| {
        json!({ "edit": "set_makeup", "window": "west", "piece": piece, "makeup": {
            "plates": [{ "glass": glass, "thickness_mm": 2.2 }], "paint": [{ "kind": "trace", "density": 0.5 }] } })
    };
    let mut room = serde_json::to_value(&resolve(&six_pieces()).scene.room).unwrap();
    room["facing_deg"] = json!(200.0);
    let edits = [
        makeup(6, "deep-cobalt"),
        own_glass(0.5),
        makeup(2, "attic-green"),
        // Another recipe for a glass that one of the pieces has.
        own_glass(1.5),
        // The compass turned.
        json!({ "edit": "set_room", "room": room }),
        json!({ "edit": "set_protective_glazing", "window": "west",
                "protective_glazing": { "thickness_mm": 6.0, "dirt": 0.05 } }),
        json!({ "edit": "set_deposits", "window": "west", "deposits": { "inside": { "loss": 0.1 } } }),
        json!({ "edit": "set_horizon", "horizon": { "skyline": [{ "bearing_deg": 100.0, "altitude_deg": 12.0 }] } }),
        json!({ "edit": "set_sky", "sky": { "kind": "overcast", "cloud": 0.5 } }),
    ];
    let mut resolved = resolve(&six_pieces());
    let mut prepared = Prepared::new(&resolved, None).unwrap();
    for edit in edits {
        let applied = resolved.apply(scene::read_edit(&edit.to_string()).unwrap()).unwrap();
        assert!(prepared.follow(&resolved, &applied.changes), "{edit}");
        assert_as_prepared_again(&resolved, &prepared, &edit.to_string());
    }
    // A room of another size must be prepared again.
    room["depth_m"] = json!(9.5);
    let edit = json!({ "edit": "set_room", "room": room });
    let applied = resolved.apply(scene::read_edit(&edit.to_string()).unwrap()).unwrap();
    assert!(!prepared.follow(&resolved, &applied.changes));
}

pub(crate) fn assert_as_prepared_again(resolved: &scene::Resolved, prepared: &Prepared, edit: &str) {
    let anew = Prepared::new(resolved, None).unwrap();
    let outside = resolved.outside(resolved.instant("2026-06-20T18:30").unwrap().utc).unwrap();
    let (a, b) = (prepared.light(&outside), anew.light(&outside));
    let mut pairs = vec![(a.vertical, b.vertical), (a.horizontal, b.horizontal)];
    match (a.working_plane, b.working_plane) {
        (Some(a), Some(b)) => pairs.push((a.horizontal, b.horizontal)),
        (a, b) => assert_eq!(a.is_some(), b.is_some(), "{edit}"),
    }
    for (a, b) in pairs {
        for (a, b) in [(a.sky_ground, b.sky_ground), (a.sun, b.sun), (a.room, b.room)] {
            assert!((a - b).map(f64::abs).max() <= 1e-10 * b.max(), "{edit}");
        }
    }
}

// Lobes: a sum over the sky for every direction against the sky blurred once on a grid.
#[test]
fn glass_that_scatters_forwards() {
    for (at, overcast) in
        [("2026-06-20T18:30", false), ("2026-06-20T10:00", false), ("2026-06-20T12:00", true)]
    {
        let mut scene = crate::traced::scattering();
        if overcast {
            scene["sky"] = crate::traced::standard(1);
        }
        let resolved = resolve(&scene);
        let prepared = Prepared::new(&resolved, Some("seat")).unwrap();
        let outside = resolved.outside(resolved.instant(at).unwrap().utc).unwrap();
        let (fast, slow) = (prepared.light(&outside), Direct::from_prepared(&prepared).light(&outside));
        for (name, a, b) in
            [("vertical", fast.vertical, slow.vertical), ("horizontal", fast.horizontal, slow.horizontal)]
        {
            for (part, a, b, within) in [
                ("total", a.total(), b.total(), 0.005),
                ("sky and ground", a.sky_ground, b.sky_ground, 0.005),
                ("sun", a.sun, b.sun, 0.005),
                ("room", a.room, b.room, 0.015),
            ] {
                let (a, b) = (luminous(&a), luminous(&b));
                assert!((a - b).abs() <= within * b, "{at}, {name}, {part}: prepared {a}, direct {b}");
            }
        }
        for (p, (a, b)) in fast.pieces.iter().zip(&slow.pieces).enumerate() {
            let (a, b) = (luminous(&a.radiance.unwrap()), luminous(&b.radiance.unwrap()));
            assert!((a / b - 1.0).abs() < 0.01, "{at}, piece {p}: prepared {a}, direct {b}");
        }
    }
}
