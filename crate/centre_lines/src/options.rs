//! What a caller may choose.

use crate::fault::CentreLinesFault;

/// Largest coordinate, mm either side of the origin; the same as for a panel's drawing.
pub const COORDINATE_LIMIT_MM: f64 = 20_000.0;

/// How centre lines are found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CentreLineOptions {
    /// Shapes with a gap up to this between them touch, mm: above 0, at most 0.5. Programs round coordinates, mostly to
    /// 0.01 mm, so that shapes that should touch miss each other by this little. Default 0.05.
    pub touching_gap_mm: f64,
    /// The farthest that a point left out of a centre line may lie from it, mm: 0.001 to 0.5. Default 0.015.
    pub tolerance_mm: f64,
    /// Between panes only: the widest gap that is a lead, mm: above 0, at most 200. Default 20, the broadest cames
    /// (common practice, no source).
    pub widest_gap_mm: f64,
}

impl Default for CentreLineOptions {
    fn default() -> Self {
        Self { touching_gap_mm: 0.05, tolerance_mm: 0.015, widest_gap_mm: 20.0 }
    }
}

impl CentreLineOptions {
    pub(crate) fn check(&self) -> Result<(), CentreLinesFault> {
        let bad = |option, expected, found| Err(CentreLinesFault::BadOption { option, expected, found });
        if !(self.touching_gap_mm > 0.0 && self.touching_gap_mm <= 0.5) {
            return bad("touching_gap_mm", "a number above 0 and at most 0.5", self.touching_gap_mm);
        }
        if !(0.001..=0.5).contains(&self.tolerance_mm) {
            return bad("tolerance_mm", "0.001 to 0.5", self.tolerance_mm);
        }
        if !(self.widest_gap_mm > 0.0 && self.widest_gap_mm <= 200.0) {
            return bad("widest_gap_mm", "a number above 0 and at most 200", self.widest_gap_mm);
        }
        Ok(())
    }
}
