//! Which line is the window's edge.

use kurbo::Rect;

use crate::near::Near;
use crate::part::{Part, bounds};

/// How far lines may run out of the window, mm.
pub(crate) const OVERRUN_MM: f64 = 25.0;

/// Closed lines that are considered, the largest first.
const MOST_CANDIDATES: usize = 32;

/// An end this near to a closed line ends on it, mm.
pub(crate) const TOUCH_MM: f64 = 3.0;

/// Agreement between a frame and the file's page, as a share of the page.
const PAGE_SHARE: f64 = 0.01;

/// Of these parts, the one that is the edge. `lines` are all that may end on it.
///
/// It surrounds all lines. Of several, it is the outermost on which lines end; a frame as large as the page on which none
/// does is the page's own.
pub(crate) fn edge_among(candidates: &[&Part], lines: &[&Part], page: Option<Rect>) -> Option<usize> {
    let all = bounds(lines.iter().copied())?;
    let surrounds = |part: &Part| {
        let Some([low, high]) = bounds([part]) else { return false };
        (0..2).all(|axis| low[axis] <= all[0][axis] + OVERRUN_MM && high[axis] >= all[1][axis] - OVERRUN_MM)
    };
    let mut largest: Vec<(f64, usize)> = candidates
        .iter()
        .enumerate()
        .map(|(k, part)| (part.area_mm2(), k))
        .filter(|(area, _)| *area > 0.0)
        .collect();
    largest.sort_by(|a, b| b.0.total_cmp(&a.0));
    let around: Vec<usize> = largest
        .into_iter()
        .take(MOST_CANDIDATES)
        .map(|(_, k)| k)
        .filter(|&k| surrounds(candidates[k]) || frames_all_but_itself(candidates[k], lines))
        .collect();
    let touched = |k: usize| {
        let near = Near::new(std::iter::once(candidates[k]));
        let open = lines.iter().filter(|part| !part.closed);
        open.flat_map(|part| [part.points[0], part.points[part.points.len() - 1]])
            .any(|end| near.within(end, TOUCH_MM))
    };
    around.iter().copied().find(|&k| touched(k)).or_else(|| {
        let is_page = |k: usize| page.is_some_and(|page| is_frame(candidates[k], page));
        around.iter().copied().find(|&k| !is_page(k) || around.len() == 1)
    })
}

/// Whether everything else lies within: the largest line of a drawing whose page frame is larger still.
fn frames_all_but_itself(part: &Part, lines: &[&Part]) -> bool {
    let others = lines
        .iter()
        .copied()
        .filter(|other| !std::ptr::eq(*other, part))
        .filter(|other| !other.closed || other.area_mm2() <= part.area_mm2());
    let (Some([low, high]), Some(all)) = (bounds([part]), bounds(others)) else { return false };
    (0..2).all(|axis| low[axis] <= all[0][axis] + OVERRUN_MM && high[axis] >= all[1][axis] - OVERRUN_MM)
}

/// Whether a part is a rectangle as large as the page.
pub(crate) fn is_frame(part: &Part, page: Rect) -> bool {
    let Some([low, high]) = bounds([part]) else { return false };
    let (w, h) = (high[0] - low[0], high[1] - low[1]);
    // One that crosses itself may enclose more than once.
    let is_rectangle = (part.area_mm2() / (w * h) - 1.0).abs() < 0.01;
    let (share_w, share_h) = (w / page.width() - 1.0, h / page.height() - 1.0);
    // Also larger than the page: a background with a margin.
    is_rectangle && share_w > -PAGE_SHARE && share_h > -PAGE_SHARE
}
