//! What the page shows of a scene at a glance.

use daylight::{CivilTime, ClockNote, Direction};
use panel::Polygon;
use scene::{Resolved, ResolvedPiece, ResolvedWindow};
use serde_json::{Value, json};

use crate::surroundings::{cautions, sky_words};

/// The overview: names, sizes and places, and which glass is in which piece.
pub(crate) fn overview(resolved: &Resolved) -> Value {
    let scene = &resolved.scene;
    let (utc, note) = match resolved.instant(&scene.at) {
        Ok(found) => (Some(found.utc.to_string()), found.note.map(clock_note)),
        Err(_) => (None, None),
    };
    let notes: Vec<String> = resolved
        .windows
        .iter()
        .flat_map(|w| {
            let open_ends = w.panel.open_ends.iter().map(|end| {
                format!(
                    "{}: {} ends in the middle of a piece at {:.1}, {:.1} mm",
                    w.id, end.line, end.at[0], end.at[1]
                )
            });
            let others = w.panel.notes.iter().filter(|n| n.is_fault()).map(|n| format!("{}: {n}", w.id));
            open_ends.chain(others).collect::<Vec<_>>()
        })
        .chain(cautions(resolved))
        .collect();
    json!({
        "name": scene.name,
        "note": scene.note,
        "at": plain_time(&scene.at),
        "utc": utc,
        "time_zone": scene.site.time_zone,
        "local_note": note,
        "windows": resolved.windows.iter().map(window).collect::<Vec<_>>(),
        "places": scene.places,
        "viewer": scene.viewer,
        "sky": sky_words(&scene.sky),
        "notes": notes,
    })
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

fn window(window: &ResolvedWindow) -> Value {
    let glass = |piece: &ResolvedPiece| piece.makeup.plates.last().map(|plate| plate.glass.name.clone());
    json!({
        "id": window.id,
        "width_mm": window.panel.width_mm,
        "height_mm": window.panel.height_mm,
        "pieces": window.pieces.iter().map(|p| json!({ "id": p.id, "glass": glass(p) })).collect::<Vec<_>>(),
    })
}

/// The shapes of every window: SVG paths in mm with y **down** from the sight size's upper edge, its pieces in the
/// overview's order.
pub(crate) fn outlines(resolved: &Resolved) -> Value {
    let of_window = |window: &ResolvedWindow| {
        let panel = &window.panel;
        let down = |polygons: &[Polygon]| path_data(polygons, panel.height_mm);
        let pieces = panel.pieces.iter().map(|piece| {
            let [x, y] = piece.interior_point;
            json!({ "path": down(&piece.light), "centre_mm": [x, panel.height_mm - y] })
        });
        json!({
            "opening": down(std::slice::from_ref(&panel.opening)),
            "pieces": pieces.collect::<Vec<_>>(),
        })
    };
    json!(resolved.windows.iter().map(of_window).collect::<Vec<_>>())
}

/// The window of that name.
pub(crate) fn window_named<'a>(resolved: &'a Resolved, id: &str) -> Option<&'a ResolvedWindow> {
    resolved.windows.iter().find(|w| w.id == id)
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

/// Where a direction lies, in words: "south-west, 8° up".
pub(crate) fn direction_words(direction: Direction) -> String {
    const POINTS: [&str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];
    let point = POINTS[((direction.azimuth_deg.rem_euclid(360.0) + 22.5) / 45.0) as usize % 8];
    let altitude = direction.altitude_deg;
    if altitude < 0.0 {
        format!("{point}, {:.0}° below the horizon", -altitude)
    } else {
        format!("{point}, {altitude:.0}° up")
    }
}
