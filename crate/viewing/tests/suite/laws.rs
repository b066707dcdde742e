//! Laws that no table gives: energy, linearity, symmetry, order, darkness.

use crate::scenes::{all_of, resolve, six_pieces};
use glass::Makeup;
use plane::{RoomPoint, RoomVector};
use proptest::prelude::*;
use serde_json::{Value, json};
use spectra::{Spectrum, luminous};
use viewing::{
    BoxRoom, Glazing, InstantLight, PieceSource, Prepared, Receiver, WindowWall, form_factor_to_polygon,
    room_light, share_of_disc,
};

fn prepared(scene: &Value) -> (scene::Resolved, Prepared) {
    let resolved = resolve(scene);
    let prepared = Prepared::new(&resolved, None).unwrap();
    (resolved, prepared)
}

fn at(resolved: &scene::Resolved, prepared: &Prepared, time: &str) -> InstantLight {
    prepared.light(&resolved.outside(resolved.instant(time).unwrap().utc).unwrap())
}

fn overcast(scene: &mut Value, level_lx: f64) {
    scene["sky"] = json!({ "kind": "standard", "cie_type": 1, "spectrum": { "cct_k": 6500.0 }, "diffuse_horizontal_lx": level_lx });
    // The low sun behind this window on a November morning leaves only sky and ground.
    scene["at"] = json!("2026-11-25T09:00");
}

// The same panes, the same figures: 1e-12.
#[test]
fn a_clear_window_equals_the_clear_reference() {
    let mut scene = six_pieces();
    all_of(&mut scene, "float-clear", 3.0);
    let (resolved, prepared) = prepared(&scene);
    for time in ["2026-06-20T18:30", "2026-06-20T10:00", "2026-11-25T12:00"] {
        let light = at(&resolved, &prepared, time);
        assert!((luminous(&light.vertical.total()) / luminous(&light.clear[0]) - 1.0).abs() < 1e-12);
        assert!((luminous(&light.horizontal.total()) / luminous(&light.clear[1]) - 1.0).abs() < 1e-12);
        let outside = resolved.outside(resolved.instant(time).unwrap().utc).unwrap();
        let report = prepared.report(&resolved, &outside).unwrap();
        assert!((report.viewing.share_of_clear.unwrap() - 1.0).abs() < 1e-12);
        assert!(report.viewing.cast.shift_from_clear.unwrap() < 1e-12);
        assert_eq!(report.viewing.cast.words, "No cast to speak of");
    }
}

// Ra is given only where it is defined and visible, and always with a caution where CIE 13.3 trusts it less.
#[test]
fn a_doubtful_ra_carries_a_caution() {
    for (glass, level_lx, given, doubtful) in
        [("float-clear", 1e4, true, false), ("turquoise", 1e4, true, true), ("turquoise", 0.1, false, false)]
    {
        let mut scene = six_pieces();
        all_of(&mut scene, glass, 3.0);
        overcast(&mut scene, level_lx);
        scene["ground"] = json!({ "grey": 0.0 });
        let (resolved, prepared) = prepared(&scene);
        let outside = resolved.outside(resolved.instant("2026-11-25T09:00").unwrap().utc).unwrap();
        let report = prepared.report(&resolved, &outside).unwrap();
        assert_eq!(report.viewing.ra.is_some(), given, "{glass}");
        assert_eq!(report.warnings.iter().any(|w| w.starts_with("Ra:")), doubtful, "{:?}", report.viewing);
    }
}

