//! The cost of an edit to the picture's geometry, compared with building the window from scratch.

#![allow(missing_docs, reason = "criterion's macros make public items")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use render::{SameParts, SceneWindow, WindowMesh};
use serde_json::{Value, json};

#[path = "../tests/suite/grid.rs"]
mod grid;

use grid::{Grid, same_parts};

/// One point moved and moved back, in windows of about 165, 1,200 and 5,000 pieces.
fn moved_point(c: &mut Criterion) {
    for (columns, rows) in [(11, 15), (30, 40), (50, 100)] {
        let mut grid = Grid::new(columns, rows);
        let before = grid.resolved();
        let node = grid.node_mut(columns / 2, rows / 2);
        *node = [node[0] + 7.0, node[1] + 4.0];
        let now = grid.resolved();
        let eye_m = before.eye_m(None).expect("a place");
        let mut window = SceneWindow::new(&before, 0, eye_m).expect("a window");
        let pieces = window.model.pieces.len();
        let there = same_parts(&before.windows[0], &now.windows[0]);
        let back = same_parts(&now.windows[0], &before.windows[0]);

        let mut group = c.benchmark_group(format!("picture's window after one moved point, {pieces} pieces"));
        group.sample_size(10);
        group.bench_function(BenchmarkId::from_parameter("ours"), |b| {
            let mut moved = false;
            b.iter(|| {
                let (scene, (pieces, leads)) = if moved { (&before, &back) } else { (&now, &there) };
                window.follow(&scene.windows[0], &SameParts { pieces, leads });
                moved = !moved;
            });
            if moved {
                window.follow(&before.windows[0], &SameParts { pieces: &back.0, leads: &back.1 });
            }
        });
        // Triangles and optics, the same data that `follow` keeps.
        group.bench_function(BenchmarkId::from_parameter("naive"), |b| {
            b.iter(|| SceneWindow::new(&now, 0, eye_m));
        });
        group.bench_function(BenchmarkId::from_parameter("naive, triangles alone"), |b| {
            b.iter(|| WindowMesh::new(&window.model));
        });
        group.finish();
    }
}

/// The demo of 165 pieces in a wall with depth: its light at another hour, and after another glass in one piece.
fn in_a_wall(c: &mut Criterion) {
    let text = include_str!("../../../demo-scenes/estuary-lancet.json");
    let mut document: Value = serde_json::from_str(text).expect("JSON");
    let splay = json!({ "jamb": 30.0, "sill": 35.0 });
    let inner = json!({ "depth_m": 0.4, "splay_deg": splay });
    document["clerestory"] = json!(5);
    for (what, wall) in [
        ("an inner reveal", json!({ "inner": inner })),
        ("both reveals", json!({ "inner": inner, "outer": { "depth_m": 0.25 } })),
    ] {
        document["windows"][0]["wall"] = wall;
        let scene = scene::read(&document.to_string()).expect("the demo reads");
        let scene = scene::resolve(&scene, None).expect("the demo resolves");
        let outside = scene.outside(scene.instant("2026-06-21T16:00").expect("a time").utc);
        let outside = outside.expect("a year with a sun");
        let eye_m = scene.eye_m(None).expect("a place");
        let window = || SceneWindow::new(&scene, 0, eye_m).expect("a window");
        let mut kept = window();
        let pieces = kept.model.pieces.len();
        let glasses = [0, pieces / 2].map(|piece| scene.windows[0].pieces[piece].makeup.clone());
        let windows = glasses.map(|makeup| {
            let mut window = scene.windows[0].clone();
            window.pieces[pieces / 3].makeup = makeup;
            window
        });
        kept.tables(&outside, None);

        let mut group =
            c.benchmark_group(format!("picture's light at another hour, {what}, {pieces} pieces"));
        group.sample_size(10);
        group.bench_function("ours", |b| b.iter(|| kept.tables(&outside, None)));
        group.bench_function("naive", |b| b.iter(|| window().tables(&outside, None)));
        group.finish();

        let mut group =
            c.benchmark_group(format!("picture's light after another glass, {what}, {pieces} pieces"));
        group.sample_size(10);
        group.bench_function("ours", |b| {
            let mut turn = 0;
            b.iter(|| {
                turn = 1 - turn;
                kept.set_piece(&windows[turn], pieces / 3);
                kept.tables(&outside, None)
            });
        });
        group.bench_function("naive", |b| b.iter(|| window().tables(&outside, None)));
        group.finish();
    }
}

criterion_group!(benches, moved_point, in_a_wall);
criterion_main!(benches);
