//! A change to several pieces is one edit, and undoing it restores them.

use scene::{
    Change, Edit, Face, Layer, Makeup, Scene, change_pieces, layers, pieces_with_glass, read, replace_glass,
};
use serde_json::{Value, json};

fn two_pieces() -> Scene {
    read(include_str!("../two-pieces.json")).unwrap_or_else(|faults| panic!("{faults}"))
}

fn change(value: Value) -> Change {
    serde_json::from_value(value).unwrap()
}

fn made(scene: &mut Scene, pieces: &[u32], value: Value) -> Option<(Edit, Option<Layer>)> {
    let window = scene.windows[0].id.clone();
    let changed = change_pieces(scene, &window, pieces, &change(value)).unwrap()?;
    let before = scene.clone();
    let inverse = changed.edit.apply(scene).unwrap();
    assert_ne!(*scene, before);
    let mut back = scene.clone();
    inverse.clone().apply(&mut back).unwrap();
    assert_eq!(back, before, "one undo");
    assert_eq!(scene::check(scene), [], "still valid");
    Some((inverse, changed.layer))
}

fn makeup(scene: &Scene, piece: u32) -> &Makeup {
    &scene.windows[0].pieces.iter().find(|p| p.id == piece).unwrap().makeup
}

/// The layers of a piece in short: glass ids, `flash`, `gap`, paints by kind.
fn order(scene: &Scene, piece: u32) -> Vec<String> {
    let makeup = makeup(scene, piece);
    layers(scene, makeup)
        .iter()
        .map(|at| match at.layer {
            Layer::Protective | Layer::OuterAir | Layer::Deposit { .. } => {
                panic!("{at:?} is not a layer of a make-up")
            }
            Layer::Gap { .. } => "gap".to_owned(),
            Layer::Plate { .. } => makeup.plates[at.plate].glass.clone(),
            Layer::Flash { .. } => "flash".to_owned(),
            Layer::Paint { kind, .. } => format!("{kind:?}").to_lowercase(),
        })
        .collect()
}

fn only(scene: &mut Scene, value: Value) {
    let makeup: Makeup = serde_json::from_value(value).unwrap();
    scene.windows[0].pieces.iter_mut().find(|p| p.id == 1).unwrap().makeup = makeup;
}

#[test]
fn a_change_reaches_every_piece_and_is_one_edit() {
    let mut scene = two_pieces();
    let (inverse, layer) =
        made(&mut scene, &[1, 2], json!({ "change": "glass", "plate": 0, "glass": "emerald" })).unwrap();
    assert!(matches!(inverse, Edit::Together { ref edits } if edits.len() == 2));
    assert_eq!(layer, Some(Layer::Plate { plate: 0 }));
    assert!([1, 2].iter().all(|id| makeup(&scene, *id).plates[0].glass == "emerald"));
    // A change without effect gives no edit.
    assert!(
        made(&mut scene, &[1, 2], json!({ "change": "glass", "plate": 0, "glass": "emerald" })).is_none()
    );
    assert!(
        made(&mut scene, &[1], json!({ "change": "flash_left", "plate": 0, "flash_left": 0.5 })).is_none()
    );
    let missing =
        change_pieces(&scene, "west", &[1, 99], &change(json!({ "change": "gap", "gap": "contact" })));
    assert!(missing.is_err());
}

#[test]
fn plates_are_added_moved_and_removed_with_their_paint() {
    let mut scene = two_pieces();
    only(
        &mut scene,
        json!({ "plates": [{ "glass": "deep-cobalt", "thickness_mm": 3.0 }],
        "paint": [{ "kind": "matting", "density": 0.3 }] }),
    );
    let add = |side: &str, glass: &str| json!({ "change": "add_plate", "side": side, "glass": glass, "thickness_mm": 2.0 });
    made(&mut scene, &[1], add("outside", "amber")).unwrap();
    assert_eq!(order(&scene, 1), ["amber", "gap", "deep-cobalt", "matting"]);
    made(&mut scene, &[1], add("inside", "clear-soda")).unwrap();
    assert_eq!(order(&scene, 1), ["amber", "gap", "deep-cobalt", "matting", "gap", "clear-soda"]);
    assert!(made(&mut scene, &[1], add("inside", "clear-soda")).is_none(), "three plates at most");
    let (_, layer) = made(
        &mut scene,
        &[1],
        json!({ "change": "move", "layer": { "layer": "plate", "plate": 1 }, "toward": "outside" }),
    )
    .unwrap();
    assert_eq!(layer, Some(Layer::Plate { plate: 2 }));
    assert_eq!(order(&scene, 1), ["deep-cobalt", "matting", "gap", "amber", "gap", "clear-soda"]);
    made(
        &mut scene,
        &[1],
        json!({ "change": "move", "layer": { "layer": "plate", "plate": 2 }, "toward": "inside",
                "past": { "layer": "plate", "plate": 0 } }),
    )
    .unwrap();
    assert_eq!(order(&scene, 1), ["amber", "gap", "clear-soda", "gap", "deep-cobalt", "matting"]);
    made(&mut scene, &[1], json!({ "change": "remove_plate", "plate": 1 })).unwrap();
    made(&mut scene, &[1], json!({ "change": "remove_plate", "plate": 0 })).unwrap();
    assert_eq!(order(&scene, 1), ["amber"]);
    assert!(
        made(&mut scene, &[1], json!({ "change": "remove_plate", "plate": 0 })).is_none(),
        "the last plate stays"
    );
}

