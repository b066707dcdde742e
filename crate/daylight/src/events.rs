//! When the sun rises, culminates and sets.

use solar_positioning::{Horizon as Level, Location, SolarEvents};

use crate::error::{DaylightError, within};
use crate::instant::{CivilDate, Instant};
use crate::place::Place;
use crate::sun::{RISE_SET_ALTITUDE_DEG, check_year, delta_t_s};

/// A day on which the sun does not cross the horizon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Polar {
    /// Up all day.
    Day,
    /// Down all day.
    Night,
}

/// The sun's events of one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SunDay {
    /// First rise within the day.
    pub sunrise: Option<Instant>,
    /// First upper transit within the day: due south or north, or overhead.
    pub transit: Option<Instant>,
    /// Last set within the day.
    pub sunset: Option<Instant>,
    /// Present if the sun neither rises nor sets.
    pub polar: Option<Polar>,
}

/// Sunrise, transit and sunset between two instants, to the millisecond of the algorithm.
///
/// Rise and set: the sun's centre at a true altitude of −0.83337° seen from sea level, found as the root of its SPA
/// position (the report's own appendix A.2 interpolates and is up to minutes off near the polar edge). At the edge
/// of the polar seasons, the times of the real sun in real air may differ by many minutes.
///
/// # Errors
/// [`DaylightError::OutsideRange`], [`DaylightError::YearOutsideRange`].
pub fn sun_day(place: &Place, from: Instant, to: Instant, delta_t_s: f64) -> Result<SunDay, DaylightError> {
    place.check()?;
    check_year(from)?;
    within("delta_t_s", delta_t_s, -100_000.0..=100_000.0, "seconds from −100000 to 100000")?;
    let location = Location { latitude: place.latitude_deg, longitude: place.longitude_deg };
    let (start, end) = (from.julian_date(), to.max(from).julian_date());
    let level = Level::Custom(RISE_SET_ALTITUDE_DEG);
    let found = SolarEvents::new()
        .for_interval_from_julian(start, end, location, delta_t_s, level)
        .map_err(|_| DaylightError::YearOutsideRange(from.to_string()))?;
    let polar = if found.always_above() {
        Some(Polar::Day)
    } else if found.always_below() {
        Some(Polar::Night)
    } else {
        None
    };
    let instant = |jd: Option<&f64>| jd.map(|&jd| Instant::from_julian_date(jd)).transpose();
    Ok(SunDay {
        sunrise: instant(found.rises.first())?,
        transit: instant(found.transits.first())?,
        sunset: instant(found.sets.last())?,
        polar,
    })
}

/// Sunrise, transit and sunset of a calendar day at a fixed offset from UTC.
///
/// # Errors
/// As [`sun_day`]; [`DaylightError::OutsideRange`] for an offset beyond ±18 hours.
pub fn rise_set(
    place: &Place,
    date: CivilDate,
    utc_offset_h: f64,
    delta_t_s: f64,
) -> Result<SunDay, DaylightError> {
    within("utc_offset_h", utc_offset_h, -18.0..=18.0, "hours from −18 to 18")?;
    let from = Instant::from_civil_offset(date.midnight(), (utc_offset_h * 3600.0).round() as i32)?;
    sun_day(place, from, from.plus_minutes(1440.0), delta_t_s)
}

/// Sunrise, transit and sunset of a calendar day in an IANA zone, with ΔT estimated.
///
/// # Errors
/// As [`sun_day`]; [`DaylightError::Time`] for an unknown zone.
pub fn rise_set_in_zone(place: &Place, date: CivilDate, zone: &str) -> Result<SunDay, DaylightError> {
    let (from, to) = date.bounds(zone)?;
    sun_day(place, from, to, delta_t_s(from))
}
