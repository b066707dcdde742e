//! One moved point.

use criterion::{BenchmarkId, Criterion, criterion_group};
use serde_json::json;
use web::SceneDocument;

#[path = "../../../render/tests/suite/grid.rs"]
mod grid;

use grid::Grid;

/// One point moved, and moved back, in windows of some 165, 1,200 and 5,000 pieces.
fn moved_point(c: &mut Criterion) {
    for (columns, rows) in [(11, 15), (30, 40), (50, 100)] {
        let mut grid = Grid::new(columns, rows);
        let before = grid.document();
        let node = grid.node_mut(columns / 2, rows / 2);
        *node = [node[0] + 7.0, node[1] + 4.0];
        let after = grid.document();
        // Vertical lines come first; lines count from 1.
        let line = columns / 2;
        let edit = |scene: &serde_json::Value| {
            let to = scene["windows"][0]["drawing"]["cutlines"][line - 1].clone();
            json!({ "edit": "set_line", "window": "grid", "line": line, "to": to }).to_string()
        };
        let edits = [edit(&after), edit(&before)];
        let mut document = SceneDocument::open(&before.to_string()).expect("a scene");
        let pieces = document.resolved().windows[0].pieces.len();

        let mut group = c.benchmark_group(format!("one moved point, {pieces} pieces"));
        group.sample_size(10);
        group.bench_function(BenchmarkId::from_parameter("ours"), |b| {
            let mut turn = 0;
            b.iter(|| {
                let made = document.make(&edits[turn % 2]).expect("an edit");
                turn += 1;
                document.answer(&made)
            });
        });
        // Reads the whole scene, builds its panel and passes on every piece.
        let texts = [after.to_string(), before.to_string()];
        group.bench_function(BenchmarkId::from_parameter("naive"), |b| {
            let mut turn = 0;
            b.iter(|| {
                let document = SceneDocument::open(&texts[turn % 2]).expect("a scene");
                turn += 1;
                (document.overview(), document.outlines())
            });
        });
        group.finish();
    }
}

criterion_group!(benches, moved_point);
