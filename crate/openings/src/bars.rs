//! Saddle bars across the opening.

use crate::fault::{MOST_LENGTH_MM, OpeningFault, check_length};
use crate::lattice::Lattice;
use crate::shape::Shape;
use crate::text::polyline;
use panel::{Bar, DEFAULT_BAR_DIAMETER_MM};
use plane::{PanelPoint, PanelVector};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Distance between saddle bars, mm, if nothing else is asked for. Common practice, no source.
pub const DEFAULT_BAR_SPACING_MM: f64 = 450.0;

/// A bar is moved to a row of the filling no farther off than this share of the distance between bars. Ours.
const TO_ROW: f64 = 0.25;

/// Horizontal saddle bars at equal distances over the height.
///
/// Each is moved to the nearest row of crossings of the filling, if that is less than a quarter of their distance
/// away: there the leads hide it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Bars {
    /// About how far apart, mm, 100–20 000.
    pub spacing_mm: f64,
    /// Diameter, mm, 3–50.
    pub diameter_mm: f64,
}

impl Default for Bars {
    /// 450 mm apart, 3/8 inch ([`panel::DEFAULT_BAR_DIAMETER_MM`]).
    fn default() -> Self {
        Bars { spacing_mm: DEFAULT_BAR_SPACING_MM, diameter_mm: DEFAULT_BAR_DIAMETER_MM }
    }
}

impl Bars {
    pub(crate) fn check(&self, faults: &mut Vec<OpeningFault>) {
        check_length("bars.spacing_mm", self.spacing_mm, [100.0, MOST_LENGTH_MM], "", faults);
        check_length("bars.diameter_mm", self.diameter_mm, [3.0, 50.0], "", faults);
    }

    /// The bars, from the bottom, each from edge to edge of the opening. For checked measurements.
    pub(crate) fn bars(&self, shape: &Shape, lattice: Option<&Lattice>) -> Vec<Bar> {
        let parts = (shape.height / self.spacing_mm).round().max(1.0);
        let spacing = shape.height / parts;
        let outline = shape.ring(0.0);
        let across = PanelVector::new(1.0, 0.0);
        let bar = |i: usize| {
            let start = PanelPoint::new(0.0, to_row(i as f64 * spacing, TO_ROW * spacing, lattice));
            let [from, to] = outline.stretch(start, across)?;
            let path = polyline(&[start + across * from, start + across * to]);
            Some(Bar { path, diameter_mm: self.diameter_mm })
        };
        (1..parts as usize).filter_map(bar).collect()
    }
}

/// The height of the row nearest to `y`, if it is near enough; else `y`.
fn to_row(y: f64, reach: f64, lattice: Option<&Lattice>) -> f64 {
    let Some(lattice) = lattice else { return y };
    let (low, step) = (lattice.origin[1], lattice.row_height());
    let row = low + ((y - low) / step).round() * step;
    if (row - y).abs() < reach { row } else { y }
}
