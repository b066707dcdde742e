//! Why surroundings are refused.

use std::ops::RangeInclusive;

use plane::RoomVector;

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

/// Refuses a vector that is not of length one.
pub(crate) fn unit(field: &'static str, vector: RoomVector) -> Result<(), Fault> {
    if (vector.length() - 1.0).abs() < 1e-6 {
        return Ok(());
    }
    Err(Fault { field, expected: "a unit vector", found: format!("{vector:?}") })
}
