//! Edits of lines are small and undone exactly; every piece that is still recognisable keeps its number and
//! its glass.

use plane::PanelPoint;
use proptest::prelude::{Strategy, any, prop_assert, prop_assert_eq, prop_oneof, proptest};
use scene::{Edit, Line, PieceEntry, PieceNote, Resolved, Scene, read, resolve};
use serde_json::json;

/// A window of `columns` × `rows` panes. Lines are numbered from 1, vertical ones first. Panes are numbered
/// row by row from the top; neighbours differ in glass.
fn panes(columns: u32, rows: u32) -> Scene {
    let (w, h) = (600.0, 900.0);
    let (dx, dy) = (w / f64::from(columns), h / f64::from(rows));
    let mut lines = Vec::new();
    for i in 1..columns {
        let x = dx * f64::from(i);
        lines.push(json!({ "id": lines.len() + 1, "path": format!("M{x} 0L{x} {h}"), "width_mm": 5 }));
    }
    for i in 1..rows {
        let y = dy * f64::from(i);
        lines.push(json!({ "id": lines.len() + 1, "path": format!("M0 {y}L{w} {y}"), "width_mm": 5 }));
    }
    let glasses = ["amber", "lilac", "emerald", "deep-cobalt", "clear-soda"];
    let mut pieces = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let at = [dx * (f64::from(column) + 0.5), h - dy * (f64::from(row) + 0.5)];
            let glass = glasses[((row * 2 + column) % 5) as usize];
            pieces.push(json!({ "id": pieces.len() + 1, "at_mm": at,
                                "makeup": { "plates": [{ "glass": glass, "thickness_mm": 3.0 }] } }));
        }
    }
    let grey = json!({ "grey": 0.5 });
    let scene = json!({
        "clerestory": 2, "name": "Panes", "at": "2026-11-25T15:00", "sky": { "kind": "clear" },
        "site": { "latitude_deg": 52.0, "longitude_deg": 1.5, "time_zone": "Europe/London" },
        "ground": grey,
        "room": { "width_m": 4.0, "height_m": 4.0, "depth_m": 8.0, "facing_deg": 270.0, "surfaces": {
            "window_wall": grey, "back_wall": grey, "left_wall": grey, "right_wall": grey, "floor": grey,
            "ceiling": grey } },
        "windows": [{ "id": "west", "centre_x_m": 2.0, "sill_height_m": 1.2,
            "drawing": { "sight_size": { "path": format!("M0 0L{w} 0L{w} {h}L0 {h}Z"), "width_mm": 12 },
                         "cutlines": lines },
            "pieces": pieces }],
        "places": [{ "name": "bench", "distance_m": 4.5, "eye_height_m": 1.2 }],
    });
    read(&scene.to_string()).unwrap_or_else(|faults| panic!("{faults}"))
}

fn set_line(line: u32, path: Option<&str>) -> Edit {
    let to = path.map(|path| Line { path: path.to_owned(), width_mm: 5.0 });
    Edit::SetLine { window: "west".to_owned(), line, to, at: None }
}

fn glass_of(resolved: &Resolved, piece: u32) -> String {
    let window = &resolved.scene.windows[0];
    window.pieces.iter().find(|p| p.id == piece).unwrap().makeup.plates[0].glass.clone()
}

/// Asserts that the updated scene equals one rebuilt from scratch.
fn assert_equals_rebuilt(resolved: &Resolved) {
    let anew = resolve(&resolved.scene, None).unwrap_or_else(|faults| panic!("{faults}"));
    for (kept, anew) in resolved.windows.iter().zip(&anew.windows) {
        assert_eq!(*kept.panel, *anew.panel);
        assert_eq!((kept.placement, &kept.bar_sides), (anew.placement, &anew.bar_sides));
        assert_eq!(kept.pieces.len(), anew.pieces.len());
        for (a, b) in kept.pieces.iter().zip(&anew.pieces) {
            assert_eq!((a.id, a.entry, a.sheet), (b.id, b.entry, b.sheet));
            assert!(a.makeup == b.makeup && a.brushwork == b.brushwork, "piece {}", a.id);
        }
    }
}

