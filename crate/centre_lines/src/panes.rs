//! The lead between panes.

use crate::crossings::Rings;
use crate::fault::CentreLinesFault;
use crate::find::{find, typical_width};
use crate::line::CentreLines;
use crate::options::CentreLineOptions;
use crate::region::{Corners, FilledShape, grown, region, together, union, without};

/// A border lead around panes has no sharper corners (radians).
const SHARPEST_BORDER_CORNER: f64 = 1.0;

/// The centre lines between panes drawn as filled shapes side by side. Panes that touch count as one.
///
/// The lead is what lies between the panes and an outline (the outer edge of the border lead). Without an outline, it is
/// what lies between panes no farther apart than `options.widest_gap_mm`, and around them all a border lead of the median
/// width of the others; so the border's centre line lies half a lead outside the panes.
///
/// `stop` is asked now and then; true ends the work.
///
/// # Errors
/// Coordinates or options out of range; too much; no lead; stopped.
pub fn between_panes(
    panes: &[FilledShape],
    outline: Option<&FilledShape>,
    options: &CentreLineOptions,
    stop: &dyn Fn() -> bool,
) -> Result<CentreLines, CentreLinesFault> {
    options.check()?;
    let glass = union(panes, stop)?;
    if glass.is_empty() {
        return Err(CentreLinesFault::NoLead);
    }
    let window = match outline {
        Some(outline) => union(std::slice::from_ref(outline), stop)?,
        None => {
            let reach = options.widest_gap_mm / 2.0;
            // The gaps fill when the glass is grown and shrunk again.
            let filled = grown(&grown(&glass, reach, Corners::Round), -reach, Corners::Round);
            let closed = together(&filled, &glass);
            let inner = region(&lead_between(&closed, &glass, options))?;
            grown(&closed, typical_width(&inner, stop)?, Corners::Sharp(SHARPEST_BORDER_CORNER))
        }
    };
    find(&lead_between(&window, &glass, options), options, stop)
}

/// What a window holds beside glass, without strips too narrow for a lead: panes at the edge of the window seldom reach it
/// exactly.
fn lead_between(window: &Rings, glass: &Rings, options: &CentreLineOptions) -> Rings {
    let lead = without(window, glass);
    let by = options.touching_gap_mm;
    grown(&grown(&lead, -by, Corners::Round), by, Corners::Sharp(SHARPEST_BORDER_CORNER))
}
