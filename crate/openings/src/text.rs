//! Writing path data.

use plane::PanelPoint;
use std::fmt::Write;

/// A number as it is written: to a ten-thousandth of a millimetre, and never minus zero.
fn rounded(v: f64) -> f64 {
    (v * 1e4).round() / 1e4 + 0.0
}

/// A point as it is written.
pub(crate) fn printed(p: PanelPoint) -> [u64; 2] {
    [rounded(p[0]).to_bits(), rounded(p[1]).to_bits()]
}

/// SVG path data in the making, absolute commands.
pub(crate) struct Path(String);

impl Path {
    pub(crate) fn from(p: PanelPoint) -> Self {
        Path(format!("M{} {}", rounded(p[0]), rounded(p[1])))
    }

    pub(crate) fn line_to(&mut self, p: PanelPoint) {
        let _ = write!(self.0, "L{} {}", rounded(p[0]), rounded(p[1]));
    }

    /// An arc of at most half a turn, anticlockwise as seen with y up.
    pub(crate) fn arc_to(&mut self, radius: f64, p: PanelPoint) {
        let radius = rounded(radius);
        let _ = write!(self.0, "A{radius} {radius} 0 0 1 {} {}", rounded(p[0]), rounded(p[1]));
    }

    pub(crate) fn close(mut self) -> String {
        self.0.push('Z');
        self.0
    }
}

/// A polyline as path data.
pub(crate) fn polyline(points: &[PanelPoint]) -> String {
    let mut path = Path::from(points.first().copied().unwrap_or_default());
    for &p in points.iter().skip(1) {
        path.line_to(p);
    }
    path.0
}
