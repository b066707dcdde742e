//! What was read from a drawing, for a page that shows it.

use drawing_io::{Import, import};
use kurbo::Affine;
use panel::{read_path, write_path};
use scene::{Faults, USUAL_FACING_DEG, USUAL_SILL_M, usual_site};

use crate::contract::{CheckedDrawing, DrawingLayer, DrawingOptions, DrawingPlace, UsualStart};
use crate::fault::{refused, unreadable};

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
    let down = Affine::new([1.0, 0.0, 0.0, -1.0, 0.0, panel.height_mm]);
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
        usual: UsualStart { site: usual_site(), facing_deg: USUAL_FACING_DEG, sill_height_m: USUAL_SILL_M },
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

/// Lines as one path, mapped. A drawing's own path data can always be read.
fn mapped<'a>(map: Affine, lines: impl IntoIterator<Item = &'a str>) -> String {
    let paths = lines.into_iter().filter_map(|data| read_path(data).ok());
    paths.map(|path| write_path(&(map * path))).collect::<Vec<_>>().join(" ")
}

/// Finer than a hair, coarser than the arithmetic.
fn thousandths(mm: f64) -> f64 {
    (mm * 1e3).round() / 1e3
}
