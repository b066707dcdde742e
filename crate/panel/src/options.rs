//! How a drawing is made into a panel.

use crate::fault::PanelFault;

/// Half the heart of a came, mm; hearts 1.2 mm thick are sold. Trade catalogues; no single source.
pub const HALF_HEART_MM: f64 = 0.6;

/// Clearance between the heart and the glass edge, mm. Common practice, no source.
pub const CUT_CLEARANCE_MM: f64 = 0.2;

/// How a drawing is made into a panel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelOptions {
    /// Lines that miss one another by at most this are joined, mm, 0.001–5. Strips between lines narrower than
    /// this are closed.
    pub snap_mm: f64,
    /// Largest deviation between a curve and its chords, mm, 0.001–1.
    pub flatten_tolerance_mm: f64,
    /// Half the thickness of the leads' hearts, mm, 0–5.
    pub half_heart_mm: f64,
    /// Clearance between heart and glass, mm, 0–5.
    pub cut_clearance_mm: f64,
}

impl Default for PanelOptions {
    /// Snapping 0.2 mm, flattening 0.02 mm, half heart 0.6 mm, clearance 0.2 mm.
    fn default() -> Self {
        PanelOptions {
            snap_mm: 0.2,
            flatten_tolerance_mm: 0.02,
            half_heart_mm: HALF_HEART_MM,
            cut_clearance_mm: CUT_CLEARANCE_MM,
        }
    }
}

impl PanelOptions {
    /// Options outside their ranges.
    pub(crate) fn faults(&self) -> Vec<PanelFault> {
        let lengths = [
            ("snap_mm", self.snap_mm, 0.001..=5.0, "0.001 to 5"),
            ("flatten_tolerance_mm", self.flatten_tolerance_mm, 0.001..=1.0, "0.001 to 1"),
            ("half_heart_mm", self.half_heart_mm, 0.0..=5.0, "0 to 5"),
            ("cut_clearance_mm", self.cut_clearance_mm, 0.0..=5.0, "0 to 5"),
        ];
        lengths
            .into_iter()
            .filter(|(_, found, range, _)| !range.contains(found))
            .map(|(option, found, _, expected)| PanelFault::BadOption { option, expected, found })
            .collect()
    }
}