#[test]
fn light_is_linear_in_the_sky() {
    let mut one = six_pieces();
    overcast(&mut one, 5000.0);
    let (resolved, place) = prepared(&one);
    let a = at(&resolved, &place, "2026-11-25T09:00");
    overcast(&mut one, 15000.0);
    let resolved = resolve(&one);
    let b = at(&resolved, &place, "2026-11-25T09:00");
    let outside = |level| {
        let mut scene = six_pieces();
        overcast(&mut scene, level);
        let r = resolve(&scene);
        r.outside(r.instant("2026-11-25T09:00").unwrap().utc).unwrap()
    };
    // The ground also sees the beam, so only the sky's part triples; remove the ground's own share by difference.
    let (low, high) = (outside(5000.0), outside(15000.0));
    assert!((luminous(&high.diffuse_horizontal()) / luminous(&low.diffuse_horizontal()) - 3.0).abs() < 1e-9);
    let middle = at(
        &{
            let mut scene = six_pieces();
            overcast(&mut scene, 10000.0);
            resolve(&scene)
        },
        &place,
        "2026-11-25T09:00",
    );
    for (a, b, m) in
        [(a.vertical, b.vertical, middle.vertical), (a.horizontal, b.horizontal, middle.horizontal)]
    {
        let mean = (a.total() + b.total()) * 0.5;
        assert!((mean - m.total()).map(f64::abs).max() < 1e-9 * mean.max());
    }
}

#[test]
fn no_light_at_night_and_never_a_nan() {
    let scene = six_pieces();
    let (resolved, prepared) = prepared(&scene);
    let day = prepared.day(&resolved, daylight::CivilDate::parse("2026-12-21").unwrap(), 24).unwrap();
    assert_eq!(day.instants.len(), 24);
    let night = &day.instants[0];
    assert!(night.sun_altitude_deg < -18.0 && night.total_lx < 1e-3 && night.sun_lx <= 0.0);
    assert_eq!(night.words, "Too dark to see colour");
    assert!(day.sunrise.unwrap() < day.sunset.unwrap());
    let text = serde_json::to_value(&day.instants).unwrap();
    let mut numbers = 0;
    finite(&text, &mut numbers);
    assert!(numbers > 24 * 8);
    for time in ["2026-12-21T00:30", "2026-12-21T12:00", "2026-06-20T18:30"] {
        let outside = resolved.outside(resolved.instant(time).unwrap().utc).unwrap();
        let report = viewing::report(&resolved, Some(time), None).unwrap();
        assert_eq!(report.ranges.is_some(), luminous(&prepared.light(&outside).vertical.total()) > 0.0);
        let report = serde_json::to_value(report).unwrap();
        finite(&report, &mut numbers);
        let keys: Vec<_> = report["viewing"]["vertical"].as_object().unwrap().keys().cloned().collect();
        for key in ["total_lx", "sky_ground_lx", "sun_lx", "room_lx", "uncertainty_lx"] {
            assert!(keys.iter().any(|k| k == key));
        }
    }
}

/// serde_json writes NaN as null; null is allowed only where the report documents it.
fn finite(value: &Value, numbers: &mut usize) {
    const MAY_BE_NULL: [&str; 23] = [
        "incidence_deg",
        "share_of_clear",
        "x",
        "y",
        "u_prime",
        "v_prime",
        "cct_k",
        "duv",
        "dominant_nm",
        "excitation_purity",
        "shift_from_clear",
        "uncertainty_uv",
        "white_cloth",
        "pale_stone",
        "dark_skin",
        "light_skin",
        "ra",
        "luminance_cd_m2",
        "white_cloth_srgb",
        "polar",
        "dgp",
        "dgp_p05",
        "dgp_p95",
    ];
    match value {
        Value::Number(n) => {
            let value = n.as_f64().unwrap();
            assert!(value.is_finite() && !(value == 0.0 && value.is_sign_negative()), "{value}");
            *numbers += 1;
        }
        Value::Array(items) => items.iter().for_each(|v| finite(v, numbers)),
        Value::Object(map) => {
            for (key, v) in map {
                assert!(!v.is_null() || MAY_BE_NULL.contains(&key.as_str()), "{key} is null");
                finite(v, numbers);
            }
        }
        _ => {}
    }
}

