//! The sun's path over a day, to draw it.

use crate::error::DaylightError;
use crate::events::{SunDay, rise_set_in_zone};
use crate::instant::{CivilDate, Instant, LocalTime};
use crate::place::{Direction, Place};
use crate::sun::{delta_t_s, sun_position};

/// The sun's path in a civil day.
#[derive(Clone, Debug, PartialEq)]
pub struct SunPath {
    /// At equal steps from midnight to midnight, below the horizon too.
    pub points: Vec<SunPathPoint>,
    /// Its rise; `None` if it does not rise.
    pub sunrise: Option<SunPathPoint>,
    /// Its set; `None` if it does not set.
    pub sunset: Option<SunPathPoint>,
}

/// The sun at a time.
#[derive(Clone, Debug, PartialEq)]
pub struct SunPathPoint {
    /// On the zone's clocks.
    pub local: LocalTime,
    /// Where the sun is seen, refraction included.
    pub direction: Direction,
}

/// The sun's path in a civil day of an IANA zone, in steps of about `step_min` minutes (1–1440) that divide the day
/// equally, with ΔT estimated.
///
/// # Errors
/// As [`rise_set_in_zone`].
pub fn sun_path(place: &Place, date: CivilDate, zone: &str, step_min: f64) -> Result<SunPath, DaylightError> {
    let (from, to) = date.bounds(zone)?;
    let point = |instant: Instant| -> Result<SunPathPoint, DaylightError> {
        let direction = sun_position(place, instant, delta_t_s(instant))?.direction();
        Ok(SunPathPoint { local: instant.in_zone(zone)?, direction })
    };
    let length = to.minutes_since(from);
    let steps = (length / step_min.clamp(1.0, 1440.0)).round().max(1.0) as usize;
    let points = (0..=steps)
        .map(|k| point(from.plus_minutes(length * k as f64 / steps as f64)))
        .collect::<Result<_, _>>()?;
    let SunDay { sunrise, sunset, .. } = rise_set_in_zone(place, date, zone)?;
    Ok(SunPath { points, sunrise: sunrise.map(point).transpose()?, sunset: sunset.map(point).transpose()? })
}
