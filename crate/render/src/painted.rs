//! From a resolved scene to joints, fades and strokes.

use scene::{Face, ResolvedPiece, ResolvedWindow};

use crate::{
    glazing::Part,
    model::{Came, Joint, Overlay},
};

/// Edges of a brush stroke: how soft they are and how far its hairs stray, mm. 0.3–0.8 mm together, common look, no
/// source.
const STROKE_SOFTNESS_MM: f64 = 0.35;
const STROKE_RAGGED_MM: f64 = 0.22;
/// Edges of a bar's shadow through the glass before it, mm. Assumption.
const BAR_SOFTNESS_MM: f64 = 2.5;
/// Points closer than this are one, mm.
const SAME_POINT_MM: f64 = 1e-6;

/// A joint and the directions in which its leads leave.
pub(crate) fn joint_model(panel: &panel::Panel, joint: &panel::Joint) -> Joint {
    let ends = joint.leads.iter().filter_map(|lead| panel.leads.get(*lead)).flat_map(|lead| {
        let near = |p: &[f64; 2]| (p[0] - joint.at[0]).hypot(p[1] - joint.at[1]) < SAME_POINT_MM;
        let forward: Vec<_> = lead.points.iter().collect();
        let backward: Vec<_> = lead.points.iter().rev().collect();
        [forward, backward].into_iter().filter(move |line| line.first().is_some_and(|p| near(p))).filter_map(
            |line| {
                // The chords of a curve are short: look as far along as solder runs.
                let ahead = |p: &&&[f64; 2]| (p[0] - joint.at[0]).hypot(p[1] - joint.at[1]) >= lead.face_mm;
                let to = line.iter().find(ahead).or(line.last())?;
                let [x, y] = [to[0] - joint.at[0], to[1] - joint.at[1]];
                let length = x.hypot(y);
                (length > 0.0).then(|| Came { toward: [x / length, y / length], face_mm: lead.face_mm })
            },
        )
    });
    let mut cames: Vec<Came> = Vec::new();
    for end in ends {
        // A ring that closes here stands twice in the list.
        if !cames.contains(&end) {
            cames.push(end);
        }
    }
    Joint { at: joint.at, cames }
}

/// Mean over a piece's mattings, weighted by density.
fn mean_of_mattings(piece: &ResolvedPiece, of: impl Fn(&scene::Brushwork) -> Option<f64>) -> f64 {
    let mattings = piece.makeup.paints.iter().zip(&piece.brushwork);
    let (sum, weight) = mattings
        .filter(|(paint, _)| paint.kind == glass::PaintKind::Matting)
        .filter_map(|(paint, work)| Some((paint.density.max(0.0), of(work)?)))
        .fold((0.0, 0.0), |(sum, weight), (density, value)| (sum + density * value, weight + density));
    if weight > 0.0 { sum / weight } else { 0.0 }
}

pub(crate) fn stipple(piece: &ResolvedPiece) -> f64 {
    mean_of_mattings(piece, |work| Some(work.stipple)).clamp(0.0, 1.0)
}

/// How far a piece's matting fades, several of them over the mean of their lengths, mm (0 for even paint), and the
/// density of what varies.
pub(crate) fn fading(piece: &ResolvedPiece) -> (f64, f64) {
    let fades = |work: &scene::Brushwork| Some(work.fade_mm).filter(|f| *f > 0.0);
    let density = |varies: &dyn Fn(&scene::Brushwork) -> bool| {
        let paints = piece.makeup.paints.iter().zip(&piece.brushwork);
        let mattings = paints.filter(|(paint, work)| paint.kind == glass::PaintKind::Matting && varies(work));
        mattings.map(|(paint, _)| paint.density.max(0.0)).sum::<f64>()
    };
    let fading = density(&|work| work.fade_mm > 0.0);
    if fading > 0.0 { (mean_of_mattings(piece, fades), fading) } else { (0.0, density(&|_| true)) }
}

/// What lies over a piece: bars behind its glass, then its strokes in the order of their paints.
pub(crate) fn overlays(window: &ResolvedWindow, index: usize) -> Vec<Overlay> {
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
    let bars = window.panel.bars.iter().zip(&window.bar_sides).filter(|(_, side)| **side == Face::Outside);
    let behind: Vec<panel::BrushLine> = bars
        .flat_map(|(bar, _)| bar.axis.iter().map(|a| panel::BrushLine::even(a, false, bar.diameter_mm)))
        .collect();
    let covered = share(&behind);
    add(Part::BeforeBar, behind, covered, BAR_SOFTNESS_MM, 0.0);
    for (k, (paint, work)) in piece.makeup.paints.iter().zip(&piece.brushwork).enumerate() {
        if !work.lines.is_empty() {
            let part = Part::UnderStrokes(k);
            add(part, work.lines.clone(), paint.coverage, STROKE_SOFTNESS_MM, STROKE_RAGGED_MM);
        }
    }
    found
}
