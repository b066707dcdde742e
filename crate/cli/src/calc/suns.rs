//! The sun's position, sunrise and sunset.

use daylight::{CivilDate, CivilTime, Instant, Place, Polar};

use super::answer::Answer;
use super::fields::{Fault, Fields};

/// `sun`: position by the SPA.
pub(super) fn sun(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let instant = utc(fields, "utc")?;
    let place = Place {
        latitude_deg: fields.number("latitude_deg")?,
        longitude_deg: fields.number("longitude_deg")?,
        elevation_m: fields.number("elevation_m")?,
        pressure_hpa: Some(fields.number("pressure_hpa")?),
        temperature_c: Some(fields.number("temperature_c")?),
    };
    let delta_t_s = fields.number("delta_t_s")?;
    fields.finish()?;
    let sun = daylight::sun_position(&place, instant, delta_t_s).map_err(Fault::refused)?;
    Answer::default()
        .with("zenith_deg", sun.zenith_deg)?
        .with("apparent_zenith_deg", sun.apparent_zenith_deg)?
        .with("azimuth_deg", sun.azimuth_deg)?
        .with("equation_of_time_min", sun.equation_of_time_min)
}

/// `rise_set`: sunrise, transit and sunset at a fixed offset from UTC, seen from sea level.
pub(super) fn rise_set(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let text = fields.text("date")?;
    let date = CivilDate::parse(text)
        .map_err(|_| Fault::wrong(fields.path("date"), "a date such as 2026-11-25", format!("\"{text}\"")))?;
    let utc_offset_h = fields.number("utc_offset_h")?;
    let place = Place::at(fields.number("latitude_deg")?, fields.number("longitude_deg")?);
    let delta_t_s = fields.number("delta_t_s")?;
    fields.finish()?;
    let day = daylight::rise_set(&place, date, utc_offset_h, delta_t_s).map_err(Fault::refused)?;
    Answer::default()
        .with("sunrise_utc", day.sunrise.map(to_the_second))?
        .with("transit_utc", day.transit.map(to_the_second))?
        .with("sunset_utc", day.sunset.map(to_the_second))?
        .with("polar", day.polar.map(polar_word))
}

/// `day` or `night`.
fn polar_word(polar: Polar) -> &'static str {
    match polar {
        Polar::Day => "day",
        Polar::Night => "night",
    }
}

/// RFC 3339, rounded to the second: the algorithm is no more accurate, and every parser accepts it.
fn to_the_second(instant: Instant) -> String {
    let rounded = (instant.unix_ms() as f64 / 1000.0).round() as i64 * 1000;
    Instant::from_unix_ms(rounded).unwrap_or(instant).to_string()
}

/// An instant with its offset, or a UTC time without one.
fn utc(fields: &Fields<'_>, key: &'static str) -> Result<Instant, Fault> {
    let text = fields.text(key)?;
    Instant::parse(text)
        .or_else(|_| CivilTime::parse(text).and_then(|civil| Instant::from_civil_offset(civil, 0)))
        .map_err(|_| {
            Fault::wrong(fields.path(key), "an instant such as 2026-11-25T15:00:00Z", format!("\"{text}\""))
        })
}
