//! A make-up copied to another piece. Strokes lie in the panel plane: they belong to the piece they were drawn on, not to
//! its make-up.

use crate::document::{Makeup, Paint};
use crate::layers::PaintClass;

/// Share of a piece that trace lines usually cover, 0–1 (common practice, no source).
pub(crate) const USUAL_TRACE_SHARE: f64 = 0.1;

/// `copied` as the make-up of a piece that has `own`. `drawn_share` is the share of its own piece, 0–1, that each of its
/// layers of paint covers by strokes.
///
/// The layers stay in order. One of the kind of a layer drawn on the piece gets those strokes. A drawn one without such a
/// counterpart lies evenly over the same share. What is drawn on the piece and has no layer in `copied` stays, at the end.
pub(crate) fn for_piece(own: &Makeup, copied: &Makeup, drawn_share: &[Option<f64>]) -> Makeup {
    // Dirt lies on the piece itself.
    let mut makeup = Makeup { deposits: own.deposits.clone(), ..copied.clone() };
    let mut drawn: Vec<&Paint> = own.paint.iter().filter(|paint| !paint.strokes.is_empty()).collect();
    let mut keeps: Vec<Option<&Paint>> = vec![None; makeup.paint.len()];
    // First those on the same face of the same plate, then those of the same kind anywhere.
    for same_face in [true, false] {
        for (paint, keeps) in makeup.paint.iter().zip(&mut keeps).filter(|(_, keeps)| keeps.is_none()) {
            let fits = |other: &&Paint| {
                PaintClass::of(other.kind) == PaintClass::of(paint.kind)
                    && (!same_face || place(own, other) == place(copied, paint))
            };
            *keeps = drawn.iter().position(fits).map(|at| drawn.remove(at));
        }
    }
    for (k, (paint, keeps)) in makeup.paint.iter_mut().zip(keeps).enumerate() {
        if let Some(own) = keeps {
            paint.strokes.clone_from(&own.strokes);
            paint.coverage = None;
        } else if !paint.strokes.is_empty() {
            paint.strokes.clear();
            paint.coverage = drawn_share.get(k).copied().flatten().or(Some(USUAL_TRACE_SHARE));
        }
    }
    let innermost = makeup.plates.len().saturating_sub(1);
    makeup.paint.extend(
        drawn
            .into_iter()
            .map(|paint| Paint { plate: innermost.saturating_sub(from_inside(own, paint)), ..paint.clone() }),
    );
    makeup
}

/// How a copied make-up met what is drawn on a piece: whether the piece keeps strokes of its own, and whether strokes of
/// the copied make-up were left out.
pub(crate) fn strokes_of(copied: &Makeup, applied: &Makeup) -> (bool, bool) {
    let kept = applied.paint.iter().any(|paint| !paint.strokes.is_empty());
    let mut pairs = copied.paint.iter().zip(&applied.paint);
    (kept, pairs.any(|(from, to)| !from.strokes.is_empty() && to.strokes.is_empty()))
}

/// The plate of a layer, counted from the inside, and its face.
fn place(makeup: &Makeup, paint: &Paint) -> (usize, crate::document::Face) {
    (from_inside(makeup, paint), paint.face)
}

fn from_inside(makeup: &Makeup, paint: &Paint) -> usize {
    makeup.plates.len().saturating_sub(1).saturating_sub(paint.plate)
}
