//! A strip of glass all round, inside the opening's edge.

use crate::fault::{MOST_LENGTH_MM, OpeningFault, check_length};
use crate::leads::Leads;
use crate::ring::{Edge, Part, Ring};
use crate::shape::Shape;
use plane::PanelPoint;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// About how long the pieces of a border are, mm, if nothing else is asked for. Common practice, no source.
pub const DEFAULT_BORDER_PIECE_MM: f64 = 150.0;

/// Width of glass that shows between the leads of a border at least, mm. Ours.
const LEAST_SHOWING_MM: f64 = 5.0;

/// A lead across the border keeps at least this distance from the next corner of the field, mm, and a quarter of the
/// border's width. Ours.
const LEAST_DISTANCE_MM: f64 = 15.0;

/// A strip of glass all round, parallel to the opening's edge.
///
/// It is divided at the corners, the springing points and the apex or crown (a circle: at its four quarters), and
/// between them into equal pieces, across the strip and so radially in an arc. The leads at corners are mitred.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Border {
    /// Width between the leads' centre lines, mm: below a third of the opening's smaller dimension, and wide enough
    /// that 5 mm of glass show between the leads.
    pub width_mm: f64,
    /// About how long each piece is, mm, the border's width or more. Without it, 150 mm
    /// ([`DEFAULT_BORDER_PIECE_MM`]), or the border's width if that is more.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub piece_mm: Option<f64>,
}

/// A lead across the border.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Joint {
    /// On the field's edge.
    pub(crate) inner: PanelPoint,
    /// On the opening's edge.
    pub(crate) outer: PanelPoint,
}

impl Border {
    pub(crate) fn check(&self, shape: &Shape, leads: &Leads, faults: &mut Vec<OpeningFault>) {
        let most = shape.width.min(shape.height) / 3.0;
        // Impossible leads have faults of their own, and say nothing about the border.
        let faces = if leads.are_possible() { leads.border_face_mm + leads.face_mm } else { 0.0 };
        let least = faces / 2.0 + LEAST_SHOWING_MM;
        if least > most {
            let why = "no border, because the opening is too small or the leads are too wide for one";
            let found_mm = self.width_mm;
            faults.push(OpeningFault::Impossible { field: "border.width_mm", why, found_mm });
            return;
        }
        let before = faults.len();
        let why = " (between its leads and a third of the opening's smaller dimension)";
        check_length("border.width_mm", self.width_mm, [least, most], why, faults);
        if let Some(piece) = self.piece_mm {
            // Nor does an impossible width say anything about the pieces.
            let least = if faults.len() == before { self.width_mm } else { least };
            let why = " (at least the border's width)";
            check_length("border.piece_mm", piece, [least, MOST_LENGTH_MM], why, faults);
        }
    }

    /// Length of a piece, mm.
    pub(crate) fn piece_mm(&self) -> f64 {
        self.piece_mm.unwrap_or(DEFAULT_BORDER_PIECE_MM).max(self.width_mm)
    }

    /// The leads across the border. For checked measurements.
    pub(crate) fn joints(&self, shape: &Shape) -> Vec<Joint> {
        let (outer, middle) = (shape.ring(0.0), shape.ring(self.width_mm / 2.0));
        let inner = shape.ring(self.width_mm);
        let mut joints = Vec::new();
        for (i, edge) in inner.edges.iter().enumerate() {
            let before = &inner.edges[(i + inner.edges.len() - 1) % inner.edges.len()];
            let (Some(outside), Some(midway)) = (outer.edge(edge.part), middle.edge(edge.part)) else {
                continue;
            };
            if !self.is_short(before, edge)
                && let Some(outer) = outer_corner(&outer, before.part, outside)
            {
                joints.push(Joint { inner: edge.from, outer });
            }
            let pieces = (midway.length() / self.piece_mm()).round().max(1.0) as usize;
            for k in 1..pieces {
                let at = midway.at(k as f64 / pieces as f64);
                let (inner, outer) = (edge.project(at), outside.project(at));
                if edge.holds(inner, LEAST_DISTANCE_MM.max(self.width_mm / 4.0)) {
                    joints.push(Joint { inner, outer });
                }
            }
        }
        joints
    }

    /// Whether the corner between two edges is a springing point so near the bottom that a lead there would leave a
    /// remnant below it.
    fn is_short(&self, before: &Edge, edge: &Edge) -> bool {
        [(before, edge), (edge, before)].iter().any(|(side, head)| {
            matches!(side.part, Part::RightSide | Part::LeftSide)
                && matches!(head.part, Part::RightHead | Part::LeftHead)
                && side.length() < (self.width_mm / 2.0).max(LEAST_DISTANCE_MM)
        })
    }
}

/// The corner of the opening that a corner of the field belongs to: the start of `edge`, but beside the bottom edge the
/// end of that, because the field may have lost its straight sides.
fn outer_corner(outer: &Ring, before: Part, edge: &Edge) -> Option<PanelPoint> {
    if before == Part::Bottom { outer.edge(before).map(|bottom| bottom.to) } else { Some(edge.from) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::opening::Opening;

    #[test]
    fn inner_arcs_keep_their_centres() {
        // Equilateral, 600 wide: centres at the springings, radius 600; with a border of 50 mm, 550.
        let opening = Opening::Pointed { width_mm: 600.0, height_mm: 1200.0, rise_mm: None };
        let shape = opening.shape(&mut Vec::new()).expect("possible");
        let springing = 1200.0 - 300.0 * 3_f64.sqrt();
        let ring = shape.ring(50.0);
        let apex = ring.edge(Part::LeftHead).expect("an arc").from;
        assert!(((apex - PanelPoint::new(600.0, springing)).length() - 550.0).abs() < 1e-9);
        assert!((apex[0] - 300.0).abs() < 1e-9);
        let side = ring.edge(Part::LeftSide).expect("a side");
        assert!((side.from - PanelPoint::new(50.0, springing)).length() < 1e-9);
    }
}