// A room, a window and a sky that are their own mirror images: places left and right of the axis get the same
// light. 0.5 %: light is spread in the room by samples that are not quite mirrored.
#[test]
fn left_and_right_are_equal() {
    let mut scene = six_pieces();
    all_of(&mut scene, "float-clear", 3.0);
    scene["room"]["surfaces"]["left_wall"] = json!({ "grey": 0.6 });
    scene["room"]["surfaces"]["right_wall"] = json!({ "grey": 0.6 });
    overcast(&mut scene, 10000.0);
    scene["places"] = json!([
        { "name": "right", "distance_m": 2.0, "right_m": 0.9, "eye_height_m": 1.2 },
        { "name": "left", "distance_m": 2.0, "right_m": -0.9, "eye_height_m": 1.2 }
    ]);
    let resolved = resolve(&scene);
    let [right, left] = ["right", "left"].map(|name| {
        let place = Prepared::new(&resolved, Some(name)).unwrap();
        at(&resolved, &place, "2026-11-25T09:00")
    });
    for (a, b, tolerance) in [
        (right.vertical.sky_ground, left.vertical.sky_ground, 1e-6),
        (right.vertical.total(), left.vertical.total(), 5e-3),
        (right.horizontal.total(), left.horizontal.total(), 5e-3),
    ] {
        let (a, b) = (luminous(&a), luminous(&b));
        assert!((a / b - 1.0).abs() < tolerance, "{a} {b}");
    }
}

#[test]
fn thicker_glass_lets_less_through() {
    let mut last = f64::INFINITY;
    for thickness in [1.0, 2.0, 4.0, 8.0] {
        let mut scene = six_pieces();
        all_of(&mut scene, "mid-cobalt", thickness);
        let (resolved, prepared) = prepared(&scene);
        let light = at(&resolved, &prepared, "2026-06-20T18:30");
        let total = luminous(&light.vertical.total());
        assert!(total < last && total > 0.0, "{thickness} mm: {total}");
        last = total;
    }
}

// What comes in cannot exceed what falls on the openings, seen from the receivers as flux over the box's surfaces.
// A white ball at the place can get no more than the mean radiance outside seen all round, and a room with black
// walls reflects nothing.
#[test]
fn black_walls_reflect_nothing() {
    let mut scene = six_pieces();
    for surface in ["window_wall", "back_wall", "left_wall", "right_wall", "floor", "ceiling"] {
        scene["room"]["surfaces"][surface] = json!({ "grey": 0.0 });
    }
    let (resolved, prepared) = prepared(&scene);
    let light = at(&resolved, &prepared, "2026-06-20T18:30");
    assert!(light.vertical.room.max() <= 0.0 && light.vertical.sky_ground.max() > 0.0);
    // Each piece's share adds up to the whole.
    let sum: Spectrum = light.pieces.iter().map(|p| p.received[0]).sum();
    assert!((sum - light.vertical.total()).map(f64::abs).max() < 1e-12 * sum.max());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    // Cutting a polygon in two changes no form factor, and none exceeds 1.
    #[test]
    fn form_factors_add_up(
        p in prop::array::uniform3(-2.0..2.0f64), n in prop::array::uniform3(-1.0..1.0f64), cut in 0.1..0.9f64,
    ) {
        let length = n.iter().map(|c| c * c).sum::<f64>().sqrt();
        prop_assume!(length > 0.1 && p[2].abs() > 0.01);
        let (p, n) = (RoomPoint::from(p), RoomVector::from(n) / length);
        let rectangle = |a: f64, b: f64| {
            [[a, 0.0, 0.0], [b, 0.0, 0.0], [b, 1.0, 0.0], [a, 1.0, 0.0]].map(RoomPoint::from)
        };
        let whole = form_factor_to_polygon(p, n, &rectangle(0.0, 1.0));
        let parts = form_factor_to_polygon(p, n, &rectangle(0.0, cut)) + form_factor_to_polygon(p, n, &rectangle(cut, 1.0));
        prop_assert!((whole - parts).abs() < 1e-10);
        prop_assert!((0.0..=1.0).contains(&whole));
    }

    // The disc is divided among the pieces of a window without loss.
    #[test]
    fn the_disc_is_divided_without_loss(x in -0.5..1.5f64, y in -0.5..1.5f64, cut in 0.05..0.95f64) {
        let sun = RoomVector::toward_sky(10.0, 30.0);
        let rectangle = |a: f64, b: f64| {
            [[a, 0.0, 0.0], [b, 0.0, 0.0], [b, 1.0, 0.0], [a, 1.0, 0.0]].map(RoomPoint::from)
        };
        let p = RoomPoint::new(x, y, 0.0) + sun * -3.0;
        let whole = share_of_disc(p, sun, &rectangle(0.0, 1.0));
        let parts = share_of_disc(p, sun, &rectangle(0.0, cut)) + share_of_disc(p, sun, &rectangle(cut, 1.0));
        prop_assert!((whole - parts).abs() < 1e-9);
        prop_assert!((0.0..=1.0).contains(&whole));
    }
}

