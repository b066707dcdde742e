//! From the lead's boundary to its centre lines, step by step.

use crate::crossings::Rings;
use crate::fault::CentreLinesFault;
use crate::holes::points_in_holes;
use crate::line::{CentreLines, lines};
use crate::mesh::triangles;
use crate::net::net;
use crate::options::CentreLineOptions;
use crate::region::{FilledShape, Region, grown, region, union};
use crate::run::runs;
use crate::sample::{Sample, samples};
use crate::skeleton::{Skeleton, skeleton};
use glam::DVec2;
use plane::PanelPoint;

/// What is narrower than this share of the mean width is no lead: a hair sticking out, or a taper's tip. By experiment.
const LEAST_WIDTH_SHARE: f64 = 0.2;

/// Corners sharper than this (radians) are cut off when the lead is grown a little.
const SHARPEST_CORNER: f64 = 0.3;

/// The centre lines of leads drawn as filled shapes, which may overlap or touch: ribbons, or a whole net with a hole for
/// each pane.
///
/// The work cannot be interrupted from within: whoever may want it to stop runs it in a worker or a process of its own,
/// and ends that. The limits on points, edges and their crossings bound how long it takes.
///
/// # Errors
/// Coordinates or options out of range; too much; no lead.
///
/// # Examples
/// ```
/// use centre_lines::{CentreLineOptions, FilledShape, FillRule, centre_lines};
/// use plane::PanelPoint;
///
/// // A frame 6 mm wide around an opening of 88 × 88 mm.
/// let square = |low: f64, high: f64| {
///     [[low, low], [high, low], [high, high], [low, high]].map(PanelPoint::from).to_vec()
/// };
/// let frame = FilledShape { rings: vec![square(0.0, 100.0), square(6.0, 94.0)], fill: FillRule::EvenOdd };
/// let found = centre_lines(&[frame], &CentreLineOptions::default())?;
/// let border = found.border.expect("a border");
/// assert_eq!(border.points.len(), 4);
/// assert!((border.width_mm - 6.0).abs() < 0.01);
/// # Ok::<(), centre_lines::CentreLinesFault>(())
/// ```
pub fn centre_lines(
    shapes: &[FilledShape],
    options: &CentreLineOptions,
) -> Result<CentreLines, CentreLinesFault> {
    options.check()?;
    find(&union(shapes)?, options)
}

/// The centre lines of the lead that some rings enclose.
pub(crate) fn find(rings: &Rings, options: &CentreLineOptions) -> Result<CentreLines, CentreLinesFault> {
    // Grown a little, shapes that nearly touch overlap. Centre lines stay where they are; widths are corrected.
    let by = options.touching_gap_mm / 2.0;
    let grown = grown(rings, by, SHARPEST_CORNER);
    let region = region(&grown)?;
    let (samples, skeleton) = skeleton_of(&region)?;
    let runs = runs(&samples, &skeleton, LEAST_WIDTH_SHARE * region.mean_width());
    let net = net(&samples, &skeleton, runs, by);
    let panes = points_in_holes(&region.rings).into_iter().map(PanelPoint::from).collect();
    Ok(CentreLines { panes, ..lines(&net, options.tolerance_mm, bounds(rings)) })
}

fn skeleton_of(region: &Region) -> Result<(Vec<Sample>, Skeleton), CentreLinesFault> {
    let samples = samples(region)?;
    let triangles = triangles(&samples);
    let skeleton = skeleton(&samples, &triangles);
    Ok((samples, skeleton))
}

/// Lower-left and upper-right corner of a box around rings that are not empty.
fn bounds(rings: &Rings) -> [DVec2; 2] {
    let points = rings.iter().flatten().copied().map(DVec2::from);
    points.fold([DVec2::INFINITY, DVec2::NEG_INFINITY], |[low, high], p| [low.min(p), high.max(p)])
}
