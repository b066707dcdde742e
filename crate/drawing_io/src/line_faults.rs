//! Checks the lines of a drawing that is no file any more, and mends its open ends.

use std::collections::BTreeMap;

use panel::{Drawing, Panel, PanelError, PanelOptions, panel_from_drawing};
use plane::PanelPoint;

use crate::check::found;
use crate::fault::{DrawingFault, FaultKind, in_reading_order, is_within};
use crate::lines::{Lines, OVERSHOOT_MM};
use crate::mend::{MendedLine, mended};
use crate::near::Near;

/// Least tolerance within which ends are joined, mm: a panel joins what misses by less as it is built.
pub const LEAST_MEND_MM: f64 = 0.2;

/// Largest tolerance within which ends are joined, mm: a line ending farther from the next was meant to end there.
pub const MOST_MEND_MM: f64 = OVERSHOOT_MM;

/// Most rounds of mending. Each leaves fewer open ends; of ends close beside one another, a round mends one.
const MOST_ROUNDS: usize = 500;

/// A fault of a drawing's lines; of an open end, also what mends it.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFault {
    /// What it is, where, and in words.
    pub fault: DrawingFault,
    /// For an open end, how far the nearest line is away, mm; for one just outside the window, how far its edge is.
    pub distance_mm: Option<f64>,
    /// The nearest point of that line.
    pub to_mm: Option<PanelPoint>,
    /// For such an end within the tolerance, its line so that it meets the nearest one.
    pub mended: Option<MendedLine>,
}

/// What should be looked at in the lines of a drawing, in reading order. `panel` is made of the drawing with the usual
/// options. Ends at most `within_mm` from another line can be mended.
///
/// Lines that missed one another by so little that the panel joins them are no faults.
pub fn line_faults(drawing: &Drawing, panel: &Panel, within_mm: f64) -> Vec<LineFault> {
    let lines = Lines::of(drawing);
    let all = Near::new(lines.outline.iter().chain(lines.cutlines.iter().flatten()));
    let found = found(&lines, panel, PanelOptions::default().snap_mm, false);
    let mut faults: Vec<LineFault> = found
        .into_iter()
        .filter(|(fault, _)| fault.kind != FaultKind::Joined)
        .map(|(fault, end)| LineFault {
            distance_mm: end.as_ref().and_then(|end| end.gap_mm),
            to_mm: end.as_ref().and_then(|end| end.nearest),
            mended: end
                .as_ref()
                .filter(|end| end.gap_mm.is_some_and(|gap| is_within(gap, within_mm)))
                .and_then(|end| mended(drawing, &lines, &all, end, fault.kind)),
            fault,
        })
        .collect();
    faults.sort_by(|a, b| in_reading_order(&a.fault, &b.fault));
    faults
}

/// A drawing with its open ends mended.
#[derive(Debug, Clone, PartialEq)]
pub struct Mended {
    /// The lines that changed.
    pub lines: Vec<MendedLine>,
    /// How many open ends there were before, those just outside the window among them.
    pub open_ends_before: usize,
    /// How many there are now.
    pub open_ends: usize,
}

/// Mends every open end at most `within_mm` from another line, and every end at most as far outside the window.
///
/// Of two ends that face one another, one is moved to the other. What would leave no fewer open ends is not done.
///
/// # Errors
/// No panel can be made of the drawing.
pub fn mend_all(drawing: &Drawing, within_mm: f64) -> Result<Mended, PanelError> {
    let mut drawing = drawing.clone();
    let panel = panel_from_drawing(&drawing, &PanelOptions::default())?;
    let mut faults = line_faults(&drawing, &panel, within_mm);
    let open_ends_before = open_ends(&faults);
    let mut changed: BTreeMap<usize, String> = BTreeMap::new();
    for _ in 0..MOST_ROUNDS {
        let round = independent(&faults, within_mm);
        if round.is_empty() {
            break;
        }
        let mut now = drawing.clone();
        for MendedLine { index, path } in &round {
            now.cutlines[*index].path.clone_from(path);
        }
        let Ok(panel) = panel_from_drawing(&now, &PanelOptions::default()) else { break };
        let left = line_faults(&now, &panel, within_mm);
        if open_ends(&left) >= open_ends(&faults) {
            break;
        }
        (drawing, faults) = (now, left);
        changed.extend(round.into_iter().map(|line| (line.index, line.path)));
    }
    let lines = changed.into_iter().map(|(index, path)| MendedLine { index, path }).collect();
    Ok(Mended { lines, open_ends_before, open_ends: open_ends(&faults) })
}

/// How many ends meet no line, or lie outside the window by no more than a line that should end on its edge.
fn open_ends(faults: &[LineFault]) -> usize {
    let is_end = |kind| matches!(kind, FaultKind::NearMiss | FaultKind::OpenEnd | FaultKind::Overshoot);
    faults.iter().filter(|found| is_end(found.fault.kind)).count()
}

/// Mended lines of which none was moved to another's end, at most one for each line.
fn independent(faults: &[LineFault], within_mm: f64) -> Vec<MendedLine> {
    let mut taken: Vec<PanelPoint> = Vec::new();
    let mut lines: BTreeMap<usize, MendedLine> = BTreeMap::new();
    for LineFault { fault, to_mm, mended, .. } in faults {
        let (Some(to), Some(line)) = (to_mm, mended) else { continue };
        let meets =
            |point: &PanelPoint| (*point - fault.at_mm).length().min((*point - *to).length()) <= within_mm;
        if taken.iter().any(meets) || lines.contains_key(&line.index) {
            continue;
        }
        taken.extend([fault.at_mm, *to]);
        lines.insert(line.index, line.clone());
    }
    lines.into_values().collect()
}