// The geometry holds whatever the numbers of a scene: a place in a corner, at the glass, on the floor.
#[test]
fn odd_places_give_figures_or_an_error() {
    let scene = six_pieces();
    let resolved = resolve(&scene);
    let wall = WindowWall::new(&resolved);
    let makeups: Vec<&Makeup> = resolved.windows[0].pieces.iter().map(|p| &p.makeup).collect();
    let outside = resolved.outside(resolved.instant("2026-06-20T18:30").unwrap().utc).unwrap();
    for eye in [[0.0, 0.0, 6.0], [2.0, 1.0, 0.002], [4.0, 3.0, 0.5], [2.0, 0.0, 3.0]].map(RoomPoint::from) {
        let place =
            Prepared::at(wall.clone(), resolved.room.surfaces, Glazing::new(makeups.iter().copied()), eye);
        let light = place.light(&outside);
        assert!(light.vertical.total().is_finite() && light.horizontal.total().is_finite(), "{eye:?}");
        assert!(light.vertical.total().min() >= 0.0 && light.horizontal.total().min() >= 0.0, "{eye:?}");
    }
    assert!(Prepared::new(&resolved, Some("nowhere")).is_err());
}

// Walls that absorb nothing: everything that comes in through the pane goes out through it again, so the room sends
// as much back to it as it sends to the room, π L. The level is the same everywhere but for the pane's own view:
// 0.5 %.
#[test]
fn a_room_that_keeps_its_light_fills_up() {
    let pane = crate::common::rectangle([1.0, 1.3], [1.0, 1.3]);
    let on_pane =
        Receiver { point_m: RoomPoint::new(1.15, 1.15, 0.0), normal: RoomVector::new(0.0, 0.0, 1.0) };
    let inside = Receiver::vertical(RoomPoint::new(1.5, 1.5, 3.0));
    let pieces = [(pane, PieceSource::Even(Box::new(Spectrum::splat(100.0))))];
    let filled = |rho: f64| {
        let room = BoxRoom { size_m: [4.0, 3.0, 6.0] };
        let surfaces = [Spectrum::splat(rho); 6];
        room_light(room, &surfaces, &pieces, |_| Spectrum::ZERO, &[on_pane, inside], 1)
    };
    let white = filled(1.0);
    assert!(
        (white[0].indirect[0] / (100.0 * std::f64::consts::PI) - 1.0).abs() < 5e-3,
        "{}",
        white[0].indirect[0]
    );
    // A radiosity solution with 447 patches, factors by contour from their centres, closed to the areas: 313.214
    // and 12.6585.
    for (rho, expected) in [(1.0, 313.214), (0.98, 12.6585)] {
        let found = filled(rho)[1].indirect[0];
        assert!((found / expected - 1.0).abs() < 3e-3, "{rho}: {found}");
    }
}