#[test]
fn moving_a_line_keeps_every_piece() {
    let mut resolved = resolve(&panes(3, 3), None).unwrap();
    // The points of the left column lie at x = 100, which is on the other side of the line once it is at 90.
    let applied = resolved.apply(set_line(1, Some("M90 0L90 900"))).unwrap();
    assert_eq!(applied.notes, []);
    assert_equals_rebuilt(&resolved);
    let before = panes(3, 3);
    for piece in &before.windows[0].pieces {
        assert_eq!(glass_of(&resolved, piece.id), piece.makeup.plates[0].glass);
    }
    let text = |edit: &Edit| serde_json::to_string(edit).unwrap();
    assert!(text(&applied.made).len() + text(&applied.inverse).len() < 1500, "{}", text(&applied.made));
    resolved.apply(applied.inverse).unwrap();
    assert_eq!(resolved.scene, before);
    assert_equals_rebuilt(&resolved);
}

#[test]
fn a_new_line_splits_a_piece_with_a_notice() {
    let mut resolved = resolve(&panes(2, 2), None).unwrap();
    let applied = resolved.apply(set_line(9, Some("M200 0L200 450"))).unwrap();
    assert_eq!(applied.notes, [PieceNote::New { piece: 5, like: Some(3) }]);
    assert_eq!(applied.notes[0].to_string(), "Piece 5 is new, with the make-up of piece 3.");
    assert_eq!(glass_of(&resolved, 5), glass_of(&resolved, 3));
    assert_equals_rebuilt(&resolved);
    // The larger part keeps the old piece's number.
    let window = &resolved.windows[0];
    let area =
        |id| window.pieces.iter().zip(&window.panel.pieces).find(|(p, _)| p.id == id).unwrap().1.area_mm2;
    assert!(area(3) > area(5));
    resolved.apply(applied.inverse).unwrap();
    assert_eq!(resolved.scene, panes(2, 2));
}

#[test]
fn a_removed_line_joins_pieces_with_a_notice() {
    let mut resolved = resolve(&panes(1, 3), None).unwrap();
    // The upper line moves up first, so that the piece under it is the larger one.
    resolved.apply(set_line(2, Some("M0 700L600 700"))).unwrap();
    let applied = resolved.apply(set_line(2, None)).unwrap();
    assert_eq!(applied.notes, [PieceNote::Gone { piece: 1, into: Some(2) }]);
    assert_eq!(resolved.scene.windows[0].pieces.len(), 2);
    assert_equals_rebuilt(&resolved);
    resolved.apply(applied.inverse).unwrap();
    assert_eq!(glass_of(&resolved, 1), "amber");
    assert_equals_rebuilt(&resolved);
}

#[test]
fn a_larger_opening_keeps_its_pieces() {
    let mut resolved = resolve(&panes(2, 1), None).unwrap();
    let sight_size = Line { path: "M0 0L600 0L600 1000L0 1000Z".to_owned(), width_mm: 12.0 };
    let longer = set_line(1, Some("M300 0L300 1000"));
    let edits = vec![Edit::SetSightSize { window: "west".to_owned(), sight_size }, longer];
    let applied = resolved.apply(Edit::Together { edits }).unwrap();
    assert_eq!(applied.notes, []);
    assert!(applied.changes.windows["west"].sight_size && !applied.changes.windows["west"].drawing);
    assert_equals_rebuilt(&resolved);
    resolved.apply(applied.inverse).unwrap();
    assert_eq!(resolved.scene, panes(2, 1));
}

#[test]
fn entries_given_in_the_edit_are_used_unchanged() {
    let mut resolved = resolve(&panes(1, 1), None).unwrap();
    let mut makeup = resolved.scene.windows[0].pieces[0].makeup.clone();
    makeup.plates[0].glass = "lilac".to_owned();
    let entry = PieceEntry { at_mm: PanelPoint::new(450.0, 450.0), makeup };
    let piece = Edit::SetPiece { window: "west".to_owned(), piece: 40, to: Some(entry), at: None };
    let point = Edit::MovePiece { window: "west".to_owned(), piece: 1, at_mm: PanelPoint::new(150.0, 450.0) };
    let edits = vec![set_line(1, Some("M300 0L300 900")), piece, point];
    let applied = resolved.apply(Edit::Together { edits: edits.clone() }).unwrap();
    assert_eq!((applied.made, applied.notes), (Edit::Together { edits }, Vec::new()));
    assert_eq!(glass_of(&resolved, 40), "lilac");
    assert_equals_rebuilt(&resolved);
}

