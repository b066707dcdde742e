//! What lies over the glass of a piece: bars behind it and strokes of the brush.

use scene::{Face, ResolvedWindow};

use crate::glazing::makeup::Part;
use crate::window::model::Overlay;

/// Edges of a brush stroke: their softness, and how far its hairs stray, mm. 0.3–0.8 mm together, common look, no
/// source.
const STROKE_SOFTNESS_MM: f64 = 0.35;
const STROKE_RAGGED_MM: f64 = 0.22;
/// Softness of the edges of a bar's shadow through the glass in front of it, mm. Assumption.
const BAR_SOFTNESS_MM: f64 = 2.5;

/// The bars behind a window's glass.
pub(crate) fn bars_behind(window: &ResolvedWindow) -> Vec<panel::BrushLine> {
    let bars = window.panel.bars.iter().zip(&window.bar_sides).filter(|(_, side)| **side == Face::Outside);
    bars.flat_map(|(bar, _)| bar.axis.iter().map(|a| panel::BrushLine::even(a, false, bar.diameter_mm)))
        .collect()
}

/// What lies over a piece: the bars behind its glass, then its strokes in the order of their paints.
pub(crate) fn overlays(window: &ResolvedWindow, index: usize, behind: &[panel::BrushLine]) -> Vec<Overlay> {
    let (piece, shape) = (&window.pieces[index], &window.panel.pieces[index]);
    let share = |lines: &[panel::BrushLine]| {
        let region = shape.light.iter().flat_map(panel::Polygon::rings);
        let share = panel::covered_area_mm2(lines, region) / shape.light_area_mm2;
        if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 }
    };
    let mut found = Vec::new();
    let mut add = |part: Part, lines: Vec<panel::BrushLine>, share: f64, softness_mm, ragged_mm| {
        if share > 0.0 {
            let makeup = part.number(index);
            found.push(Overlay { piece: index, makeup, lines, softness_mm, ragged_mm, share });
        }
    };
    let covered = share(behind);
    add(Part::BeforeBar, behind.to_vec(), covered, BAR_SOFTNESS_MM, 0.0);
    for (k, (paint, work)) in piece.makeup.paints.iter().zip(&piece.brushwork).enumerate() {
        if !work.lines.is_empty() {
            let part = Part::UnderStrokes(k);
            add(part, work.lines.clone(), paint.coverage, STROKE_SOFTNESS_MM, STROKE_RAGGED_MM);
        }
    }
    found
}
