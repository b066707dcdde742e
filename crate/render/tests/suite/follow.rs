//! A window that follows edits equals one built from scratch.

use crate::grid::{Grid, same_parts};
use proptest::prelude::*;
use render::{SameParts, SceneWindow, WindowMesh, eye_before};
use scene::Resolved;
use serde_json::{Value, json};

const COLUMNS: usize = 4;
const ROWS: usize = 5;

/// An edit of the grid.
#[derive(Clone, Debug)]
enum Edit {
    Move { column: usize, row: usize, by: [f64; 2] },
    Split { cell: usize },
    Widen { line: usize, to_mm: f64 },
    Bar(Option<(f64, bool)>),
    Fade { cell: usize },
    Strokes,
    Resize { by: [f64; 2] },
    Wall(Value),
}

/// No wall, either reveal, and both.
fn walls() -> [Value; 4] {
    let (outer, inner) =
        (json!({ "depth_m": 0.2 }), json!({ "depth_m": 0.3, "splay_deg": { "jamb": 20.0 } }));
    [
        Value::Null,
        json!({ "outer": outer }),
        json!({ "inner": inner }),
        json!({ "outer": outer, "inner": inner }),
    ]
}

fn edits() -> impl Strategy<Value = Vec<Edit>> {
    let cell = 0..COLUMNS * ROWS;
    let edit = prop_oneof![
        4 => (1..COLUMNS, 1..ROWS, -8.0..8.0, -8.0..8.0)
            .prop_map(|(column, row, x, y)| Edit::Move { column, row, by: [x, y] }),
        3 => cell.clone().prop_map(|cell| Edit::Split { cell }),
        1 => (1..COLUMNS, 4.0..9.0).prop_map(|(line, to_mm)| Edit::Widen { line, to_mm }),
        1 => proptest::option::of((40.0..250.0, any::<bool>())).prop_map(Edit::Bar),
        2 => cell.prop_map(|cell| Edit::Fade { cell }),
        1 => Just(Edit::Strokes),
        2 => [-9.0..9.0, -9.0..9.0].prop_map(|by| Edit::Resize { by }),
        1 => prop::sample::select(walls().to_vec()).prop_map(Edit::Wall),
    ];
    prop::collection::vec(edit, 1..5)
}

fn apply(edit: &Edit, grid: &mut Grid) {
    match edit.clone() {
        Edit::Move { column, row, by } => {
            let node = grid.node_mut(column, row);
            *node = [node[0] + by[0], node[1] + by[1]];
        }
        Edit::Split { cell } => grid.split[cell] = !grid.split[cell],
        Edit::Widen { line, to_mm } => grid.widths_mm[line] = to_mm,
        Edit::Bar(bar) => grid.bar = bar,
        Edit::Fade { cell } => grid.fades[cell] = !grid.fades[cell],
        Edit::Strokes => grid.strokes = !grid.strokes,
        Edit::Resize { by } => grid.resize(by),
        Edit::Wall(wall) => grid.wall = wall,
    }
}

fn window(scene: &Resolved) -> SceneWindow {
    SceneWindow::new(scene, 0, scene.eye_m(None).unwrap()).unwrap()
}

fn assert_equal(kept: &SceneWindow, anew: &SceneWindow, what: &str) {
    assert!(kept.model == anew.model, "{what}: the shapes differ");
    assert!(kept.mesh == anew.mesh, "{what}: the triangles differ");
    assert!(kept.mesh == WindowMesh::new(&kept.model), "{what}: the triangles are not those of the shapes");
    assert!(kept.optics == anew.optics, "{what}: the optics differ");
}

/// Lets a window of `before` follow to `now`.
fn follow(kept: &mut SceneWindow, before: &Resolved, now: &Resolved) {
    let (pieces, leads) = same_parts(&before.windows[0], &now.windows[0]);
    kept.follow(&now.windows[0], &SameParts { pieces: &pieces, leads: &leads });
}

/// Moves its eye to where that of a new window is.
fn look(kept: &mut SceneWindow, now: &Resolved) {
    kept.set_eye(eye_before(now, &now.windows[0], now.eye_m(None).unwrap()));
}

