//! Why no window can be made of a file.

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

/// Why no window can be made of a file.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ImportError {
    /// More of something than one file may hold.
    #[error("the file has more than {limit} {what}; simplify it or split it into several windows")]
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
    /// The file gives no real size, and none was given.
    #[error("the file does not say how large the window is; give its real width in mm (--width-mm)")]
    NeedsWidth,
    /// An option outside its range.
    #[error("{option}: expected {expected}, found {found}")]
    BadOption {
        /// The option's name.
        option: &'static str,
        /// The range.
        expected: &'static str,
        /// The value.
        found: String,
    },
    /// No layer of this name.
    #[error("layer {found:?}: expected one of {}", known.join(", "))]
    NoSuchLayer {
        /// The name given.
        found: String,
        /// The names there are.
        known: Vec<String>,
    },
    /// Nothing in the file can be the window's edge.
    #[error("found no closed outline for the window: {why}")]
    NoOutline {
        /// What was looked for.
        why: &'static str,
    },
    /// The lines named as the window's edge do not go around it.
    #[error(
        "the window's edge is open by {gap_mm:.0} mm at {:.0}, {:.0} mm from the lower left of its lines, too much to be \
         closed by itself; draw its missing line",
        at_mm[0],
        at_mm[1]
    )]
    OpenEdge {
        /// The widest gap, mm. Where the real width was given, the edge's lines are taken to be as wide.
        gap_mm: f64,
        /// Its middle, mm from the lower left of the edge's lines in the file: x right, y up.
        at_mm: [f64; 2],
    },
    /// The lines lie beyond what a window can be.
    #[error(
        "the window would be {width_mm:.0} by {height_mm:.0} mm, expected at most 20 000 mm; check the real width"
    )]
    TooLarge {
        /// Width, mm.
        width_mm: f64,
        /// Height, mm.
        height_mm: f64,
    },
    /// The drawing was read, but no panel can be made of it.
    #[error(transparent)]
    Panel(#[from] panel::PanelError),
    /// Leads or panes drawn as shapes could not be followed: the layer, why, and what to do.
    #[error("filled shapes: {0}")]
    Shapes(String),
}
