//! A year at a place at a glance: the middle day of each month, hour by hour, and sunrise and sunset of every day.

use daylight::{CivilDate, Instant, TimeError, rise_set_in_zone};
use scene::Resolved;
use schemars::JsonSchema;
use serde::Serialize;

use crate::day::{DayInstant, Lights};
use crate::error::ViewingError;
use crate::prepared::Prepared;

/// Number of hours that represent a year: twelve days of twenty-four.
const YEAR_HOURS: usize = 12 * 24;
/// The day of the month that represents all of it.
const MID_MONTH: i8 = 15;

/// A year, or a part of one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Year {
    /// Calendar year.
    pub year: i16,
    /// Hours of the mid-month days, in the order of the year.
    pub hours: Vec<YearHour>,
    /// Sunrise and sunset of each day, in the order of the year.
    pub sun: Vec<SunOfDay>,
}

/// A clock hour on the fifteenth of a month, computed at half past.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YearHour {
    /// 1–12.
    pub month: i8,
    /// 0–23, by the site's clocks.
    pub hour: i8,
    /// The light.
    #[serde(flatten)]
    pub light: DayInstant,
}

/// Sunrise and sunset of one day, by the site's clocks.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SunOfDay {
    /// Day of the year, the first of January 1.
    pub day: u16,
    /// Minute on the clock at which the sun rises; `None` if it does not.
    pub sunrise_minute: Option<f64>,
    /// The same for sunset.
    pub sunset_minute: Option<f64>,
    /// `day` or `night` if the sun neither rises nor sets.
    #[schemars(extend("enum" = ["day", "night", null]))]
    pub polar: Option<&'static str>,
}

impl Prepared {
    /// Part `part` (0-based) of a year in `parts` (1–288) of about equal size.
    ///
    /// Hours are civil: after the clocks have been set forward, seven o'clock is an hour earlier by the sun. An
    /// hour that the clocks skip is shown as the following one; of an hour that occurs twice, the first is shown.
    ///
    /// # Errors
    /// [`ViewingError`] for a year outside the calendar or the years for which the sun's position is known.
    pub fn year_part(
        &self,
        resolved: &Resolved,
        year: i16,
        part: usize,
        parts: usize,
    ) -> Result<Year, ViewingError> {
        let parts = parts.clamp(1, YEAR_HOURS);
        let share = |of: usize| {
            let edge = |part: usize| part.min(parts) * of / parts;
            edge(part)..edge(part.saturating_add(1))
        };
        let zone = &resolved.scene.site.time_zone;
        let mut lights = Lights::new(self, resolved);
        let hours = share(YEAR_HOURS)
            .map(|k| {
                let (month, hour) = (month_of(k), (k % 24) as i8);
                let date = date(year, month, MID_MONTH)?;
                let (midnight, _) = date.bounds(zone)?;
                let at = date.at_minute(f64::from(hour) * 60.0 + 30.0);
                let instant = Instant::from_civil(at, zone)?.utc;
                let light = lights.at(instant, instant.minutes_since(midnight))?;
                Ok(YearHour { month, hour, light })
            })
            .collect::<Result<_, ViewingError>>()?;
        let first = date(year, 1, 1)?;
        let days = if CivilDate::new(year, 2, 29).is_some() { 366 } else { 365 };
        let sun = share(days)
            .map(|k| sun_of_day(resolved, first.plus_days(k as i32), k as u16 + 1))
            .collect::<Result<_, ViewingError>>()?;
        Ok(Year { year, hours, sun })
    }
}

/// The month, 1–12, for each hour of a year in order.
fn month_of(hour_of_year: usize) -> i8 {
    (hour_of_year / 24).min(11) as i8 + 1
}

fn date(year: i16, month: i8, day: i8) -> Result<CivilDate, TimeError> {
    CivilDate::new(year, month, day).ok_or(TimeError::OutsideCalendar)
}

fn sun_of_day(resolved: &Resolved, date: CivilDate, day: u16) -> Result<SunOfDay, ViewingError> {
    let zone = &resolved.scene.site.time_zone;
    let found = rise_set_in_zone(&resolved.place, date, zone)?;
    let clock = |instant: Option<Instant>| -> Result<Option<f64>, TimeError> {
        instant.map(|i| i.in_zone(zone).map(|local| local.civil.minute_of_day())).transpose()
    };
    Ok(SunOfDay {
        day,
        sunrise_minute: clock(found.sunrise)?,
        sunset_minute: clock(found.sunset)?,
        polar: found.polar.map(|p| match p {
            daylight::Polar::Day => "day",
            daylight::Polar::Night => "night",
        }),
    })
}
