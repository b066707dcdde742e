//! The scene at a glance.

use daylight::{CivilTime, ClockNote};
use scene::{OpenScene, ResolvedWindow, cautions, sky_in_words};

use crate::contract::{AttachedFile, Overview, VariantName, WindowOverview};
use crate::json::Json;

/// The overview of a scene: what is shown, its variants, which of them is shown, and what the last action could not
/// keep.
pub(crate) fn overview(open: &OpenScene) -> Json<Overview> {
    let resolved = open.resolved();
    let scene = &resolved.scene;
    let variants = open.file().variants.iter().map(|variant| VariantName {
        name: variant.name.clone(),
        note: variant.note.clone(),
        differences: variant.edits.len(),
    });
    let (utc, local_note) = match resolved.instant(&scene.at) {
        Ok(found) => (Some(found.utc.to_string()), found.note.map(clock_note)),
        Err(_) => (None, None),
    };
    let notes = resolved.windows.iter().flat_map(drawing_notes).chain(cautions(resolved));
    Json(Overview {
        name: scene.name.clone(),
        note: scene.note.clone(),
        at: plain_time(&scene.at),
        utc,
        time_zone: scene.site.time_zone.clone(),
        local_note,
        windows: resolved.windows.iter().map(window).collect(),
        places: scene.places.clone(),
        viewer: scene.viewer,
        attachments: attachments(open),
        variants: variants.collect(),
        shown: open.shown().map(str::to_owned),
        notices: open.notices().to_vec(),
        sky: sky_in_words(&scene.sky),
        notes: notes.collect(),
    })
}

fn attachments(open: &OpenScene) -> Vec<AttachedFile> {
    let mut all: Vec<AttachedFile> = open
        .file()
        .attachments
        .iter()
        .map(|(hash, one)| AttachedFile {
            hash: hash.to_string(),
            name: one.name.clone(),
            kind: one.kind,
            media_type: one.media_type.clone(),
            bytes: one.bytes,
            note: one.note.clone(),
        })
        .collect();
    sorting::by_key(&mut all, |one| one.name.to_lowercase());
    all
}

/// A civil time in the form that the page parses, whatever the form in the file: `2026-11-25T15:00`, with seconds only
/// if there are any.
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
    // Not how many: the check of the drawing tells several ends at one place once.
    if panel.open_ends.is_empty() && !panel.notes.iter().any(|note| note.is_fault()) {
        return Vec::new();
    }
    vec![format!("{id}: lines of the drawing should be looked at; More, Check the drawing shows where")]
}

fn window(window: &ResolvedWindow) -> WindowOverview {
    WindowOverview {
        id: window.id.clone(),
        width_mm: window.panel.width_mm,
        height_mm: window.panel.height_mm,
    }
}

fn clock_note(note: ClockNote) -> String {
    match note {
        ClockNote::Gap { skipped_minutes } => format!(
            "The clocks skip this time when they go forward; it is taken as {skipped_minutes} minutes later."
        ),
        ClockNote::Fold { .. } => {
            "This time comes twice, because the clocks go back; the first is used.".to_owned()
        }
    }
}
