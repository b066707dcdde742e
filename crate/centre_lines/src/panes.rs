//! The lead between panes.

use crate::fault::CentreLinesFault;
use crate::find::find;
use crate::gap::typical_gap;
use crate::line::CentreLines;
use crate::mouths::flush;
use crate::options::CentreLineOptions;
use crate::region::{FilledShape, grown, together, union, without};

/// A border lead around panes has no sharper corners (radians).
const SHARPEST_BORDER_CORNER: f64 = 1.0;

/// The centre lines between panes drawn as filled shapes side by side. Panes that touch count as one.
///
/// The lead is what lies between the panes and an outline (the outer edge of the border lead). Without an outline, it is
/// what lies between panes no farther apart than `options.widest_gap_mm`, and around them all a border lead of the median
/// width of the others; so the border's centre line lies half a lead outside the panes.
///
/// How to stop it: see [`crate::centre_lines`].
///
/// # Errors
/// Coordinates or options out of range; too much; no lead.
pub fn between_panes(
    panes: &[FilledShape],
    outline: Option<&FilledShape>,
    options: &CentreLineOptions,
) -> Result<CentreLines, CentreLinesFault> {
    options.check()?;
    let glass = union(panes)?;
    if glass.is_empty() {
        return Err(CentreLinesFault::NoLead);
    }
    let window = match outline {
        Some(outline) => union(std::slice::from_ref(outline))?,
        None => {
            let width = typical_gap(&glass, options.widest_gap_mm).ok_or(CentreLinesFault::NoLead)?;
            // The gaps fill when the glass is grown and shrunk again.
            let reach = options.widest_gap_mm / 2.0;
            let filled = grown(&glass, reach, SHARPEST_BORDER_CORNER);
            let filled = grown(&filled, -reach, SHARPEST_BORDER_CORNER);
            let closed = together(&filled, &glass);
            grown(&flush(closed, &glass, reach), width, SHARPEST_BORDER_CORNER)
        }
    };
    let lead = without(&window, &glass);
    // Strips too narrow for a lead go: panes at the edge of the window seldom reach it exactly.
    let by = options.touching_gap_mm;
    let lead = grown(&lead, -by, SHARPEST_BORDER_CORNER);
    find(&grown(&lead, by, SHARPEST_BORDER_CORNER), options)
}
