//! Variants: applying a difference gives the other scene, and a changed scene keeps the edits that still fit.

use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use scene::{
    Edit, OwnGlass, Plate, ProtectiveGlazing, Scene, Sky, Variant, difference, fit_variants, read, resolve,
    with_variant,
};

const TWO_PIECES: &str = include_str!("../two-pieces.json");

fn two_pieces() -> Scene {
    read(TWO_PIECES).unwrap_or_else(|faults| panic!("{faults}"))
}

fn makeup_edit(scene: &Scene, piece: u32, glass: &str) -> Edit {
    let window = &scene.windows[0];
    let mut makeup = window.pieces.iter().find(|p| p.id == piece).unwrap().makeup.clone();
    makeup.plates = vec![Plate {
        glass: glass.to_owned(),
        thickness_mm: 3.0,
        sheet: 0,
        flash_left: 1.0,
        thickness_sd_mm: None,
        flash_face: scene::Face::Inside,
    }];
    Edit::SetMakeup { window: window.id.clone(), piece, makeup }
}

fn own_glass() -> OwnGlass {
    serde_json::from_value(serde_json::json!({
        "name": "of the house", "family": "green", "provenance": "recipe",
        "colour": { "recipe": { "Co2+": 0.1 } }, "sheets": { "thickness_mm": 4.0, "plus_minus_mm": 0.5 }
    }))
    .unwrap()
}

fn some_edit() -> impl Strategy<Value = Edit> {
    let scene = two_pieces();
    let id = scene.windows[0].id.clone();
    let dirty = id.clone();
    let room = scene.room.clone();
    prop_oneof![
        (1u32..=2, 0usize..4).prop_map(move |(piece, k)| {
            makeup_edit(&scene, piece, ["amber", "deep-cobalt", "pale-cobalt", "lilac"][k])
        }),
        "[a-c]{1,2}".prop_map(|name| Edit::SetName { name }),
        (0.0f64..1.0)
            .prop_map(|cloud| Edit::SetSky { sky: Sky::Overcast { cloud, air: scene::Air::default() } }),
        any::<bool>().prop_map(move |there| Edit::SetProtectiveGlazing {
            window: id.clone(),
            protective_glazing: there.then_some(ProtectiveGlazing { thickness_mm: 6.0, dirt: 0.1 }),
        }),
        (0.0f64..0.5).prop_map(move |loss| Edit::SetDeposits {
            window: dirty.clone(),
            deposits: serde_json::from_value(serde_json::json!({ "outside": { "loss": loss } })).unwrap(),
        }),
        (0.0f64..360.0)
            .prop_map(move |facing_deg| Edit::SetRoom { room: scene::Room { facing_deg, ..room.clone() } }),
        any::<bool>()
            .prop_map(|there| Edit::SetGlass { id: "house".to_owned(), glass: there.then(own_glass) }),
    ]
}

proptest! {
    #[test]
    fn the_difference_of_two_states_turns_one_into_the_other(
        first in proptest::collection::vec(some_edit(), 0..6),
        second in proptest::collection::vec(some_edit(), 0..12),
    ) {
        let mut from = two_pieces();
        for edit in first {
            edit.apply(&mut from).unwrap();
        }
        let mut to = from.clone();
        for edit in second {
            edit.apply(&mut to).unwrap();
        }
        let edits = difference(&from, &to);
        // A name, a sky, a pane, dirt, a room, a glass, two pieces: one edit for each thing, however many were
        // made.
        prop_assert!(edits.len() <= 8);
        let mut made = from.clone();
        for edit in edits {
            edit.apply(&mut made).unwrap();
        }
        prop_assert_eq!(&made, &to);
        prop_assert!(difference(&to, &to.clone()).is_empty());
    }
}

#[test]
fn a_difference_of_drawings_edits_single_lines_if_some_remain() {
    let from = two_pieces();
    let mut to = from.clone();
    to.windows[0].drawing.cutlines.clear();
    to.windows[0].pieces.truncate(1);
    let edits = difference(&from, &to);
    assert!(
        matches!(
            &edits[..],
            [Edit::SetLine { line: 1, to: None, .. }, Edit::SetPiece { piece: 2, to: None, .. }]
        ),
        "{edits:?}"
    );
    let mut other = to.clone();
    other.windows[0].pieces[0].id = 9;
    let edits = difference(&from, &other);
    assert!(matches!(&edits[..], [Edit::SetDrawing { pieces, .. }] if pieces.len() == 1), "{edits:?}");
}

#[test]
fn neither_a_variant_nor_the_scene_as_drawn_has_variants() {
    let scene = two_pieces();
    assert!(!scene.variants.is_empty());
    for name in [None, Some("pale")] {
        assert!(with_variant(&scene, name).unwrap().variants.is_empty());
    }
    assert!(with_variant(&scene, Some("nowhere")).is_err());
}

#[test]
fn a_changed_scene_removes_from_a_variant_only_what_no_longer_fits() {
    let mut scene = two_pieces();
    scene.glasses.insert("house".to_owned(), own_glass());
    let mut roomy = scene.room.clone();
    roomy.depth_m += 1.0;
    let edits = vec![
        makeup_edit(&scene, 1, "lilac"),
        makeup_edit(&scene, 2, "house"),
        Edit::SetRoom { room: roomy },
        Edit::SetNote { note: "kept".to_owned() },
    ];
    scene.variants = vec![
        Variant {
            name: "whole".to_owned(),
            note: String::new(),
            edits: vec![makeup_edit(&scene, 1, "lilac")],
        },
        Variant { name: "touched".to_owned(), note: "of it".to_owned(), edits: edits.clone() },
    ];
    assert!(fit_variants(&mut scene.clone()).is_empty());
    scene.glasses.clear();
    let left_out = fit_variants(&mut scene);
    assert_eq!(left_out.len(), 1);
    assert_eq!((left_out[0].variant.as_str(), &left_out[0].edit), ("touched", &edits[1]));
    assert_eq!(scene.variants[1].edits, [edits[0].clone(), edits[2].clone(), edits[3].clone()]);
    assert_eq!(scene.variants[1].note, "of it");
    for variant in &scene.variants {
        resolve(&scene, Some(&variant.name)).unwrap_or_else(|faults| panic!("{faults}"));
    }
}

// That a window of the variant no longer fits the room shows only when the variant is built.
#[test]
fn a_variant_that_can_no_longer_be_built_loses_the_edits_that_prevent_it() {
    let mut scene = two_pieces();
    let window = scene.windows[0].id.clone();
    let far = scene.room.width_m - 0.4;
    scene.variants = vec![Variant {
        name: "to the side".to_owned(),
        note: String::new(),
        edits: vec![
            Edit::MoveWindow { window, centre_x_m: far, sill_height_m: 1.0 },
            makeup_edit(&scene, 1, "lilac"),
        ],
    }];
    assert!(resolve(&scene, Some("to the side")).is_ok());
    scene.room.width_m -= 0.5;
    assert!(resolve(&scene, Some("to the side")).is_err());
    let left_out = fit_variants(&mut scene);
    assert!(matches!(&left_out[..], [scene::LeftOut { edit: Edit::MoveWindow { .. }, .. }]), "{left_out:?}");
    assert_eq!(scene.variants[0].edits.len(), 1);
    assert!(resolve(&scene, Some("to the side")).is_ok());
}