#[test]
fn paint_moves_in_firing_order_and_across_the_glass() {
    let mut scene = two_pieces();
    only(&mut scene, json!({ "plates": [{ "glass": "flashed-ruby", "thickness_mm": 3.0 }] }));
    for kind in [json!("trace"), json!("matting"), json!({ "stain": "gold" })] {
        made(&mut scene, &[1], json!({ "change": "add_paint", "kind": kind })).unwrap();
    }
    assert_eq!(order(&scene, 1), ["stain", "flashed-ruby", "flash", "trace", "matting"]);
    let firings = |scene: &Scene| makeup(scene, 1).paint.iter().map(|p| p.firing).collect::<Vec<_>>();
    assert_eq!(firings(&scene), [1, 2, 3]);
    let trace = json!({ "layer": "paint", "plate": 0, "face": "inside", "kind": "trace", "nth": 0 });
    made(&mut scene, &[1], json!({ "change": "move", "layer": trace, "toward": "inside" })).unwrap();
    assert_eq!(order(&scene, 1), ["stain", "flashed-ruby", "flash", "matting", "trace"]);
    assert_eq!(firings(&scene), [2, 1, 3]);
    // Across the glass: past the flash and the glass to the outside face, where its firing sets its place.
    let (_, layer) = made(
        &mut scene,
        &[1],
        json!({ "change": "move", "layer": trace, "toward": "outside", "past": { "layer": "plate", "plate": 0 } }),
    )
    .unwrap();
    assert!(matches!(layer, Some(Layer::Paint { face: Face::Outside, .. })));
    assert_eq!(order(&scene, 1), ["stain", "trace", "flashed-ruby", "flash", "matting"]);
    // Stain does not go inside.
    let stain = json!({ "layer": "paint", "plate": 0, "face": "outside", "kind": "stain", "nth": 0 });
    made(&mut scene, &[1], json!({ "change": "move", "layer": stain, "toward": "inside" })).unwrap();
    assert_eq!(order(&scene, 1), ["trace", "stain", "flashed-ruby", "flash", "matting"]);
    assert!(
        made(&mut scene, &[1], json!({ "change": "move", "layer": stain, "toward": "inside" })).is_none()
    );
    let set = json!({ "change": "paint", "paint": stain, "kind": { "stain": "amber" }, "density": 1.5, "coverage": 0.4 });
    made(&mut scene, &[1], set).unwrap();
    // No trace is left on the inside face.
    assert!(made(&mut scene, &[1], json!({ "change": "remove_paint", "paint": trace })).is_none());
    assert_eq!(makeup(&scene, 1).paint.len(), 3);
    made(&mut scene, &[1], json!({ "change": "remove_paint", "paint": stain })).unwrap();
    assert_eq!(order(&scene, 1), ["trace", "flashed-ruby", "flash", "matting"]);
}

#[test]
fn replacing_a_glass_everywhere_is_one_edit_and_etching_stays_only_on_flashed_glass() {
    let mut scene = two_pieces();
    only(
        &mut scene,
        json!({ "plates": [
        { "glass": "flashed-ruby", "thickness_mm": 3.0, "flash_left": 0.4, "flash_face": "outside" },
        { "glass": "clear-soda", "thickness_mm": 2.0 } ] }),
    );
    assert_eq!(pieces_with_glass(&scene, "flashed-ruby", None).unwrap(), 1);
    assert_eq!(pieces_with_glass(&scene, "emerald", Some("west")).unwrap(), 0);
    assert!(pieces_with_glass(&scene, "emerald", Some("nowhere")).is_err());
    let replaced = replace_glass(&scene, "flashed-ruby", "flashed-blue", None).unwrap().unwrap();
    assert_eq!(replaced.pieces, 1);
    replaced.edit.apply(&mut scene).unwrap();
    let plate = &makeup(&scene, 1).plates[0];
    assert_eq!((plate.glass.as_str(), plate.flash_face), ("flashed-blue", Face::Outside));
    assert!((plate.flash_left - 0.4).abs() < 1e-12);
    replace_glass(&scene, "flashed-blue", "emerald", Some("west"))
        .unwrap()
        .unwrap()
        .edit
        .apply(&mut scene)
        .unwrap();
    let plate = &makeup(&scene, 1).plates[0];
    assert_eq!((plate.glass.as_str(), plate.flash_face), ("emerald", Face::Inside));
    assert!((plate.flash_left - 1.0).abs() < 1e-12);
    assert!(replace_glass(&scene, "flashed-ruby", "emerald", None).unwrap().is_none());
}

/// Two lines across the lower piece of the two.
fn drawn() -> Value {
    json!({ "kind": "trace", "density": 2.0, "strokes": [
        { "path": "M100 100L500 120", "width_mm": 2.0 }, { "path": "M100 200L500 220", "width_mm": 2.0 } ] })
}

