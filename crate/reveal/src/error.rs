use thiserror::Error;

/// Why an opening or a sky is refused.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum RevealError {
    /// A measurement outside its range, or NaN.
    #[error("{what}: expected {expected}, found {found}")]
    OutsideRange {
        /// The measurement's field name.
        what: &'static str,
        /// The accepted range.
        expected: &'static str,
        /// The value given.
        found: f64,
    },
    /// An outline with too few or too many corners.
    #[error("outline: expected 3 to {most} corners, found {found}")]
    Corners {
        /// The most that are accepted.
        most: usize,
        /// The number given.
        found: usize,
    },
    /// An outline that has no area, is wound clockwise or has a notch.
    #[error(
        "outline: expected a convex ring, anticlockwise, found a turn to the right or none at corner {corner}"
    )]
    NotConvex {
        /// The corner, from 0.
        corner: usize,
    },
    /// An outline with an edge that meets another one.
    #[error(
        "outline: expected a ring that does not cross itself, found a crossing at the edge after corner {corner}"
    )]
    CrossesItself {
        /// The corner, from 0.
        corner: usize,
    },
    /// A splay that makes sides run into each other, which only an outline with notches, such as foils, allows.
    #[error(
        "splay: expected less splay or depth, so that the sides do not meet, found them meeting at corner {corner} of the \
         outline"
    )]
    Splay {
        /// The corner, from 0.
        corner: usize,
    },
    /// A sky that does not exist.
    #[error(transparent)]
    Sky(#[from] daylight::DaylightError),
}

/// `found` itself if it lies in the range; NaN never does.
pub(crate) fn within(
    what: &'static str,
    found: f64,
    range: std::ops::RangeInclusive<f64>,
    expected: &'static str,
) -> Result<f64, RevealError> {
    if range.contains(&found) { Ok(found) } else { Err(RevealError::OutsideRange { what, expected, found }) }
}
