//! What was read from a drawing, for a page that shows it.

use drawing_io::{Import, import};
use scene::Faults;

use crate::contract::{CheckedDrawing, DrawingLayer, DrawingOptions, DrawingPlace};
use crate::fault::{refused, unreadable};
use crate::shown::{mapped, page_of, thousandths, usual};

/// Reads a drawing: a [`CheckedDrawing`] as JSON. `options` are [`DrawingOptions`] as JSON.
///
/// # Errors
/// Why there is no window in the text; a fault at [`crate::WIDTH`] if its real width is needed or cannot be right.
pub fn check(svg: &str, options: &str) -> Result<String, Faults> {
    let checked = checked(&read(svg, options)?);
    // Plain data with text keys always serialises.
    Ok(serde_json::to_string(&checked).unwrap_or_default())
}

/// The drawing itself.
pub(crate) fn read(svg: &str, options: &str) -> Result<Import, Faults> {
    let options: DrawingOptions =
        serde_json::from_str(options).map_err(|error| unreadable("options", &error))?;
    import(svg, &options.import()).map_err(|error| refused(&error))
}

fn checked(import: &Import) -> CheckedDrawing {
    let panel = &import.panel;
    let down = page_of(panel);
    let drawing = &import.drawing;
    CheckedDrawing {
        width_mm: thousandths(panel.width_mm),
        height_mm: thousandths(panel.height_mm),
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
        outline: mapped(down, [drawing.outline.path.as_str()]),
        cutlines: mapped(down, drawing.cutlines.iter().map(|line| line.path.as_str())),
        bars: mapped(down, drawing.bars.iter().map(|bar| bar.path.as_str())),
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
