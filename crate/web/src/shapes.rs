//! The pieces of windows and their shapes, all of them or those that an action changed.

use panel::Polygon;
use plane::PanelOnPage;
use scene::{Resolved, ResolvedWindow, WindowChange};

use crate::contract::{ChangedPiece, ChangedWindow, Made, PieceShape, WindowShapes};
use crate::json::Json;

/// The pieces and shapes of every window.
pub(crate) fn outlines(resolved: &Resolved) -> Json<Vec<WindowShapes>> {
    let of_window = |window: &ResolvedWindow| WindowShapes {
        opening: opening(window),
        pieces: (0..window.pieces.len()).map(|index| piece_shape(window, index)).collect(),
    };
    Json(resolved.windows.iter().map(of_window).collect())
}

/// The window of that name.
pub(crate) fn window_named<'a>(resolved: &'a Resolved, id: &str) -> Option<&'a ResolvedWindow> {
    resolved.windows.iter().find(|window| window.id == id)
}

/// The result of an action, with the pieces that it changed.
pub(crate) fn made_answer<'a>(resolved: &Resolved, made: &'a scene::Made) -> Json<Made<'a>> {
    let mut windows = Vec::new();
    for (index, window) in resolved.windows.iter().enumerate() {
        let change = made.changes.windows.get(&window.id);
        let redrawn = made.redrawn.iter().find(|(of, _)| *of == index).map(|(_, panel)| &panel.pieces[..]);
        if change.is_some() || !made.changes.glasses.is_empty() {
            windows.extend(changed_window(index, window, change, redrawn, made));
        }
    }
    Json(Made { edit: &made.edit, changes: &made.changes, action: made.action.write(), windows })
}

/// A window whose pieces changed; `None` if none did.
fn changed_window(
    index: usize,
    window: &ResolvedWindow,
    change: Option<&WindowChange>,
    redrawn: Option<&[Option<usize>]>,
    made: &scene::Made,
) -> Option<ChangedWindow> {
    let mut kept: Vec<[usize; 3]> = Vec::new();
    let mut pieces = Vec::new();
    for (now, piece) in window.pieces.iter().enumerate() {
        let own = |change: &WindowChange| {
            // Heights are measured from the upper edge.
            change.sight_size
                || change.drawing
                || change.entries.contains(&piece.id)
                || change.makeups.contains_key(&piece.id)
        };
        let reglazed = piece.makeup.plates.iter().any(|p| made.changes.glasses.contains_key(&p.glass.id));
        let before = redrawn.map_or(Some(now), |old_of_new| old_of_new[now]);
        match before.filter(|_| !reglazed && !change.is_some_and(own)) {
            Some(before) => match kept.last_mut() {
                Some([from, was, count]) if *from + *count == now && *was + *count == before => *count += 1,
                _ => kept.push([now, before, 1]),
            },
            None => pieces.push(ChangedPiece { index: now, piece: piece_shape(window, now) }),
        }
    }
    (redrawn.is_some() || !pieces.is_empty()).then(|| ChangedWindow {
        index,
        opening: opening(window),
        count: window.pieces.len(),
        kept,
        pieces,
    })
}

fn opening(window: &ResolvedWindow) -> String {
    path_data(std::slice::from_ref(&window.panel.opening), window.panel.on_page())
}

fn piece_shape(window: &ResolvedWindow, index: usize) -> PieceShape {
    let (piece, shape) = (&window.pieces[index], &window.panel.pieces[index]);
    let page = window.panel.on_page();
    PieceShape {
        id: piece.id,
        glass: piece.makeup.plates.last().map(|plate| plate.glass.name.clone()).unwrap_or_default(),
        path: path_data(&shape.light, page),
        centre_mm: page.page_from_panel(shape.interior_point),
    }
}

/// SVG path data of polygons on a page, mm.
fn path_data(polygons: &[Polygon], page: PanelOnPage) -> String {
    use std::fmt::Write;
    let mut data = String::new();
    for ring in polygons.iter().flat_map(Polygon::rings) {
        for (i, &point) in ring.iter().enumerate() {
            let [x, y] = page.page_from_panel(point).to_array();
            // Writing to a string cannot fail.
            let _ = write!(data, "{}{:.2} {:.2}", if i == 0 { "M" } else { "L" }, x, y);
        }
        if !ring.is_empty() {
            data.push('Z');
        }
    }
    data
}
