use thiserror::Error;

/// Why a place, an instant or a sky is invalid.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum DaylightError {
    /// A value outside the range in which its formula is valid, or NaN.
    #[error("{what}: expected {expected}, found {found}")]
    OutsideRange {
        /// The value's field name.
        what: &'static str,
        /// The accepted range.
        expected: &'static str,
        /// The value given.
        found: f64,
    },
    /// A CIE general sky type that does not exist.
    #[error("cie_type: expected a type from 1 to 15 (ISO 15469), found {0}")]
    UnknownSkyType(u8),
    /// An instant beyond the years for which the sun's position is accurate.
    #[error(
        "{0} lies outside the years −2000 to 6000, for which the sun's position is known; choose another year"
    )]
    YearOutsideRange(String),
    /// An own building or a block that cannot be computed with.
    #[error(transparent)]
    Surroundings(#[from] surroundings::Fault),
    /// A date or time that cannot be read or does not exist.
    #[error(transparent)]
    Time(#[from] TimeError),
}

/// Why a date, a time or a zone cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum TimeError {
    /// Text that is not an instant with its offset.
    #[error("\"{0}\" is not an instant: write it as 2026-11-25T15:00:00Z or with an offset such as +01:00")]
    NotAnInstant(String),
    /// Text that is not a civil time.
    #[error("\"{0}\" is not a civil time: write it as 2026-11-25T15:00, without a zone")]
    NotACivilTime(String),
    /// Text that is not a date.
    #[error("\"{0}\" is not a date: write it as 2026-11-25")]
    NotADate(String),
    /// A zone that the IANA database does not contain.
    #[error("\"{0}\" is not a time zone of the IANA database: write it as Europe/Berlin")]
    UnknownZone(String),
    /// An instant too far away to be represented.
    #[error("the instant lies outside the years −9999 to 9999")]
    OutsideCalendar,
}

/// `found` itself if `accept` contains it, otherwise [`DaylightError::OutsideRange`]; NaN is never accepted.
pub(crate) fn within(
    what: &'static str,
    found: f64,
    range: std::ops::RangeInclusive<f64>,
    expected: &'static str,
) -> Result<f64, DaylightError> {
    if range.contains(&found) {
        Ok(found)
    } else {
        Err(DaylightError::OutsideRange { what, expected, found })
    }
}
