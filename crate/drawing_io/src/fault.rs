//! A fault of a drawing: what it is, where, and in words.

use plane::PanelPoint;
use schemars::JsonSchema;
use serde::Serialize;

/// What kind of thing should be looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum FaultKind {
    /// A near miss within the tolerance was joined.
    Joined,
    /// A line ends close to another without meeting it.
    NearMiss,
    /// A line ends in the middle of a piece.
    OpenEnd,
    /// A line ends just past the line that it meets.
    Overshoot,
    /// A line was drawn twice.
    Duplicate,
    /// A piece too narrow to be glass.
    Sliver,
    /// A line or a part of it lies outside the window.
    Outside,
    /// Something could not be read.
    NotUnderstood,
}

/// Something that should be looked at.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawingFault {
    /// What it is.
    pub kind: FaultKind,
    /// Where, mm from the lower left of the sight size: x right, y up.
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PanelPoint,
    /// In words.
    pub words: String,
}

/// From the top, and from the left.
pub(crate) fn in_reading_order(a: &DrawingFault, b: &DrawingFault) -> std::cmp::Ordering {
    b.at_mm[1].total_cmp(&a.at_mm[1]).then(a.at_mm[0].total_cmp(&b.at_mm[0]))
}

/// A length in mm, to two or three figures.
pub(crate) fn length(mm: f64) -> String {
    let (digits, _) = last_digit(mm);
    let text = format!("{mm:.digits$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Whether a length is at most another, to the figures in which words give it: what is said to be 2.4 mm is within 2.4.
pub(crate) fn is_within(mm: f64, most_mm: f64) -> bool {
    let (_, unit) = last_digit(mm);
    mm < most_mm + 0.5 * unit
}

/// How many digits after the decimal point words give, and the unit of the last, mm.
fn last_digit(mm: f64) -> (usize, f64) {
    if mm < 0.1 {
        (3, 0.001)
    } else if mm < 10.0 {
        (2, 0.01)
    } else {
        (1, 0.1)
    }
}
