//! What can keep a view from being worked out.

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ViewingError {
    /// No place of that name.
    #[error("places: expected one of {known:?}, found “{found}”")]
    UnknownPlace {
        /// What was asked for.
        found: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The viewing position is not inside the room.
    #[error(
        "place “{place}”: expected a position inside the room of {size_m:?} m and before the glass, found {found_m:?}"
    )]
    PlaceOutside {
        /// Its name.
        place: String,
        /// The position in the room frame, m.
        found_m: [f64; 3],
        /// Width, height, depth of the room, m.
        size_m: [f64; 3],
    },
    /// The time or the sky cannot be.
    #[error(transparent)]
    Daylight(#[from] daylight::DaylightError),
    /// The time cannot be read.
    #[error(transparent)]
    Time(#[from] daylight::TimeError),
}
