//! What was read from a drawing, for a page that shows it.

use drawing_io::{Import, PICTURE_ADVICE, import, picture_format, thousandths};
use scene::Faults;

use crate::contract::{CheckedDrawing, DrawingLayer, DrawingOptions, DrawingPlace};
use crate::fault::{fault, refused, unreadable};
use crate::shown::{mapped, usual};
use crate::width::{in_range, range_of, widths};

/// Reads a drawing: a [`CheckedDrawing`] as JSON. `options` are [`DrawingOptions`] as JSON.
///
/// # Errors
/// Why there is no window in the text; a fault at [`crate::WIDTH`] if its real width is needed or cannot be right.
pub fn check(svg: &str, options: &str) -> Result<String, Faults> {
    let checked = checked(&read(svg, options)?);
    // Plain data with text keys always serialises.
    Ok(serde_json::to_string(&checked).unwrap_or_default())
}

/// Refuses a file that is a picture or a document instead of a drawing. `beginning`: its first 12 bytes or more.
///
/// # Errors
/// What it is, and what to do.
pub fn refuse_picture(beginning: &[u8]) -> Result<(), Faults> {
    match picture_format(beginning) {
        Some(format) => Err(fault("", "a drawing in SVG", format!("{format}, {PICTURE_ADVICE}"))),
        None => Ok(()),
    }
}

/// The drawing itself.
pub(crate) fn read(svg: &str, options: &str) -> Result<Import, Faults> {
    let options: DrawingOptions =
        serde_json::from_str(options).map_err(|error| unreadable("options", &error))?;
    match import(svg, &options.import()) {
        Ok(import) => {
            in_range(options.width_mm, range_of(&import))?;
            Ok(import)
        }
        Err(error) => {
            // Too wide, a drawing may fail in many ways: its bars reach too far, or its leads.
            if let Ok(range) = widths(svg, &options) {
                in_range(options.width_mm, range)?;
            }
            Err(refused(&error))
        }
    }
}

fn checked(import: &Import) -> CheckedDrawing {
    let panel = &import.panel;
    let drawing = &import.drawing;
    CheckedDrawing {
        width_mm: thousandths(panel.width_mm),
        height_mm: thousandths(panel.height_mm),
        width_range_mm: range_of(import),
        pieces: panel.pieces.len(),
        layers: import
            .layers
            .iter()
            .map(|layer| DrawingLayer {
                name: layer.name.clone(),
                taken_as: layer.taken_as,
                groups: layer.groups.clone(),
            })
            .collect(),
        places: places(import),
        assumed: import.assumed.clone(),
        outline: mapped(panel, [drawing.outline.path.as_str()]),
        cutlines: mapped(panel, drawing.cutlines.iter().map(|line| line.path.as_str())),
        bars: mapped(panel, drawing.bars.iter().map(|bar| bar.path.as_str())),
        usual: usual(),
    }
}

/// From the top, so that the numbers at their marks are easy to find.
fn places(import: &Import) -> Vec<DrawingPlace> {
    let page = import.panel.on_page();
    let mut places: Vec<DrawingPlace> = import
        .faults
        .iter()
        .map(|fault| DrawingPlace {
            kind: fault.kind,
            at_mm: page.page_from_panel(fault.at_mm),
            words: fault.words.clone(),
        })
        .collect();
    places.sort_by(|a, b| a.at_mm.y().total_cmp(&b.at_mm.y()).then(a.at_mm.x().total_cmp(&b.at_mm.x())));
    places
}
