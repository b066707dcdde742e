//! Moves of plates and layers of paint, outward and inward.

use crate::document::{Face, Makeup, Paint, Scene};
use crate::layers::{Layer, LayerAt, PaintClass, layers, paints_on};

/// Whether a layer can move outward and inward, in this order.
pub fn can_move(scene: &Scene, makeup: &Makeup, layer: Layer) -> [bool; 2] {
    [Face::Outside, Face::Inside].map(|toward| {
        let mut after = makeup.clone();
        moved(scene, &mut after, layer, toward, None);
        after != *makeup
    })
}

/// Moves a layer one place, or until it lies beyond `past`; returns its new key.
pub(crate) fn moved(
    scene: &Scene,
    makeup: &mut Makeup,
    layer: Layer,
    toward: Face,
    past: Option<Layer>,
) -> Option<Layer> {
    let order = layers(scene, makeup);
    let start = order.iter().find(|at| at.layer == layer)?;
    let target = past.and_then(|past| order.iter().find(|at| at.layer == past).copied());
    match layer {
        Layer::Plate { .. } => {
            let mut at = start.plate;
            let goal = match (past, target) {
                (None, _) => {
                    if toward == Face::Outside {
                        at.checked_sub(1)?
                    } else {
                        at + 1
                    }
                }
                (Some(_), Some(target)) => target.plate,
                (Some(_), None) => return Some(layer),
            };
            while at != goal && goal < makeup.plates.len() {
                let next = if goal < at { at - 1 } else { at + 1 };
                makeup.plates.swap(at, next);
                for paint in &mut makeup.paint {
                    paint.plate = if paint.plate == at {
                        next
                    } else if paint.plate == next {
                        at
                    } else {
                        paint.plate
                    };
                }
                at = next;
            }
            Some(Layer::Plate { plate: makeup.plates.len() - 1 - at })
        }
        Layer::Paint { .. } => {
            let mut paint = start.paint?;
            // A paint can take no more steps than there are faces and other paints.
            for _ in 0..makeup.paint.len() + 2 * makeup.plates.len() {
                let Some(now) = paint_moved(makeup, paint, toward) else { break };
                paint = now;
                if target.is_none_or(|target| beyond(scene, makeup, paint, target, toward)) {
                    break;
                }
            }
            name_of(scene, makeup, paint)
        }
        Layer::Protective
        | Layer::OuterAir
        | Layer::Deposit { .. }
        | Layer::Gap { .. }
        | Layer::Flash { .. } => Some(layer),
    }
}

/// Whether a paint now lies beyond the layer that was at `target`.
fn beyond(scene: &Scene, makeup: &Makeup, paint: usize, target: LayerAt, toward: Face) -> bool {
    let order = layers(scene, makeup);
    let of_paint = order.iter().position(|at| at.paint == Some(paint));
    // Plates, gaps and flashes keep their keys while a paint moves; a paint that it passes moves one place
    // the other way.
    let of_target = match target.paint {
        Some(index) if index != paint => order.iter().position(|at| at.paint == Some(index)),
        Some(_) => return true,
        None => order.iter().position(|at| at.layer == target.layer),
    };
    match (of_paint, of_target) {
        (Some(a), Some(b)) => {
            if toward == Face::Outside {
                a < b
            } else {
                a > b
            }
        }
        _ => true,
    }
}

/// Moves a paint one place: past its neighbour on the face, which changes their firings, or to the next face.
/// Returns its new index, or `None` if it can go no further.
fn paint_moved(makeup: &mut Makeup, paint: usize, toward: Face) -> Option<usize> {
    let Paint { plate, face, kind, .. } = makeup.paint[paint];
    let on_face = paints_on(makeup, plate, face);
    let place = on_face.iter().position(|at| at.paint == Some(paint))?;
    // Away from the glass is later in the firing.
    let neighbour = if toward == face { place.checked_add(1) } else { place.checked_sub(1) };
    if let Some(other) = neighbour.and_then(|place| on_face.get(place)).and_then(|at| at.paint) {
        let (a, b) = (makeup.paint[paint].firing, makeup.paint[other].firing);
        if a == b {
            makeup.paint.swap(paint, other);
            return Some(other);
        }
        (makeup.paint[paint].firing, makeup.paint[other].firing) = (b, a);
        return Some(paint);
    }
    let stain = PaintClass::of(kind) == PaintClass::Stain;
    let (plate, face) = match (toward, face, stain) {
        (Face::Outside, Face::Inside, _) => (plate, Face::Outside),
        (Face::Inside, Face::Outside, false) => (plate, Face::Inside),
        // Stain is fired on outside faces only.
        (Face::Outside, Face::Outside, true) => (plate.checked_sub(1)?, Face::Outside),
        (Face::Outside, Face::Outside, false) => (plate.checked_sub(1)?, Face::Inside),
        (Face::Inside, _, _) => (plate + 1, Face::Outside),
    };
    if plate >= makeup.plates.len() {
        return None;
    }
    (makeup.paint[paint].plate, makeup.paint[paint].face) = (plate, face);
    Some(paint)
}

/// The key of a layer of paint.
pub(crate) fn name_of(scene: &Scene, makeup: &Makeup, paint: usize) -> Option<Layer> {
    layers(scene, makeup).into_iter().find(|at| at.paint == Some(paint)).map(|at| at.layer)
}
