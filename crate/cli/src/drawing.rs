//! `clerestory drawing`: windows from the files of drawing programs, or from measurements.

use drawing_io::{DrawingReport, Import, ImportOptions, import};
use openings::{Drawn, PIECE_LIMIT};

use crate::arguments::{self, DrawingCommand, DrawingFile};
use crate::fault::CliError;
use crate::table::{Align, Table};
use crate::{open, opening, output, scene_around, window_lines};

/// Reads a drawing, and tells what was found or makes a scene of it.
///
/// # Errors
/// The file cannot be read, holds no window, or does not say how large it is; the scene cannot be written.
pub(crate) fn run(command: &DrawingCommand) -> Result<(), CliError> {
    match command {
        DrawingCommand::Check { file, window, json } if window_lines::is_scene(&file.file)? => {
            window_lines::check(file, window.as_deref(), *json)
        }
        DrawingCommand::Check { file, window: Some(_), .. } => Err(CliError::Drawing {
            path: file.file.clone(),
            why: "--window: expected a scene with this option, found a drawing".to_owned(),
        }),
        DrawingCommand::Check { file, json, .. } => {
            let report = DrawingReport::of(&read(file)?);
            if *json { output::print_json(&report) } else { output::print(&in_words(&report)) }
        }
        DrawingCommand::Import(asked) => make_scene(asked),
        DrawingCommand::New(asked) => draw(asked),
        DrawingCommand::Join(asked) => window_lines::join(asked),
    }
}

fn read(asked: &DrawingFile) -> Result<Import, CliError> {
    let path = &asked.file;
    let most = drawing_io::BYTE_LIMIT as u64;
    let bytes = open::bytes(path, most, &format!("a drawing has at most {}", scene::size_limit(most)))?;
    if let Some(format) = drawing_io::picture_format(&bytes) {
        let why = format!("expected SVG, found {format}, {}", drawing_io::PICTURE_ADVICE);
        return Err(CliError::Drawing { path: path.clone(), why });
    }
    let text = String::from_utf8(bytes).map_err(|_| CliError::Drawing {
        path: path.clone(),
        why: "expected SVG, which is text in UTF-8, found something else".to_owned(),
    })?;
    let usual = ImportOptions::default();
    let options = ImportOptions {
        width_mm: asked.width_mm,
        roles: asked.layer.iter().cloned().collect(),
        seen_from_outside: asked.seen_from_outside,
        lead_face_mm: asked.lead_mm,
        border_face_mm: asked.border_lead_mm,
        join_mm: asked.join_mm.unwrap_or(usual.join_mm),
        ..usual
    };
    import(&text, &options).map_err(|error| CliError::Drawing { path: path.clone(), why: error.to_string() })
}

fn make_scene(asked: &arguments::DrawingImport) -> Result<(), CliError> {
    let path = &asked.file.file;
    if window_lines::is_scene(path)? {
        let why = "this is a scene file, not a drawing: open it with `report`, or look at its lines with `drawing check`";
        return Err(CliError::Drawing { path: path.clone(), why: why.to_owned() });
    }
    let import = read(&asked.file)?;
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    let name = stem.unwrap_or_else(|| opening::USUAL_NAME.to_owned());
    let note = scene_around::write(&import.drawing, &import.panel, &asked.scene, &name, Some(path))?;
    let report = DrawingReport::of(&import);
    output::print(&format!("{}\n{note}", in_words(&report)))
}

fn draw(asked: &arguments::DrawingNew) -> Result<(), CliError> {
    let measurements = opening::measurements(&asked.opening)?;
    let Drawn { drawing, panel, .. } =
        measurements.drawn(PIECE_LIMIT).map_err(|faults| opening::refused(&faults, &asked.opening))?;
    let note = scene_around::write(&drawing, &panel, &asked.scene, opening::USUAL_NAME, None)?;
    output::print(&format!(
        "{:.1} by {:.1} mm, {}\n\n{note}",
        panel.width_mm,
        panel.height_mm,
        output::counted(panel.pieces.len(), "piece")
    ))
}

fn in_words(report: &DrawingReport) -> String {
    let mut text = window_lines::size_in_words(report.width_mm, report.height_mm, report.pieces) + "\n";
    let mut table = Table::new(&[Align::Left, Align::Left]);
    table.row(["layer", "taken as"]);
    for layer in &report.layers {
        table.row([&layer.name, &layer.taken_as.to_string()]);
    }
    text += &table.text();
    for assumed in &report.assumed {
        text += &format!("\n{assumed}");
    }
    if !report.assumed.is_empty() {
        text.push('\n');
    }
    text + "\n" + &window_lines::places_in_words(&report.faults)
}
