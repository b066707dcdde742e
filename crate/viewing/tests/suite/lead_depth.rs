//! Leads and bars with depth.

use crate::scenes::{resolve, six_pieces};
use crate::traced::{Effort, check, hours};
use crate::walls::{deep, outside, overcast, slit, with_wall};
use plane::{RoomPoint, RoomVector};
use serde_json::{Value, json};
use spectra::luminous;
use viewing::{Direct, Glazing, InstantLight, Prepared, WindowWall};

/// The slit and its leads, whose leaves stand out as far as usual.
fn leads() -> Value {
    json!({ "leaf_mm": 1.0 })
}

fn light(scene: &Value, at: &str) -> InstantLight {
    let resolved = resolve(scene);
    Prepared::new(&resolved, Some("seat")).unwrap().light(&outside(&resolved, at))
}

const EFFORT: Effort = Effort { rays: [420, 700], paths: 200_000, within: [0.01, 0.03, 0.01] };

// Against the path tracer, which looks whether each ray passes both leaves.
#[test]
fn flush_leads_against_the_tracer() {
    let scene = with_wall(&six_pieces(), leads());
    check("six pieces, leads", &scene, &hours(&scene), EFFORT);
    let mut scene = with_wall(&slit(), json!({ "leaf_mm": 3.0 }));
    check("slit, high leads", &scene, &hours(&scene), EFFORT);
    scene["windows"][0]["wall"] = json!({ "leaf_mm": 0.0 });
    check("slit, the glass alone", &scene, &hours(&scene), EFFORT);
}

#[test]
fn leads_in_a_thick_wall_against_the_tracer() {
    let mut wall = deep();
    wall["leaf_mm"] = json!(2.0);
    let scene = with_wall(&slit(), wall);
    check("slit, leads in a wall", &scene, &hours(&scene), EFFORT);
    // With matting, which scatters forwards.
    let mut wall = deep();
    wall["leaf_mm"] = json!(1.0);
    let scene = with_wall(&six_pieces(), wall);
    check("six pieces in a wall", &scene, &hours(&scene), EFFORT);
}

#[test]
fn prepared_and_direct_agree() {
    for (at, sky) in [("2026-06-20T18:30", None), ("2026-11-25T12:00", Some(overcast()))] {
        let mut scene = with_wall(&six_pieces(), leads());
        if let Some(sky) = sky {
            scene["sky"] = sky;
        }
        let resolved = resolve(&scene);
        let prepared = Prepared::new(&resolved, Some("seat")).unwrap();
        let outside = outside(&resolved, at);
        let (fast, slow) = (prepared.light(&outside), Direct::from_prepared(&prepared).light(&outside));
        for (a, b) in [(&fast.vertical, &slow.vertical), (&fast.horizontal, &slow.horizontal)] {
            for (a, b) in [(&a.sky_ground, &b.sky_ground), (&a.sun, &b.sun), (&a.room, &b.room)] {
                let (a, b) = (luminous(a), luminous(b));
                assert!((a - b).abs() <= 0.02 * b, "{at}: {a} {b}");
            }
        }
    }
}

// A bar that stands before the sun divides its disc between two parts of one piece; what the depth takes is taken once.
#[test]
fn prepared_and_direct_agree_on_the_disc_behind_a_bar() {
    let resolved = resolve(&with_wall(&six_pieces(), leads()));
    let outside = outside(&resolved, "2026-06-20T17:30");
    let sun = outside.sun().direction();
    let toward = RoomVector::toward_sky(sun.azimuth_deg - 270.0, sun.altitude_deg);
    // On the bar, in the middle of the third piece.
    let on_bar = RoomPoint::new(1.7, 1.7, 0.0);
    for up_m in [-0.0072, -0.0065, 0.0, 0.0065, 0.0072] {
        let eye = on_bar + toward * (2.0 / toward[2]) + RoomVector::new(0.0, up_m, 0.0);
        let glazing = Glazing::new(resolved.windows[0].pieces.iter().map(|piece| &piece.makeup));
        let prepared = Prepared::at(WindowWall::new(&resolved), resolved.room.surfaces, glazing, eye);
        let of = |light: InstantLight| light.pieces[2].sun_share;
        let fast = of(prepared.light(&outside));
        let slow = of(Direct::from_prepared(&prepared).light(&outside));
        assert!(fast > 0.1 && fast < 0.9, "{up_m}: {fast}");
        assert!((fast - slow).abs() < 1e-9, "{up_m}: {fast} {slow}");
    }
}

// Without a stated depth they have no effect at all.
#[test]
fn leads_count_as_flat_unless_their_depth_is_stated() {
    let at = "2026-06-20T18:30";
    let [flat, stated, high] = [json!({}), leads(), json!({ "leaf_mm": 3.0 })]
        .map(|wall| light(&with_wall(&six_pieces(), wall), at));
    assert_eq!(light(&six_pieces(), at).vertical, flat.vertical);
    let all = |light: &InstantLight| luminous(&light.horizontal.total());
    assert!(all(&flat) > all(&stated) && all(&stated) > all(&high));
    // What is seen of a piece is as bright.
    for (a, b) in flat.pieces.iter().zip(&high.pieces) {
        let [a, b] = [a, b].map(|piece| luminous(&piece.radiance.unwrap()));
        assert!((a / b - 1.0).abs() < 0.05, "{a} {b}");
    }
}

// Edits are followed as if everything were prepared again.
#[test]
fn another_glass_between_leads_with_depth_is_followed() {
    let mut resolved = resolve(&with_wall(&six_pieces(), leads()));
    let mut prepared = Prepared::new(&resolved, None).unwrap();
    let makeup = json!({ "plates": [{ "glass": "deep-cobalt", "thickness_mm": 2.2 }] });
    let edit = json!({ "edit": "set_makeup", "window": "west", "piece": 3, "makeup": makeup });
    let applied = resolved.apply(scene::read_edit(&edit.to_string()).unwrap()).unwrap();
    assert!(prepared.follow(&resolved, &applied.changes));
    crate::prepared::assert_as_prepared_again(&resolved, &prepared, "glass");
    let edit = json!({ "edit": "set_wall", "window": "west", "wall": null });
    let applied = resolved.apply(scene::read_edit(&edit.to_string()).unwrap()).unwrap();
    assert!(!prepared.follow(&resolved, &applied.changes));
}
