//! Why there are no ranges.

use daylight::DaylightError;
use uncertainty::{CauseError, SampleError};

/// Why there are no ranges.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RangesError {
    /// A deviation that cannot be drawn from.
    #[error(transparent)]
    Cause(#[from] CauseError),
    /// A figure that is not finite in some draw.
    #[error(transparent)]
    Sample(#[from] SampleError),
    /// Light outside that cannot be computed with something changed.
    #[error(transparent)]
    Outside(#[from] DaylightError),
}
