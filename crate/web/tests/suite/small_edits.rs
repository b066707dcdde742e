//! Edits stay small in a large window.

use serde_json::json;
use web::SceneDocument;

use crate::grid::Grid;

// 10 kB for all of it: what is kept, what is journalled and what the page and its workers are told.
#[test]
fn one_moved_point_among_5_000_pieces_costs_less_than_10_kilobytes() {
    let mut grid = Grid::new(50, 100);
    let mut document = SceneDocument::open(&grid.document().to_string()).unwrap();
    assert_eq!(document.resolved().windows[0].pieces.len(), 5000);
    let kept = document.kept().len();
    let node = grid.node_mut(25, 50);
    *node = [node[0] + 7.0, node[1] + 4.0];
    let to = grid.document()["windows"][0]["drawing"]["cutlines"][24].clone();
    let edit = json!({ "edit": "set_line", "window": "grid", "line": 25, "to": to }).to_string();
    let made = document.make(&edit).unwrap_or_else(|faults| panic!("{faults}"));
    let answer = document.answer(&made).len();
    let for_workers = serde_json::to_string(&made.edit).unwrap().len();
    // The edit and its inverse, as the history keeps them.
    let history = document.kept().len() - kept;
    let all = edit.len() + answer + for_workers + history;
    assert!(all < 10_000, "{} + {answer} + {for_workers} + {history} = {all} bytes", edit.len());
    assert_eq!(document.resolved().windows[0].pieces.len(), 5000);
}
