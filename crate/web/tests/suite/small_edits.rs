//! Edits stay small in a large window.

use serde_json::{Value, json};
use web::SceneDocument;

use crate::grid::Grid;

/// The grid's scene with lines of at most 11 points, the length of a single lead: ten pieces.
fn in_stretches(grid: &Grid) -> Value {
    let mut scene = grid.document();
    let lines = scene["windows"][0]["drawing"]["cutlines"].as_array_mut().unwrap();
    let mut stretches = Vec::new();
    for line in lines.iter() {
        let points: Vec<&str> = line["path"].as_str().unwrap()[1..].split('L').collect();
        for start in (0..points.len() - 1).step_by(10) {
            let stretch = &points[start..(start + 11).min(points.len())];
            stretches
                .push(json!({ "path": format!("M{}", stretch.join("L")), "width_mm": line["width_mm"] }));
        }
    }
    *lines = stretches;
    scene
}

// 10 kB in total: history, journal, and messages to the page and its workers.
#[test]
fn one_moved_point_among_5_000_pieces_costs_less_than_10_kilobytes() {
    let mut grid = Grid::new(50, 100);
    let mut document = SceneDocument::open(&in_stretches(&grid).to_string()).unwrap();
    assert_eq!(document.resolved().windows[0].pieces.len(), 5000);
    let kept = document.kept().len();
    let node = grid.node_mut(25, 55);
    *node = [node[0] + 7.0, node[1] + 4.0];
    // The 25th vertical line has ten stretches; row 55 lies in its sixth.
    let line = 24 * 10 + 6;
    let to = in_stretches(&grid)["windows"][0]["drawing"]["cutlines"][line - 1].clone();
    let edit = json!({ "edit": "set_line", "window": "grid", "line": line, "to": to }).to_string();
    let made = document.make(&edit).unwrap_or_else(|faults| panic!("{faults}"));
    assert!(!made.changes.windows["grid"].lines.is_empty());
    // The answer holds the edit, the action for the journal and the pieces that changed.
    let answer = document.answer(&made).len();
    let for_workers = serde_json::to_string(&made.edit).unwrap().len();
    // The edit and its inverse, as in the history.
    let history = document.kept().len() - kept;
    let all = edit.len() + answer + for_workers + history;
    assert!(all < 10_000, "{} + {answer} + {for_workers} + {history} = {all} bytes", edit.len());
    assert_eq!(document.resolved().windows[0].pieces.len(), 5000);
}
