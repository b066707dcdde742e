//! `clerestory drawing check` of a scene, and `drawing join`: the lines of a scene's window.

use std::path::Path;

use drawing_io::{DrawingFault, LEAST_MEND_MM, LinesReport, line_faults, mend_all};
use panel::{Panel, PanelError, PanelOptions, panel_from_drawing};
use scene::{Drawing, Edit, Fault, Faults, OpenScene, panel_drawing};

use crate::arguments::{self, DrawingFile};
use crate::fault::CliError;
use crate::table::{Align, Table};
use crate::whole_file::write_whole;
use crate::{open, output};

/// Faults that are listed one by one before their number is given.
const MOST_LISTED: usize = 20;

/// Bytes by which a scene file is told from a drawing.
const BEGINNING: usize = 64;

/// Whether a file is a scene, JSON or ZIP, by its first bytes. What can be read only once, such as a pipe, is a drawing.
///
/// # Errors
/// The file cannot be read.
pub(crate) fn is_scene(path: &Path) -> Result<bool, CliError> {
    let bytes = open::beginning(path, BEGINNING)?;
    let text = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    Ok(archive::is_zip(&bytes) || text.trim_ascii_start().first() == Some(&b'{'))
}

/// Lists what should be looked at in the lines of a window of a scene.
///
/// # Errors
/// The scene cannot be read, or has no such window; an option that only counts for drawings.
pub(crate) fn check(asked: &DrawingFile, window: Option<&str>, json: bool) -> Result<(), CliError> {
    let DrawingFile { file, width_mm, layer, seen_from_outside, lead_mm, border_lead_mm, join_mm } = asked;
    let given = [
        ("--width-mm", width_mm.is_some()),
        ("--layer", !layer.is_empty()),
        ("--seen-from-outside", *seen_from_outside),
        ("--lead-mm", lead_mm.is_some()),
        ("--border-lead-mm", border_lead_mm.is_some()),
        ("--join-mm", join_mm.is_some()),
    ];
    if let Some((option, _)) = given.into_iter().find(|(_, given)| *given) {
        let why = format!("{option}: expected an SVG file with this option, found a scene");
        return Err(CliError::Drawing { path: file.clone(), why });
    }
    let scene = open::read(file)?;
    let (index, window) = open::window(&scene, window)?;
    let (panel, faults) = look_at(&window.drawing).map_err(|error| no_panel(file, index, &error))?;
    let report = LinesReport::of(&panel, faults);
    if json {
        return output::print_json(&report);
    }
    output::print(&format!(
        "{}\n{}",
        size_in_words(report.width_mm, report.height_mm, report.pieces),
        places_in_words(&report.faults)
    ))
}

/// A window's panel, and what should be looked at in the lines of its drawing.
///
/// # Errors
/// The lines form no panel.
pub(crate) fn look_at(drawing: &Drawing) -> Result<(Panel, Vec<DrawingFault>), PanelError> {
    let drawing = panel_drawing(drawing);
    let panel = panel_from_drawing(&drawing, &PanelOptions::default())?;
    let faults = line_faults(&drawing, &panel, LEAST_MEND_MM).into_iter().map(|found| found.fault).collect();
    Ok((panel, faults))
}

/// Joins or trims the open ends of a window's lines, and writes the scene.
///
/// # Errors
/// As [`check`]; the scene cannot be written.
pub(crate) fn join(asked: &arguments::DrawingJoin) -> Result<(), CliError> {
    let path = &asked.scene;
    let refused = |faults| CliError::Faults { path: path.clone(), faults };
    let mut file = open::file(path)?;
    let (index, window) = open::window(&file.scene, asked.window.as_deref())?;
    let mended = mend_all(&panel_drawing(&window.drawing), asked.within_mm)
        .map_err(|error| no_panel(path, index, &error))?;
    let edit = Edit::set_paths(
        &window.id,
        &window.drawing,
        mended.lines.into_iter().map(|line| (line.index, line.path)),
    );
    let mut words = format!(
        "{} joined or trimmed, {} left\n",
        output::counted(mended.open_ends_before.saturating_sub(mended.open_ends), "open end"),
        mended.open_ends
    );
    if let Some(edit) = edit {
        let mut scene = OpenScene::new(file.scene).map_err(refused)?;
        scene.make(edit).map_err(refused)?;
        for notice in scene.notices() {
            words += &format!("{notice}\n");
        }
        file.scene = scene.file().clone();
    }
    let bytes = archive::write(&file).map_err(refused)?;
    write_whole(&asked.out, &bytes)?;
    output::print(&format!("{words}{}: written\n", asked.out.display()))
}

/// Width, height and pieces of a window.
pub(crate) fn size_in_words(width_mm: f64, height_mm: f64, pieces: usize) -> String {
    format!("{width_mm:.1} by {height_mm:.1} mm, {}\n", output::counted(pieces, "piece"))
}

/// What should be looked at, as a table.
pub(crate) fn places_in_words(faults: &[DrawingFault]) -> String {
    if faults.is_empty() {
        return "Nothing to look at: every line meets another.\n".to_owned();
    }
    let mut text = format!(
        "{} to look at (mm from the lower left, x right, y up):\n",
        output::counted(faults.len(), "place")
    );
    let mut places = Table::new(&[Align::Right, Align::Right, Align::Left]);
    for fault in faults.iter().take(MOST_LISTED) {
        let [x, y] = fault.at_mm.to_array().map(|mm| format!("{mm:.1}"));
        places.row([&x, &y, &fault.words]);
    }
    text += &places.text();
    if faults.len() > MOST_LISTED {
        text += &format!("… and {} more (--json lists all)\n", faults.len() - MOST_LISTED);
    }
    text
}

fn no_panel(path: &Path, window: usize, error: &PanelError) -> CliError {
    let at = format!("windows[{window}].drawing");
    let fault = Fault::new(at, "lines that form pieces", error.to_string());
    CliError::Faults { path: path.to_owned(), faults: Faults(vec![fault]) }
}
