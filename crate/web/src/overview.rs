//! The scene at a glance, and the shapes of its windows.

use daylight::{CivilTime, ClockNote};
use panel::Polygon;
use scene::{Resolved, ResolvedPiece, ResolvedWindow, Variant, cautions, sky_in_words};
use serde_json::Value;

use crate::contract::{Overview, PieceOverview, PieceShape, VariantName, WindowOverview, WindowShapes};
use crate::json::Json;

/// The overview as a JSON object, for the document to put its variants in.
pub(crate) fn overview(resolved: &Resolved) -> Value {
    // Plain data with text keys, which always serialises.
    serde_json::to_value(overview_of(resolved, &resolved.scene.variants, None, &[])).unwrap_or_default()
}

/// What is shown of a scene, with the variants that it has, which of them is shown, and what the last action took out of
/// them.
fn overview_of(
    resolved: &Resolved,
    variants: &[Variant],
    shown: Option<&str>,
    left_out: &[String],
) -> Overview {
    let scene = &resolved.scene;
    let variants = variants.iter().map(|variant| VariantName {
        name: variant.name.clone(),
        note: variant.note.clone(),
        differences: variant.edits.len(),
    });
    let (utc, local_note) = match resolved.instant(&scene.at) {
        Ok(found) => (Some(found.utc.to_string()), found.note.map(clock_note)),
        Err(_) => (None, None),
    };
    let notes = resolved.windows.iter().flat_map(drawing_notes).chain(cautions(resolved));
    Overview {
        name: scene.name.clone(),
        note: scene.note.clone(),
        at: plain_time(&scene.at),
        utc,
        time_zone: scene.site.time_zone.clone(),
        local_note,
        windows: resolved.windows.iter().map(window).collect(),
        places: scene.places.clone(),
        viewer: scene.viewer,
        variants: variants.collect(),
        shown: shown.map(str::to_owned),
        left_out: left_out.to_vec(),
        sky: sky_in_words(&scene.sky),
        notes: notes.collect(),
    }
}

/// A civil time in the one form that the page takes apart, whichever a file has it in: `2026-11-25T15:00`, with
/// seconds only where there are some.
fn plain_time(at: &str) -> String {
    let Ok(time) = CivilTime::parse(at) else { return at.to_owned() };
    let text = time.to_string();
    match text.strip_suffix(":00") {
        Some(to_the_minute) if text.matches(':').count() == 2 => to_the_minute.to_owned(),
        _ => text,
    }
}

/// What is doubtful about a drawing.
fn drawing_notes(window: &ResolvedWindow) -> Vec<String> {
    let ResolvedWindow { id, panel, .. } = window;
    let open_ends = panel.open_ends.iter().map(|end| {
        let [x, y] = end.at;
        format!("{id}: {} ends in the middle of a piece at {x:.1}, {y:.1} mm", end.line)
    });
    let faults = panel.notes.iter().filter(|note| note.is_fault()).map(|note| format!("{id}: {note}"));
    open_ends.chain(faults).collect()
}

fn window(window: &ResolvedWindow) -> WindowOverview {
    let glass = |piece: &ResolvedPiece| piece.makeup.plates.last().map(|plate| plate.glass.name.clone());
    WindowOverview {
        id: window.id.clone(),
        width_mm: window.panel.width_mm,
        height_mm: window.panel.height_mm,
        pieces: window
            .pieces
            .iter()
            .map(|piece| PieceOverview { id: piece.id, glass: glass(piece).unwrap_or_default() })
            .collect(),
    }
}

/// The shapes of every window, its pieces in the overview's order.
pub(crate) fn outlines(resolved: &Resolved) -> Json<Vec<WindowShapes>> {
    let of_window = |window: &ResolvedWindow| {
        let panel = &window.panel;
        let down = |polygons: &[Polygon]| path_data(polygons, panel.height_mm);
        let pieces = panel.pieces.iter().map(|piece| {
            let [x, y] = piece.interior_point;
            PieceShape { path: down(&piece.light), centre_mm: [x, panel.height_mm - y] }
        });
        WindowShapes { opening: down(std::slice::from_ref(&panel.opening)), pieces: pieces.collect() }
    };
    Json(resolved.windows.iter().map(of_window).collect())
}

/// SVG path data of polygons, mm, with y down from `height_mm`.
fn path_data(polygons: &[Polygon], height_mm: f64) -> String {
    use std::fmt::Write;
    let mut data = String::new();
    for ring in polygons.iter().flat_map(Polygon::rings) {
        for (i, [x, y]) in ring.iter().enumerate() {
            // Writing to a text cannot fail.
            let _ = write!(data, "{}{:.2} {:.2}", if i == 0 { "M" } else { "L" }, x, height_mm - y);
        }
        if !ring.is_empty() {
            data.push('Z');
        }
    }
    data
}

fn clock_note(note: ClockNote) -> String {
    match note {
        ClockNote::Gap { skipped_minutes } => format!(
            "The clocks go forward over this time; it is read as {skipped_minutes} minutes later on the clock."
        ),
        ClockNote::Fold { .. } => {
            "The clocks go back over this time, so that it comes twice; the first is taken.".to_owned()
        }
    }
}
