//! The drawing of a panel: its sight size, its cutlines and its bars, as a document stores them.

/// Full face width of a border lead whose drawing gives none, mm.
///
/// Wide outer lead, about 12 mm, half of it in the groove: common practice of the trade, no source.
pub const DEFAULT_BORDER_FACE_MM: f64 = 12.0;

/// Full face width of an inner lead whose drawing gives none, mm. Common practice of the trade, no source.
pub const DEFAULT_CUTLINE_FACE_MM: f64 = 6.0;

/// Diameter of a saddle bar whose drawing gives none, mm: a 3/8 inch round bar, common practice.
pub const DEFAULT_BAR_DIAMETER_MM: f64 = 9.525;

/// Longest coordinate a drawing may hold, mm from the origin.
///
/// Twenty metres: far beyond any one panel, and small enough for exact integer geometry.
pub const COORDINATE_LIMIT_MM: f64 = 20_000.0;

/// A line drawing in the panel plane.
///
/// Paths are SVG path data (all of its commands) in mm: x right and y **up** as seen from inside the room,
/// origin at the lower left of the sight size's bounding box.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The daylight opening and the lead around it.
    pub outline: Outline,
    /// Centre lines of the leads inside the opening, in any order and direction.
    pub cutlines: Vec<Cutline>,
    /// Saddle bars, which stand in front of the glass and divide nothing.
    pub bars: Vec<Bar>,
}

/// The sight size: one closed path, the edge of the daylight opening.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// SVG path data, mm, y up; one closed part that does not cross itself.
    pub path: String,
    /// Full face width of the border lead, mm. Its heart runs along the path: half of the face shows.
    pub face_mm: f64,
}

/// One cutline: the centre line of a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct Cutline {
    /// SVG path data, mm, y up; any number of open or closed parts.
    pub path: String,
    /// Full face width of the lead, mm, above 0.
    pub face_mm: f64,
}

/// One saddle bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// SVG path data of the bar's axis, mm, y up.
    pub path: String,
    /// Diameter of the round bar, mm, above 0.
    pub diameter_mm: f64,
}

/// One line of a [`Drawing`], for messages; indices count from 0 in the drawing's order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Line {
    /// The sight size.
    Outline,
    /// `cutlines[i]`.
    Cutline(usize),
    /// `bars[i]`.
    Bar(usize),
}

impl std::fmt::Display for Line {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Line::Outline => write!(f, "outline"),
            Line::Cutline(index) => write!(f, "cutlines[{index}]"),
            Line::Bar(index) => write!(f, "bars[{index}]"),
        }
    }
}
