//! The leads of a window.

use crate::fault::{OpeningFault, check_length};
use panel::{DEFAULT_BORDER_FACE_MM, DEFAULT_CUTLINE_FACE_MM};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Face widths of lead, mm: cames from a few millimetres to a few centimetres wide are sold. Common practice, no
/// source.
const FACES_MM: [f64; 2] = [2.0, 50.0];

/// Glass that must show beside the widest lead, mm: half the least width of a piece between the leads' faces. Ours.
const LEAST_SHOWING_MM: f64 = 1.0;

/// Full face widths of the leads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Leads {
    /// Lead all round the window, mm, 2–50. Half of it shows.
    pub border_face_mm: f64,
    /// All other leads, mm, 2–50.
    pub face_mm: f64,
}

impl Default for Leads {
    /// 12 mm round the window, 6 mm inside ([`panel::DEFAULT_BORDER_FACE_MM`], [`panel::DEFAULT_CUTLINE_FACE_MM`]).
    fn default() -> Self {
        Leads { border_face_mm: DEFAULT_BORDER_FACE_MM, face_mm: DEFAULT_CUTLINE_FACE_MM }
    }
}

impl Leads {
    pub(crate) fn check(&self, faults: &mut Vec<OpeningFault>) {
        check_length("leads.border_face_mm", self.border_face_mm, FACES_MM, "", faults);
        check_length("leads.face_mm", self.face_mm, FACES_MM, "", faults);
    }

    /// Whether both widths are in their range.
    pub(crate) fn are_possible(&self) -> bool {
        let [least, most] = FACES_MM;
        [self.border_face_mm, self.face_mm].iter().all(|face| (least..=most).contains(face))
    }

    /// Least radius of a circle in a piece of the field, out to the leads' centre lines, mm: more than half of the
    /// widest lead beside it, so that some glass shows.
    pub(crate) fn least_radius_mm(&self, has_border: bool) -> f64 {
        let edge = if has_border { self.face_mm } else { self.border_face_mm };
        edge.max(self.face_mm) / 2.0 + LEAST_SHOWING_MM
    }
}
