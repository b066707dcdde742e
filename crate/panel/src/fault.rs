//! What can be wrong with a drawing, with the place of each fault.

use crate::drawing::Line;
use plane::PanelPoint;

/// A drawing from which no panel can be made: every fault found, at least one.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the drawing has {} fault(s): {}", faults.len(), list(faults))]
pub struct PanelError {
    /// The faults, in the drawing's order.
    pub faults: Vec<PanelFault>,
}

fn list(faults: &[PanelFault]) -> String {
    faults.iter().map(|fault| fault.to_string()).collect::<Vec<_>>().join("; ")
}

/// One reason why no panel can be made. Places are [x, y] in mm, y up.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PanelFault {
    /// Path data that cannot be read.
    #[error("{line}.path: {reason}, found at character {character}; expected SVG path data in mm")]
    BadPath {
        /// The line.
        line: Line,
        /// What was wrong.
        reason: String,
        /// Place in the path data, counted from 1.
        character: usize,
    },
    /// A coordinate beyond [`crate::COORDINATE_LIMIT_MM`].
    #[error("{line}.path: expected coordinates within ±20 000 mm, found {found}; is the drawing in mm?")]
    OutOfRange {
        /// The line.
        line: Line,
        /// The coordinate, mm.
        found: f64,
    },
    /// A face width or diameter that is not a positive number of at most 200 mm.
    #[error("{line}: expected a width above 0 and at most 200 mm, found {found}")]
    BadWidth {
        /// The line.
        line: Line,
        /// The width, mm.
        found: f64,
    },
    /// The outline draws nothing.
    #[error("outline.path: expected one closed path, found none; draw the sight size")]
    NoOutline,
    /// The outline has several parts.
    #[error("outline.path: expected one closed path, found {parts} parts; a panel has one opening")]
    OutlineParts {
        /// How many parts.
        parts: usize,
    },
    /// The outline's ends do not meet.
    #[error(
        "outline.path: expected a closed path, found a gap of {gap_mm:.3} mm between {:.2}, {:.2} and its start; close it",
        at[0], at[1]
    )]
    OutlineOpen {
        /// The last point.
        at: PanelPoint,
        /// Distance from the last point to the first, mm.
        gap_mm: f64,
    },
    /// The outline crosses or touches itself.
    #[error("outline.path: crosses or touches itself at {:.2}, {:.2}; draw it as one simple loop", at[0], at[1])]
    OutlineCrossesItself {
        /// Where.
        at: PanelPoint,
    },
    /// The outline encloses less than 1 mm².
    #[error("outline.path: encloses {area_mm2} mm², expected a panel")]
    OutlineEmpty {
        /// The area, mm².
        area_mm2: f64,
    },
    /// The outline's bounding box does not start at the origin.
    #[error(
        "outline.path: expected its lower left at 0, 0, found {:.3}, {:.3}; move the whole drawing there",
        at[0], at[1]
    )]
    OutlineOffOrigin {
        /// Lower left of the bounding box.
        at: PanelPoint,
    },
    /// More line segments or crossings than one drawing may hold.
    #[error("the drawing has more than {limit} {what}; split it into several panels")]
    TooMuch {
        /// What was counted.
        what: &'static str,
        /// The limit.
        limit: usize,
    },
    /// An edit of a cutline that does not exist.
    #[error("{line}: no such cutline; the drawing has {count}, counted from 0")]
    NoSuchLine {
        /// The line.
        line: Line,
        /// How many cutlines the drawing has.
        count: usize,
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

/// A note about a panel: a fault in the drawing, or how one was repaired.
///
/// The panel remains usable. Places are [x, y] in mm, y up; pieces and lines are given by index.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PanelNote {
    /// A line that missed another by at most the snapping distance was joined to it.
    #[error("{line}: missed another line by {gap_mm:.3} mm at {:.2}, {:.2}; joined", at[0], at[1])]
    Joined {
        /// The line that was moved.
        line: Line,
        /// Where it was.
        at: PanelPoint,
        /// How far it was moved, mm.
        gap_mm: f64,
    },
    /// Two lines ran so close together that no glass fits between them; they became one lead.
    #[error("{line}: runs within {gap_mm:.3} mm of {other} near {:.2}, {:.2}; treated as one lead", at[0], at[1])]
    RunsTogether {
        /// The line that was left out there.
        line: Line,
        /// The line that was kept.
        other: Line,
        /// A point of the strip.
        at: PanelPoint,
        /// Mean width of the strip between them, mm; 0 where they coincide.
        gap_mm: f64,
    },
    /// A line runs out of the opening; the part outside was left out.
    #[error("{line}: runs {length_mm:.1} mm outside the opening near {:.2}, {:.2}; left out there", at[0], at[1])]
    RunsOutside {
        /// The line.
        line: Line,
        /// A point of the part outside.
        at: PanelPoint,
        /// Length outside, mm.
        length_mm: f64,
    },
    /// A line lies wholly outside the opening, or along its edge, and divides nothing.
    #[error("{line}: lies outside the opening at {:.2}, {:.2}; left out", at[0], at[1])]
    WhollyOutside {
        /// The line.
        line: Line,
        /// Its first point.
        at: PanelPoint,
    },
    /// A line without length.
    #[error("{line}: has no length at {:.2}, {:.2}; left out", at[0], at[1])]
    NoLength {
        /// The line.
        line: Line,
        /// Its place.
        at: PanelPoint,
    },
    /// A line without any point.
    #[error("{line}: draws nothing; left out")]
    DrawsNothing {
        /// The line.
        line: Line,
    },
    /// A piece that its leads cover completely.
    #[error("pieces[{piece}] at {:.2}, {:.2}: its leads cover it completely; no light comes through", at[0], at[1])]
    PieceCovered {
        /// The piece.
        piece: usize,
        /// A point inside it.
        at: PanelPoint,
    },
    /// The leads cover a narrow neck of a piece, so that several separate parts show.
    #[error("pieces[{piece}] at {:.2}, {:.2}: its leads cover a narrow neck; {parts} separate parts show", at[0], at[1])]
    PieceParted {
        /// The piece.
        piece: usize,
        /// A point inside it.
        at: PanelPoint,
        /// How many parts show.
        parts: usize,
    },
    /// A piece too thin to cut: between the hearts of its leads, nothing or more than one part is left.
    #[error("pieces[{piece}] at {:.2}, {:.2}: too thin between the hearts of its leads to be cut as one piece", at[0], at[1])]
    PieceTooThin {
        /// The piece.
        piece: usize,
        /// A point inside it.
        at: PanelPoint,
        /// Parts left between the hearts.
        parts: usize,
    },
    /// A piece that surrounds others: a hole in glass, which cannot be cut with a wheel.
    #[error("pieces[{piece}]: has a hole at {:.2}, {:.2}; connect the island to another line", at[0], at[1])]
    PieceHoled {
        /// The piece with the hole.
        piece: usize,
        /// A point on the hole's edge.
        at: PanelPoint,
    },
}

impl PanelNote {
    /// True if the glazier could not build what is drawn; false if the drawing was only repaired.
    pub fn is_fault(&self) -> bool {
        matches!(
            self,
            PanelNote::PieceCovered { .. }
                | PanelNote::PieceParted { .. }
                | PanelNote::PieceTooThin { .. }
                | PanelNote::PieceHoled { .. }
        )
    }
}
