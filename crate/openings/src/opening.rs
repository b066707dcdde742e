//! The shapes of openings and their measurements.

use crate::fault::{OpeningFault, check_length};
use crate::shape::{Head, Shape};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Shortest side of an opening, mm. Ours: less is no window.
pub const LEAST_OPENING_MM: f64 = 50.0;

/// Longest side of an opening, mm: a millimetre below what a drawing may hold ([`panel::COORDINATE_LIMIT_MM`]), because
/// rounding may set a point of an arc a hair outside it.
pub const MOST_OPENING_MM: f64 = panel::COORDINATE_LIMIT_MM - 1.0;

/// Lowest rise of an arch, mm. Ours: less is a straight head.
const LEAST_RISE_MM: f64 = 1.0;

/// How much more than half the width a pointed arch rises at least, mm. Ours: with less it has no point.
const LEAST_POINT_MM: f64 = 1.0;

/// The daylight opening (sight size) of a window, by its measurements: widths and heights overall, 50–19 999 mm.
///
/// All shapes are symmetrical about their vertical axis.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "shape", rename_all = "snake_case", deny_unknown_fields)]
pub enum Opening {
    /// Four straight sides.
    Rectangle {
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
    },
    /// A semicircle on straight sides.
    RoundHeaded {
        /// Width, mm: twice the radius of the head.
        width_mm: f64,
        /// Height to the crown, mm, half the width or more.
        height_mm: f64,
    },
    /// A two-centred pointed arch on straight sides.
    ///
    /// The centres lie on the springing line, so that the arcs continue the sides without a corner. With half the
    /// width a and the rise h, each arc's radius is r = (a² + h²) / 2a, its centre r inward from its own springing:
    /// the circle through the springing and the apex (Pythagoras). h = a√3 gives the equilateral arch, r = 2a; less a
    /// dropped one, more a lancet.
    Pointed {
        /// Width, mm.
        width_mm: f64,
        /// Height to the apex, mm, at least the rise.
        height_mm: f64,
        /// Height of the apex above the springing line, mm, more than half the width by at least 1 mm. Without it,
        /// the arch is equilateral.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rise_mm: Option<f64>,
    },
    /// A circular arc, lower than a semicircle, on straight sides.
    ///
    /// With half the width a and the rise h, the radius is r = (a² + h²) / 2h, the centre on the axis r below the
    /// crown.
    Segmental {
        /// Width, mm.
        width_mm: f64,
        /// Height to the crown, mm, at least the rise.
        height_mm: f64,
        /// Height of the crown above the springing line, mm, from 1 mm to half the width.
        rise_mm: f64,
    },
    /// A full circle.
    Round {
        /// Diameter, mm.
        diameter_mm: f64,
    },
}

impl Opening {
    /// The shape, if its measurements are possible; else adds every fault found.
    pub(crate) fn shape(&self, faults: &mut Vec<OpeningFault>) -> Option<Shape> {
        let before = faults.len();
        let sizes = [LEAST_OPENING_MM, MOST_OPENING_MM];
        let mut size = |field, found_mm| check_length(field, found_mm, sizes, "", faults);
        let (width, height) = match *self {
            Opening::Round { diameter_mm } => {
                size("opening.diameter_mm", diameter_mm);
                (diameter_mm, diameter_mm)
            }
            Opening::Rectangle { width_mm, height_mm }
            | Opening::RoundHeaded { width_mm, height_mm }
            | Opening::Pointed { width_mm, height_mm, .. }
            | Opening::Segmental { width_mm, height_mm, .. } => {
                size("opening.width_mm", width_mm);
                size("opening.height_mm", height_mm);
                (width_mm, height_mm)
            }
        };
        // Everything below is measured against the width.
        if faults.len() > before {
            return None;
        }
        let half = width / 2.0;
        let head = match *self {
            Opening::Rectangle { .. } => Head::Straight,
            Opening::Round { .. } => Head::Circle,
            Opening::RoundHeaded { .. } => {
                let why = " (at least half the width, for a semicircular head)";
                check_length("opening.height_mm", height, [half, MOST_OPENING_MM], why, faults);
                Head::Arcs { centre_x: half, centre_y: height - half, radius: half }
            }
            Opening::Pointed { rise_mm, .. } => {
                let rise = rise_mm.unwrap_or(half * 3_f64.sqrt());
                let why = " (above half the width: a pointed head; up to it, use a segmental one)";
                check_length("opening.rise_mm", rise, [half + LEAST_POINT_MM, MOST_OPENING_MM], why, faults);
                // An impossible rise has a fault of its own, and says nothing about the height.
                if faults.len() == before {
                    check_height(height, rise, faults);
                }
                let radius = (half * half + rise * rise) / (2.0 * half);
                Head::Arcs { centre_x: radius, centre_y: height - rise, radius }
            }
            Opening::Segmental { rise_mm, .. } => {
                let why = " (up to half the width, which is a semicircle)";
                check_length("opening.rise_mm", rise_mm, [LEAST_RISE_MM, half], why, faults);
                if faults.len() == before {
                    check_height(height, rise_mm, faults);
                }
                let radius = (half * half + rise_mm * rise_mm) / (2.0 * rise_mm);
                Head::Arcs { centre_x: half, centre_y: height - radius, radius }
            }
        };
        (faults.len() == before).then_some(Shape { width, height, head })
    }
}

/// For a possible rise.
fn check_height(height: f64, rise: f64, faults: &mut Vec<OpeningFault>) {
    let why = " (at least the rise of the head)";
    check_length("opening.height_mm", height, [rise.max(LEAST_OPENING_MM), MOST_OPENING_MM], why, faults);
}
