//! The cost of an edit to the picture's geometry, compared with building the window from scratch.

#![allow(missing_docs, reason = "criterion's macros make public items")]

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use render::{SameParts, SceneWindow, WindowMesh};

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

criterion_group!(benches, moved_point);
criterion_main!(benches);
