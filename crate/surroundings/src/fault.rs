//! Why surroundings are refused.

use std::ops::RangeInclusive;

/// A measurement or a direction that cannot be computed with.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{field}: expected {expected}, found {found}")]
pub struct Fault {
    /// The field, such as `street.distance_m`.
    pub field: &'static str,
    /// What was expected.
    pub expected: &'static str,
    /// What was found.
    pub found: String,
}

/// Refuses a value outside the range; NaN is always outside.
pub(crate) fn within(
    field: &'static str,
    value: f64,
    range: &RangeInclusive<f64>,
    expected: &'static str,
) -> Result<(), Fault> {
    if range.contains(&value) { Ok(()) } else { Err(Fault { field, expected, found: value.to_string() }) }
}
