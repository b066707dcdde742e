//! Why a view cannot be computed.

use plane::RoomPoint;

/// Why a view cannot be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ViewingError {
    /// There is no place of that name.
    #[error("no viewing place “{found}”; the scene has {}", quoted(known))]
    UnknownPlace {
        /// The place requested.
        found: String,
        /// The places that exist.
        known: Vec<String>,
    },
    /// The viewing position is not inside the room.
    #[error(
        "“{place}” is not inside the room: the eye is {:.2} m from the left wall, {:.2} m above the floor and {:.2} m from \
         the glass, the room {:.2} m wide, {:.2} m high and {:.2} m deep; move it",
        found_m[0], found_m[1], found_m[2], size_m[0], size_m[1], size_m[2]
    )]
    PlaceOutside {
        /// Its name.
        place: String,
        /// The eye.
        found_m: RoomPoint,
        /// Width, height, depth of the room, m.
        size_m: [f64; 3],
    },
    /// The time or the sky is invalid.
    #[error(transparent)]
    Daylight(#[from] daylight::DaylightError),
    /// The time cannot be read.
    #[error(transparent)]
    Time(#[from] daylight::TimeError),
    /// How well the figures are known cannot be computed.
    #[error("how well these figures are known cannot be computed: {0}")]
    Ranges(#[from] crate::causes::RangesError),
}

fn quoted(names: &[String]) -> String {
    names.iter().map(|name| format!("“{name}”")).collect::<Vec<_>>().join(", ")
}
