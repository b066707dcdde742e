//! The real widths that a drawing's window may have.

use drawing_io::{Import, ImportError, MOST_SIZE_MM, import, thousandths};
use kurbo::Shape;
use panel::read_path;
use scene::Faults;

use crate::contract::DrawingOptions;
use crate::fault::{WIDTH, fault, refused, unreadable};

/// Narrowest window that the page makes of a drawing, mm. Ours: below it a number is a slip, such as metres or inches
/// typed for millimetres.
const LEAST_WIDTH_MM: f64 = 10.0;

/// Width at which a drawing is read to learn its shape, mm.
const TRIAL_WIDTH_MM: f64 = 1_000.0;

/// More than the relative error of lengths of about a metre in path data, which is rounded to 1e-5 mm.
const ROUNDING: f64 = 1e-7;

/// The least and the most real width of a drawing that gives no size or an impossible one, mm: JSON of two numbers.
/// `options` are [`DrawingOptions`] as JSON.
///
/// # Errors
/// The drawing makes no window at any width: as [`crate::check`].
pub fn drawing_widths(svg: &str, options: &str) -> Result<String, Faults> {
    let options: DrawingOptions =
        serde_json::from_str(options).map_err(|error| unreadable("options", &error))?;
    let [least, most] = widths(svg, &options)?;
    Ok(format!("[{least},{most}]"))
}

/// The same range as numbers, whatever width the options have.
pub(crate) fn widths(svg: &str, options: &DrawingOptions) -> Result<[f64; 2], Faults> {
    let tried = DrawingOptions { width_mm: Some(TRIAL_WIDTH_MM), ..options.clone() };
    match import(svg, &tried.import()) {
        Ok(import) => Ok(range_of(&import)),
        Err(ImportError::TooLarge { width_mm, height_mm }) => Ok(width_range(width_mm, height_mm)),
        Err(error) => Err(refused(&error)),
    }
}

/// The range of real widths, mm, of a drawing that was read: none of its lines may reach too far.
pub(crate) fn range_of(import: &Import) -> [f64; 2] {
    let drawing = &import.drawing;
    let paths = std::iter::once(&drawing.outline.path)
        .chain(drawing.cutlines.iter().map(|line| &line.path))
        .chain(drawing.bars.iter().map(|bar| &bar.path));
    // A drawing's own path data can always be read. A bar may reach beyond the window, also below its origin.
    let reach_mm =
        paths.filter_map(|path| read_path(path).ok()).fold(import.panel.height_mm, |reach, path| {
            let found = path.bounding_box();
            [found.x0, found.x1, found.y0, found.y1].iter().fold(reach, |reach, at| reach.max(at.abs()))
        });
    width_range(import.panel.width_mm, reach_mm)
}

/// The range of real widths, mm, for a window so wide whose lines reach so far from its origin. Whole millimetres,
/// rounded inward.
fn width_range(width_mm: f64, reach_mm: f64) -> [f64; 2] {
    let most = MOST_SIZE_MM * width_mm / width_mm.max(reach_mm);
    // So steep a drawing leaves only its own most width.
    [
        LEAST_WIDTH_MM.min(most),
        if most >= 1.0 { (most * (1.0 + ROUNDING)).floor() } else { thousandths(most) },
    ]
}

/// Refuses a width that was asked for and is not in the range.
pub(crate) fn in_range(asked_mm: Option<f64>, [least, most]: [f64; 2]) -> Result<(), Faults> {
    match asked_mm {
        Some(found) if !(least..=most).contains(&found) => {
            Err(fault(WIDTH, format!("a real width from {least} to {most} mm"), format!("{found} mm")))
        }
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::width_range;

    #[test]
    fn neither_side_may_be_too_long() {
        let check = |width, height, least: f64, most: f64| {
            let found = width_range(width, height);
            assert!(
                (found[0] - least).abs() + (found[1] - most).abs() < 1e-9,
                "{width} by {height}: {found:?}"
            );
        };
        check(300.0, 200.0, 10.0, 20_000.0);
        check(300.0, 300.0, 10.0, 20_000.0);
        check(600.0, 1500.0, 10.0, 8_000.0);
        // 20 000 / 3, rounded inward.
        check(100.0, 300.0, 10.0, 6_666.0);
        check(1.0, 40_000.0, 0.5, 0.5);
    }
}
