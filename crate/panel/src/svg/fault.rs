//! What can be wrong with an SVG file, and notes about its doubtful parts.

use crate::drawing::Line;

/// A place in the file, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// Line.
    pub line: u32,
    /// Character in the line.
    pub column: u32,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)
    }
}

/// An SVG file from which no drawing can be made: every fault found, at least one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the SVG has {} fault(s): {}", faults.len(), list(faults))]
pub struct DrawingError {
    /// The faults, in the file's order.
    pub faults: Vec<DrawingFault>,
}

fn list(faults: &[DrawingFault]) -> String {
    faults.iter().map(|fault| fault.to_string()).collect::<Vec<_>>().join("; ")
}

/// One reason why no drawing can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DrawingFault {
    /// More of something than one file may hold.
    #[error("the file has more than {limit} {what}; simplify it or split it into several panels")]
    TooMuch {
        /// What was counted.
        what: &'static str,
        /// The limit.
        limit: usize,
    },
    /// The text is not well-formed XML.
    #[error("not readable as SVG: {reason}")]
    NotXml {
        /// What the XML reader says, with the place.
        reason: String,
    },
    /// The document is something else.
    #[error("expected an svg element at the top, found {found}")]
    NotSvg {
        /// Name of the top element.
        found: String,
    },
    /// The file gives no real size for the drawing.
    #[error(
        "svg.width: expected a size with a unit such as 600mm, found {found:?}; \
         give the file a width in mm, or give the real width of the sight size (sight_width_mm)"
    )]
    NoRealSize {
        /// The width attribute, empty if there is none.
        found: String,
    },
    /// An attribute that cannot be read.
    #[error("{place}: {element}.{attribute}: expected {expected}, found {found:?}")]
    BadAttribute {
        /// Where.
        place: Place,
        /// The element's name.
        element: String,
        /// The attribute's name.
        attribute: String,
        /// What was expected.
        expected: &'static str,
        /// The text found, shortened.
        found: String,
    },
    /// Path data that cannot be read.
    #[error("{place}: path.d: {reason}, found at character {character}")]
    BadPath {
        /// Where.
        place: Place,
        /// What was wrong.
        reason: String,
        /// Place in the path data, counted from 1.
        character: usize,
    },
    /// A coordinate beyond [`crate::COORDINATE_LIMIT_MM`], or NaN after its transforms.
    #[error("{place}: {element}: expected coordinates within ±20 000 mm, found {found}")]
    OutOfRange {
        /// Where.
        place: Place,
        /// The element's name.
        element: String,
        /// The coordinate, mm.
        found: f64,
    },
    /// Something that cannot be a line.
    #[error("{place}: {element} within {layer} is not a line; {remedy}")]
    NotALine {
        /// Where.
        place: Place,
        /// The element's name.
        element: String,
        /// The layer's name.
        layer: &'static str,
        /// What to do.
        remedy: &'static str,
    },
    /// A line too wide to be a lead or bar, or without width.
    #[error("{place}: {element}: expected a stroke-width above 0 and at most 200 mm, found {found} mm")]
    BadWidth {
        /// Where.
        place: Place,
        /// The element's name.
        element: String,
        /// The width, mm.
        found: f64,
    },
    /// No sight size.
    #[error(
        "expected one closed shape named sight-size (as id, class or layer name), found none; \
         draw the edge of the daylight opening and give it that name"
    )]
    NoSightSize,
    /// A second sight size.
    #[error("{place}: expected one shape named sight-size, found a second; join them into one closed path")]
    SecondSightSize {
        /// Where the second is.
        place: Place,
    },
    /// The sight size has no width or no height.
    #[error("{place}: the sight size is {width_mm} by {height_mm} mm, expected a panel")]
    EmptySightSize {
        /// Where.
        place: Place,
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
    },
    /// An option outside its range.
    #[error("options.{option}: expected {expected}, found {found}")]
    BadOption {
        /// The option's name.
        option: &'static str,
        /// The range.
        expected: &'static str,
        /// The value.
        found: f64,
    },
}

/// A note about an SVG file for its author.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum DrawingNote {
    /// Elements outside the named layers.
    #[error("{place}: {count} {element} element(s) outside sight-size, cutlines and bars; left out")]
    Ignored {
        /// The elements' name.
        element: String,
        /// How many.
        count: usize,
        /// Where the first is.
        place: Place,
    },
    /// Hidden elements.
    #[error("{place}: {count} hidden element(s); left out")]
    Hidden {
        /// How many.
        count: usize,
        /// Where the first is.
        place: Place,
    },
    /// Lines without a stroke width.
    #[error("{count} line(s) without a stroke-width, the first {first}; treated as {width_mm} mm")]
    DefaultWidth {
        /// How many.
        count: usize,
        /// The first.
        first: Line,
        /// The width given to them, mm.
        width_mm: f64,
    },
    /// A lead thinner than any came.
    #[error(
        "{count} line(s) thinner than 1 mm, the first {first} with {width_mm:.3} mm: thinner than any lead; \
         give the leads' face widths, or ignore the file's widths (ignore_stroke_widths)"
    )]
    Hairline {
        /// How many.
        count: usize,
        /// The first.
        first: Line,
        /// Its width, mm.
        width_mm: f64,
    },
    /// A transform that scales unevenly, so that no single width is right.
    #[error("{place}: stretched unevenly, by {ratio:.3}; its width is the mean")]
    StretchedUnevenly {
        /// Where.
        place: Place,
        /// Larger over smaller scale.
        ratio: f64,
    },
    /// Style rules whose selector is not a single element name, class or id.
    #[error("{count} style rule(s) with combined selectors; ignored")]
    StyleRules {
        /// How many.
        count: usize,
    },
}
