//! Pieces that belong together, in a demo scene.

use crate::scenes::resolve;
use crate::walls::{slit, with_wall};
use plane::{PagePoint, RoomPoint};
use reveal::{Opening, Patches, Way};
use scene::Resolved;
use serde_json::json;
use spectra::illuminant;
use viewing::{SIMILAR_DELTA_E, Similarity, SwatchLight, piece_seen_at, pieces_inside, similar_pieces};

fn estuary() -> Resolved {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-scenes/estuary-lancet.json");
    let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{path}: {e}"));
    let scene = scene::read(&text).unwrap_or_else(|faults| panic!("{faults:?}"));
    scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[test]
fn pieces_of_one_glass_share_their_inner_plate() {
    let resolved = estuary();
    let window = &resolved.windows[0];
    let light = SwatchLight::of(illuminant::d65());
    let glass = |p: &scene::ResolvedPiece| p.makeup.plates.last().map(|plate| plate.glass.id.clone());
    let found = similar_pieces(window, &light, window.pieces[0].id, Similarity::Glass);
    let wanted: Vec<u32> =
        window.pieces.iter().filter(|p| glass(p) == glass(&window.pieces[0])).map(|p| p.id).collect();
    assert_eq!(found, wanted);
    assert!(found.len() > 1 && found.len() < window.pieces.len());
}

#[test]
fn a_wider_difference_includes_all_pieces_of_a_narrower_one() {
    let resolved = estuary();
    let window = &resolved.windows[0];
    let light = SwatchLight::of(illuminant::d65());
    let id = window.pieces[0].id;
    let by_colour = |delta_e| similar_pieces(window, &light, id, Similarity::Colour { delta_e });
    let [exact, near, wide, all] = [0.0, SIMILAR_DELTA_E, 30.0, 1e3].map(by_colour);
    assert!(exact.contains(&id));
    assert!(exact.iter().all(|id| near.contains(id)) && near.iter().all(|id| wide.contains(id)));
    assert!(near.len() < wide.len() && all.len() == window.pieces.len());
}

#[test]
fn an_unknown_piece_is_similar_to_none() {
    let resolved = estuary();
    let light = SwatchLight::of(illuminant::d65());
    assert!(similar_pieces(&resolved.windows[0], &light, 4_000_000, Similarity::Glass).is_empty());
}

#[test]
fn an_outline_contains_the_pieces_whose_middle_is_inside() {
    let resolved = estuary();
    let window = &resolved.windows[0];
    let (width, height) = (window.panel.width_mm, window.panel.height_mm);
    let around = [[-1.0, -1.0], [width + 1.0, -1.0], [width + 1.0, height + 1.0], [-1.0, height + 1.0]];
    assert_eq!(pieces_inside(window, PagePoint::slice(&around)).len(), window.pieces.len());
    // From the top: the upper half contains the pieces whose middle lies above half the height.
    let upper = [[-1.0, -1.0], [width + 1.0, -1.0], [width + 1.0, height / 2.0], [-1.0, height / 2.0]];
    let wanted: Vec<u32> = window
        .panel
        .pieces
        .iter()
        .zip(&window.pieces)
        .filter(|(shape, _)| shape.interior_point[1] > height / 2.0)
        .map(|(_, piece)| piece.id)
        .collect();
    assert_eq!(pieces_inside(window, PagePoint::slice(&upper)), wanted);
}

#[test]
fn a_small_outline_selects_the_piece_beneath_it() {
    let resolved = estuary();
    let window = &resolved.windows[0];
    let [x, y] = window.panel.pieces[5].interior_point.to_array();
    let top = window.panel.height_mm - y;
    let beside = [[x + 0.1, top], [x + 0.2, top], [x + 0.2, top + 0.1]];
    assert_eq!(pieces_inside(window, PagePoint::slice(&beside)), [window.pieces[5].id]);
    assert!(pieces_inside(window, &[]).is_empty());
    let nowhere = [[f64::NAN, 0.0], [1.0, 0.0], [1.0, 1.0]];
    assert!(pieces_inside(window, PagePoint::slice(&nowhere)).is_empty());
}

// Against rays from each point of the glass to the eye.
#[test]
fn a_piece_behind_the_reveal_is_not_found_at_its_place() {
    let wall =
        json!({ "inner": { "depth_m": 0.4, "splay_deg": { "jamb": 10.0, "head": 0.0, "sill": 0.0 } } });
    let mut scene = with_wall(&slit(), wall);
    scene["places"] = json!([
        { "name": "before", "distance_m": 3.0, "right_m": 0.0, "eye_height_m": 1.6 },
        { "name": "aside", "distance_m": 1.4, "right_m": 1.2, "eye_height_m": 2.9 },
    ]);
    let resolved = resolve(&scene);
    let window = &resolved.windows[0];
    let built = window.wall.as_ref().unwrap();
    let opening = Opening::new(built.outline.clone(), &built.depths, Patches::Few).unwrap();
    let mut found = [0, 0];
    for (x, y) in (5..400).step_by(10).flat_map(|x| (5..1600).step_by(20).map(move |y| (x, y))) {
        let at = PagePoint::new(f64::from(x), f64::from(y));
        let on_panel = window.panel.on_page().panel_from_page(at);
        let piece = window.panel.piece_at(on_panel).map(|index| window.pieces[index].id);
        assert_eq!(piece_seen_at(&resolved, window, at, Some("nowhere")), None);
        for (place, found) in ["before", "aside"].iter().zip(&mut found) {
            let eye = resolved.eye_m(Some(place)).unwrap();
            let from = window.placement.wall_from_panel(on_panel);
            let toward = eye - RoomPoint::new(from.x(), from.y(), 0.0);
            let open = opening.inward(from, toward.unit()) == Way::Open;
            let seen = piece_seen_at(&resolved, window, at, Some(place));
            assert_eq!(seen, piece.filter(|_| open), "{x}, {y} from {place}");
            *found += usize::from(seen.is_some());
        }
    }
    let [before, aside] = found;
    assert!(aside > 100 && aside < before / 2, "{aside} of {before}");
}
