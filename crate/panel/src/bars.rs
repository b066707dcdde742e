//! Saddle bars.

use crate::drawing::{Drawing, Line};
use crate::fault::{PanelFault, PanelNote};
use crate::flatten::polylines;
use crate::panel::SaddleBar;
use plane::{PanelPoint, bounds};

/// Reads the bars of a drawing. A bar that draws nothing, or lies outside the opening's bounding box, gets a note
/// but stays in the list, so that indices match those of the drawing.
pub(crate) fn bars_from_drawing(
    drawing: &Drawing,
    opening: [PanelPoint; 2],
    tolerance_mm: f64,
    faults: &mut Vec<PanelFault>,
    notes: &mut Vec<PanelNote>,
) -> Vec<SaddleBar> {
    let read = |(index, bar): (usize, &crate::drawing::Bar)| {
        let line = Line::Bar(index);
        let parts = polylines(line, &bar.path, bar.diameter_mm, tolerance_mm, faults);
        let mut axis = Vec::new();
        let mut length_mm = 0.0;
        for part in parts {
            let mut points = part.points;
            if part.closed
                && let Some(&first) = points.first()
            {
                points.push(first);
            }
            let length: f64 = points.windows(2).map(|p| (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1])).sum();
            if length > 0.0 {
                length_mm += length;
                axis.push(points);
            } else {
                notes.push(PanelNote::NoLength { line, at: points[0] });
            }
        }
        let bar_box = bounds(axis.iter().flatten());
        match (bar_box, opening) {
            (None, _) => notes.push(PanelNote::DrawsNothing { line }),
            (Some([low, high]), [from, to]) if (0..2).any(|i| high[i] < from[i] || low[i] > to[i]) => {
                notes.push(PanelNote::WhollyOutside { line, at: axis[0][0] });
            }
            _ => {}
        }
        SaddleBar { axis, diameter_mm: bar.diameter_mm, length_mm }
    };
    drawing.bars.iter().enumerate().map(read).collect()
}
