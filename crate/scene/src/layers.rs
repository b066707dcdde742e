//! The layers of a piece from outside to inside, and their names.
//!
//! Plates are counted **from the inside** here: 0 is the plate toward the room.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::document::{Face, Makeup, Paint, PaintKind, Scene};
use crate::glazing::find_glass;

/// A layer of a piece, identified so that other pieces can have the same layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "layer", rename_all = "snake_case", deny_unknown_fields)]
#[schemars(rename = "LayerKey")]
pub enum Layer {
    /// The protective glazing in front of the window; not part of the piece.
    Protective,
    /// The air behind the protective glazing.
    OuterAir,
    /// Dirt or corrosion on the outermost or innermost face of the piece.
    Deposit {
        /// The face it is on.
        face: Face,
    },
    /// What lies between a plate and the next one inside.
    Gap {
        /// The plate on the gap's inner side.
        plate: usize,
    },
    /// The glass of a plate.
    Plate {
        /// Its number, from the inside.
        plate: usize,
    },
    /// The flash of a plate.
    Flash {
        /// Its number, from the inside.
        plate: usize,
    },
    /// A fired layer.
    Paint {
        /// The plate it is on, from the inside.
        plate: usize,
        /// The face it is on.
        face: Face,
        /// Its kind, without tone or colour.
        kind: PaintClass,
        /// Its index among its kind on this face, counted from the glass.
        nth: usize,
    },
}

/// Kinds of paint, without tone or colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the kinds of paint")]
pub enum PaintClass {
    Trace,
    Matting,
    Enamel,
    Stain,
}

impl PaintClass {
    /// The class of a kind of paint.
    pub fn of(kind: PaintKind) -> Self {
        match kind {
            PaintKind::Trace => Self::Trace,
            PaintKind::Matting => Self::Matting,
            PaintKind::Enamel(_) => Self::Enamel,
            PaintKind::Stain(_) => Self::Stain,
        }
    }
}

/// A layer and its place in one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LayerAt {
    /// What it is.
    pub layer: Layer,
    /// Its plate as the document counts, from outside; for a gap, the plate on its inner side.
    pub plate: usize,
    /// Index in the document's list of paints.
    pub paint: Option<usize>,
}

/// The layers of a make-up from outside to inside, without protective glazing and dirt.
pub fn layers(scene: &Scene, makeup: &Makeup) -> Vec<LayerAt> {
    let mut all = Vec::new();
    let last = makeup.plates.len().saturating_sub(1);
    for (k, plate) in makeup.plates.iter().enumerate() {
        let from_inside = last - k;
        let at = |layer| LayerAt { layer, plate: k, paint: None };
        let flashed = find_glass(scene, &plate.glass).is_some_and(|glass| glass.flash.is_some());
        let flash =
            |face| (flashed && plate.flash_face == face).then(|| at(Layer::Flash { plate: from_inside }));
        if k > 0 {
            all.push(at(Layer::Gap { plate: from_inside }));
        }
        let mut outside = paints_on(makeup, k, Face::Outside);
        outside.reverse();
        all.extend(outside);
        all.extend(flash(Face::Outside));
        all.push(at(Layer::Plate { plate: from_inside }));
        all.extend(flash(Face::Inside));
        all.extend(paints_on(makeup, k, Face::Inside));
    }
    all
}

/// The paints on a face, outward from the glass: in firing order, those of one firing as listed.
pub(crate) fn paints_on(makeup: &Makeup, plate: usize, face: Face) -> Vec<LayerAt> {
    let mut on: Vec<(usize, &Paint)> =
        makeup.paint.iter().enumerate().filter(|(_, p)| p.plate == plate && p.face == face).collect();
    sorting::by_key(&mut on, |(_, p)| p.firing);
    let from_inside = makeup.plates.len().saturating_sub(1).saturating_sub(plate);
    let classes: Vec<PaintClass> = on.iter().map(|(_, p)| PaintClass::of(p.kind)).collect();
    on.iter()
        .enumerate()
        .map(|(i, (index, _))| {
            let kind = classes[i];
            let nth = classes[..i].iter().filter(|c| **c == kind).count();
            LayerAt {
                layer: Layer::Paint { plate: from_inside, face, kind, nth },
                plate,
                paint: Some(*index),
            }
        })
        .collect()
}