fn strokes(scene: &Scene, piece: u32) -> Vec<usize> {
    makeup(scene, piece).paint.iter().map(|paint| paint.strokes.len()).collect()
}

/// Copies a make-up to the lower piece, which carries `own`.
fn copied_onto(own: Value, copied: Value, drawn_share: Value) -> (Scene, scene::Changed) {
    let mut scene = two_pieces();
    scene.windows[0].pieces.iter_mut().find(|p| p.id == 2).unwrap().makeup =
        serde_json::from_value(own).unwrap();
    let value = json!({ "change": "makeup", "makeup": copied, "drawn_share": drawn_share });
    let changed = change_pieces(&scene, "west", &[2], &change(value)).unwrap().unwrap();
    changed.edit.clone().apply(&mut scene).unwrap();
    assert_eq!(scene::check(&scene), [], "still valid");
    (scene, changed)
}

#[test]
fn a_copied_makeup_keeps_what_is_drawn_on_the_piece() {
    let plate = |glass: &str| json!([{ "glass": glass, "thickness_mm": 3.0 }]);
    let own = json!({ "plates": plate("amber"), "paint": [drawn()] });
    let paint = json!([
        { "kind": "matting", "density": 0.4, "firing": 2 },
        { "kind": "trace", "density": 2.6, "pigment": "black",
          "strokes": [{ "path": "M100 700L500 720", "width_mm": 3.0 }] }
    ]);
    let copied = json!({ "plates": plate("lilac"), "paint": paint });
    let (scene, changed) = copied_onto(own, copied, json!([null, 0.02]));
    let now = makeup(&scene, 2);
    assert_eq!(now.plates[0].glass, "lilac");
    assert_eq!(strokes(&scene, 2), [0, 2]);
    assert!((now.paint[1].density - 2.6).abs() < 1e-12 && now.paint[1].coverage.is_none());
    assert_eq!(now.paint[1].strokes[0].path, "M100 100L500 120");
    assert_eq!((changed.strokes_kept, changed.strokes_left_out), (1, 0));
}

#[test]
fn copied_strokes_become_an_even_layer_of_the_same_share() {
    let plates = json!([{ "glass": "lilac", "thickness_mm": 3.0 }]);
    let copied = json!({ "plates": plates, "paint": [drawn()] });
    let own = json!({ "plates": plates });
    let (scene, changed) = copied_onto(own.clone(), copied.clone(), json!([0.013]));
    let paint = &makeup(&scene, 2).paint[0];
    assert_eq!((paint.strokes.len(), paint.coverage), (0, Some(0.013)));
    assert_eq!((changed.strokes_kept, changed.strokes_left_out), (0, 1));
    // A share that is not given is the usual one.
    let (scene, _) = copied_onto(own, copied, json!([]));
    assert_eq!(makeup(&scene, 2).paint[0].coverage, Some(0.1));
}

#[test]
fn what_is_drawn_on_a_piece_stays_even_if_the_copied_makeup_has_no_layer_for_it() {
    let two = json!([{ "glass": "amber", "thickness_mm": 3.0 }, { "glass": "lilac", "thickness_mm": 2.0 }]);
    let mut lines = drawn();
    lines["plate"] = json!(1);
    let own = json!({ "plates": two, "paint": [lines] });
    let copied = json!({ "plates": [{ "glass": "emerald", "thickness_mm": 3.0 }],
        "paint": [{ "kind": "matting", "density": 0.4 }] });
    let (scene, changed) = copied_onto(own, copied, json!([null]));
    assert_eq!(strokes(&scene, 2), [0, 2]);
    assert_eq!(makeup(&scene, 2).paint[1].plate, 0);
    assert_eq!((changed.strokes_kept, changed.strokes_left_out), (1, 0));
}

// Of two drawn layers, each goes to the copied layer of its own face.
#[test]
fn strokes_stay_on_their_face_where_the_copied_makeup_has_a_layer_there() {
    let mut outside = drawn();
    outside["face"] = json!("outside");
    outside["strokes"].as_array_mut().unwrap().pop();
    let plates = json!([{ "glass": "amber", "thickness_mm": 3.0 }]);
    let own = json!({ "plates": plates, "paint": [outside, drawn()] });
    let even = |face: &str| json!({ "kind": "trace", "face": face, "density": 1.0, "coverage": 0.2 });
    let copied = json!({ "plates": plates, "paint": [even("inside"), even("outside")] });
    let (scene, _) = copied_onto(own, copied, json!([null, null]));
    assert_eq!(strokes(&scene, 2), [2, 1]);
}

#[test]
fn strokes_that_miss_the_piece_cover_nothing_and_not_minus_nothing() {
    let mut scene = two_pieces();
    only(&mut scene, json!({ "plates": [{ "glass": "amber", "thickness_mm": 3.0 }], "paint": [drawn()] }));
    let resolved = scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults}"));
    let piece = &resolved.windows[0].pieces[0];
    let share = piece.makeup.paints[0].coverage;
    assert!(share == 0.0 && share.is_sign_positive(), "{share:?}");
}