fn assert_same_light(kept: &SceneWindow, anew: &SceneWindow, scene: &Resolved, what: &str) {
    let outside = scene.outside(scene.instant("2026-06-21T15:00").unwrap().utc).unwrap();
    assert!(kept.tables(&outside, None) == anew.tables(&outside, None), "{what}: the light differs");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn a_window_that_follows_edits_equals_a_rebuilt_one(wall in 0..4_usize, edits in edits()) {
        let mut grid = Grid::new(COLUMNS, ROWS);
        grid.wall = walls()[wall].clone();
        let mut before = grid.resolved();
        let mut kept = window(&before);
        for edit in &edits {
            apply(edit, &mut grid);
            let now = grid.resolved();
            follow(&mut kept, &before, &now);
            look(&mut kept, &now);
            let (anew, what) = (window(&now), format!("{edit:?}"));
            assert_equal(&kept, &anew, &what);
            assert_same_light(&kept, &anew, &now, &what);
            before = now;
        }
    }
}

#[test]
fn a_sight_size_that_changes_in_a_wall_equals_a_rebuilt_window_in_any_order() {
    for wall in walls() {
        let mut grid = Grid::new(COLUMNS, ROWS);
        grid.wall = wall;
        let before = grid.resolved();
        let kept = window(&before);
        assert_same_light(&kept, &kept.clone(), &before, "before");
        grid.resize([8.0, 15.0]);
        let now = grid.resolved();
        let anew = window(&now);
        type Step = fn(&mut SceneWindow, &Resolved, &Resolved);
        let wall: Step = |kept, _, now| _ = kept.set_wall(&now.windows[0]);
        let eye: Step = |kept, _, now| look(kept, now);
        for (what, steps) in [
            ("all at once", vec![follow as Step, eye]),
            ("the eye first", vec![eye, follow]),
            ("the wall first", vec![wall, follow, eye]),
            ("the wall and the eye first", vec![wall, eye, follow]),
        ] {
            let mut kept = kept.clone();
            steps.into_iter().for_each(|step| step(&mut kept, &before, &now));
            let what = format!("{what}, {}", grid.wall);
            assert_equal(&kept, &anew, &what);
            assert_same_light(&kept, &anew, &now, &what);
        }
    }
}

#[test]
fn one_moved_point_leaves_most_of_a_window_alone() {
    let mut grid = Grid::new(COLUMNS, ROWS);
    let before = grid.resolved();
    apply(&Edit::Move { column: 2, row: 2, by: [5.0, 3.0] }, &mut grid);
    let now = grid.resolved();
    let (pieces, leads) = same_parts(&before.windows[0], &now.windows[0]);
    assert_eq!(pieces.iter().filter(|kept| kept.is_none()).count(), 4);
    assert_eq!(leads.iter().filter(|kept| kept.is_none()).count(), 4);
}

#[test]
fn an_impossible_mapping_is_ignored() {
    let mut grid = Grid::new(COLUMNS, ROWS);
    let before = grid.resolved();
    grid.split[7] = true;
    let now = grid.resolved();
    let anew = window(&now);
    // An empty mapping, a short one, indices beyond the last.
    for (pieces, leads) in
        [(vec![], vec![]), (vec![None; 3], vec![None]), (vec![Some(9_999); 40], vec![Some(9_999); 90])]
    {
        let mut kept = window(&before);
        kept.follow(&now.windows[0], &SameParts { pieces: &pieces, leads: &leads });
        assert_equal(&kept, &anew, "no mapping");
    }
    // One old piece for all of them: used once, and no panic.
    let mut kept = window(&before);
    kept.follow(&now.windows[0], &SameParts { pieces: &[Some(0); 40], leads: &[Some(0); 90] });
    assert_eq!(kept.model.pieces.len(), anew.model.pieces.len());
}

#[test]
fn a_changed_piece_after_an_edit_of_the_drawing_equals_a_rebuilt_window() {
    let mut grid = Grid::new(COLUMNS, ROWS);
    let before = grid.resolved();
    let mut kept = window(&before);
    apply(&Edit::Split { cell: 3 }, &mut grid);
    let now = grid.resolved();
    let (pieces, leads) = same_parts(&before.windows[0], &now.windows[0]);
    kept.follow(&now.windows[0], &SameParts { pieces: &pieces, leads: &leads });
    apply(&Edit::Fade { cell: 10 }, &mut grid);
    let faded = grid.resolved();
    let index = faded.windows[0].pieces.iter().position(|piece| piece.id == 11).unwrap();
    assert!(kept.set_piece(&faded.windows[0], index));
    assert_equal(&kept, &window(&faded), "faded");
}