#[test]
fn an_edit_that_forms_no_panel_changes_nothing() {
    let mut resolved = resolve(&panes(2, 2), None).unwrap();
    let missing = resolved.apply(set_line(77, None)).unwrap_err().to_string();
    assert!(missing.contains("no line 77"), "{missing}");
    let path = resolved.apply(set_line(1, Some("M0 0L"))).unwrap_err().to_string();
    assert!(path.contains("windows[0].drawing"), "{path}");
    let sight_size = Line { path: "M0 0L9000 0L9000 900L0 900Z".to_owned(), width_mm: 12.0 };
    let large = resolved.apply(Edit::SetSightSize { window: "west".to_owned(), sight_size }).unwrap_err();
    assert!(large.to_string().contains("centre_x_m"), "{large}");
    assert_eq!(resolved.scene, panes(2, 2));
    assert_equals_rebuilt(&resolved);
}

/// Edits that move, bend, add and remove lines 1–7 and a few more of a window of 4 × 5 panes.
fn some_edit() -> impl Strategy<Value = Edit> {
    let at = || (0u32..=60, 0u32..=90);
    let path = prop_oneof![
        (at(), at()).prop_map(|(a, b)| { format!("M{} {}L{} {}", 10 * a.0, 10 * a.1, 10 * b.0, 10 * b.1) }),
        (1u32..60, any::<bool>()).prop_map(|(v, upright)| {
            if upright { format!("M{0} 0L{0} 900", 10 * v) } else { format!("M0 {0}L600 {0}", 15 * v) }
        }),
        (at(), at(), at()).prop_map(|(a, b, c)| {
            format!("M{} {}Q{} {} {} {}", 10 * a.0, 10 * a.1, 10 * b.0, 10 * b.1, 10 * c.0, 10 * c.1)
        }),
    ];
    let glass = proptest::sample::select(vec!["amber", "lilac", "opal-sky"]);
    prop_oneof![
        4 => (1u32..=10, path).prop_map(|(line, path)| set_line(line, Some(&path))),
        1 => (1u32..=10).prop_map(|line| set_line(line, None)),
        1 => (1u32..=24, glass).prop_map(|(piece, glass)| {
            let makeup = json!({ "plates": [{ "glass": glass, "thickness_mm": 3.0 }] });
            let makeup = serde_json::from_value(makeup).unwrap();
            Edit::SetMakeup { window: "west".to_owned(), piece, makeup }
        }),
    ]
}

proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(40))]

    #[test]
    fn inverse_edits_restore_the_scene_and_every_state_equals_a_rebuilt_one(
        edits in proptest::collection::vec(some_edit(), 1..10)
    ) {
        let first = panes(4, 5);
        let mut resolved = resolve(&first, None).unwrap();
        let mut copy = resolve(&first, None).unwrap();
        let mut made = Vec::new();
        for edit in edits {
            let before = resolved.scene.clone();
            // A missing line or piece, or lines that form no panel: refused, and nothing has changed.
            match resolved.apply(edit) {
                Ok(applied) => {
                    assert_equals_rebuilt(&resolved);
                    let again = copy.apply(applied.made.clone()).unwrap();
                    prop_assert_eq!(&copy.scene, &resolved.scene);
                    prop_assert_eq!(&again.notes, &Vec::new());
                    made.push((before, applied.inverse));
                }
                Err(_) => prop_assert_eq!(&before, &resolved.scene),
            }
        }
        for (before, inverse) in made.into_iter().rev() {
            let back = resolved.apply(inverse).unwrap();
            prop_assert_eq!(&resolved.scene, &before);
            prop_assert!(back.notes.is_empty());
            assert_equals_rebuilt(&resolved);
        }
        prop_assert_eq!(&resolved.scene, &first);
    }
}
