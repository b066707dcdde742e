//! What can be wrong with the shapes.

/// Why no centre lines were found.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CentreLinesFault {
    /// A coordinate that is not a number, or beyond [`crate::COORDINATE_LIMIT_MM`].
    #[error(
        "shape {shape}, ring {ring}: expected coordinates within ±20 000 mm, found {found}; are the shapes in mm?"
    )]
    OutOfRange {
        /// The shape, counted from 0.
        shape: usize,
        /// The ring in it, counted from 0.
        ring: usize,
        /// The coordinate, mm.
        found: f64,
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
    /// More points than one net may have.
    #[error(
        "the shapes have more than {limit} points; give fewer shapes at once, or flatten curves less finely"
    )]
    TooManyPoints {
        /// The limit.
        limit: usize,
    },
    /// Edges that cross one another so often that joining the shapes would take too long.
    #[error(
        "the shapes' edges cross about {found:.0} times, more than {limit} in a net; give only the leads' shapes"
    )]
    TooManyCrossings {
        /// Estimate.
        found: f64,
        /// The limit.
        limit: usize,
    },
    /// A boundary too long for the width of the leads.
    #[error(
        "the leads' edges are {length_mm:.0} mm long in all and the leads about {width_mm:.2} mm wide, \
         more than one net may have; are the shapes in mm?"
    )]
    TooLong {
        /// Length of all edges, mm.
        length_mm: f64,
        /// Mean width of the leads, mm.
        width_mm: f64,
    },
    /// The shapes cover nothing, or leave nothing between them.
    #[error("the shapes hold no lead: expected filled outlines of leads, or panes with gaps between them")]
    NoLead,
}
