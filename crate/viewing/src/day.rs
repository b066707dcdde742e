//! A day at a place.

use std::ops::Range;

use daylight::{CivilDate, Direction, Instant, Note, Outside, SunDay, rise_set_in_zone};
use scene::Resolved;
use serde::Serialize;
use spectra::luminous;

use crate::cast::Cast;
use crate::error::ViewingError;
use crate::looks::{Look, look};
use crate::prepared::Prepared;

/// A day in steps, from midnight to midnight on the site's clocks.
#[derive(Clone, Debug, PartialEq)]
pub struct Day {
    /// The date, `YYYY-MM-DD`.
    pub date: String,
    /// When the sun rises; `None` if it does not.
    pub sunrise: Option<Instant>,
    /// When it sets; `None` if it does not.
    pub sunset: Option<Instant>,
    /// `day` or `night` if the sun neither rises nor sets.
    pub polar: Option<&'static str>,
    /// The steps, each at the beginning of its part of the day.
    pub instants: Vec<DayInstant>,
}

/// One step of a day: vertical light at the eye, or horizontal light on the working plane of a place that has one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DayInstant {
    /// The instant.
    #[serde(skip)]
    pub instant: Instant,
    /// Direction of the sun, refraction included.
    #[serde(skip)]
    pub sun: Direction,
    /// Minutes elapsed since midnight; on days when the clocks change this differs from the wall clock.
    pub minute: f64,
    /// Time on the site's clocks.
    pub local: String,
    /// Altitude of the sun, refraction included.
    pub sun_altitude_deg: f64,
    /// Illuminance at the place.
    pub total_lx: f64,
    /// The part directly from sky and ground.
    pub sky_ground_lx: f64,
    /// The part directly from the sun.
    pub sun_lx: f64,
    /// The part reflected by the room.
    pub room_lx: f64,
    /// Horizontal illuminance at the place: at the eye, or again on its working plane.
    pub horizontal_lx: f64,
    /// Ratio of the illuminance to that with clear glass.
    pub share_of_clear: Option<f64>,
    /// CIE 1976 u′ of the light.
    pub u_prime: Option<f64>,
    /// CIE 1976 v′.
    pub v_prime: Option<f64>,
    /// How white cloth looks in it, sRGB 0–255; `None` in the dark.
    pub white_cloth_srgb: Option<[u8; 3]>,
    /// The cast in words for a client.
    pub words: String,
}

/// Default steps of a day: one every quarter of an hour.
pub const DAY_STEPS: usize = 96;

impl Prepared {
    /// A day of the scene from which this was prepared, in `steps` instants (1–1440).
    ///
    /// # Errors
    /// [`ViewingError`] for a date outside the calendar or the years for which the sun's position is known.
    pub fn day(&self, resolved: &Resolved, date: CivilDate, steps: usize) -> Result<Day, ViewingError> {
        self.day_part(resolved, date, steps, 0..steps.clamp(1, 1440))
    }

    /// The instants `which` of the `steps` of a day, for callers that do other work in between.
    ///
    /// # Errors
    /// As [`Self::day`].
    pub fn day_part(
        &self,
        resolved: &Resolved,
        date: CivilDate,
        steps: usize,
        which: Range<usize>,
    ) -> Result<Day, ViewingError> {
        let sun = rise_set_in_zone(&resolved.place, date, &resolved.scene.site.time_zone)?;
        self.day_part_with(resolved, date, &sun, steps, which)
    }

    /// [`Self::day_part`] with sunrise and sunset of that date already known: they take longer than several instants.
    ///
    /// # Errors
    /// As [`Self::day`].
    pub fn day_part_with(
        &self,
        resolved: &Resolved,
        date: CivilDate,
        sun: &SunDay,
        steps: usize,
        which: Range<usize>,
    ) -> Result<Day, ViewingError> {
        let (from, to) = date.bounds(&resolved.scene.site.time_zone)?;
        let length = to.minutes_since(from);
        let steps = steps.clamp(1, 1440);
        let mut instants = Vec::with_capacity(which.len().min(steps));
        let mut lights = Lights::new(self, resolved);
        for k in which.start..which.end.min(steps) {
            let minute = length * k as f64 / steps as f64;
            instants.push(lights.at(from.plus_minutes(minute), minute)?);
        }
        Ok(Day {
            date: date.to_string(),
            sunrise: sun.sunrise,
            sunset: sun.sunset,
            polar: sun.polar.map(|p| match p {
                daylight::Polar::Day => "day",
                daylight::Polar::Night => "night",
            }),
            instants,
        })
    }
}

/// The light of one instant of a scene after another. All night it is the same, and computed once.
pub(crate) struct Lights<'a> {
    prepared: &'a Prepared,
    resolved: &'a Resolved,
    night: Option<DayInstant>,
}

impl<'a> Lights<'a> {
    pub(crate) fn new(prepared: &'a Prepared, resolved: &'a Resolved) -> Self {
        Self { prepared, resolved, night: None }
    }

    /// The light of an instant `minute` minutes after the midnight of its day.
    pub(crate) fn at(&mut self, instant: Instant, minute: f64) -> Result<DayInstant, ViewingError> {
        let outside = self.resolved.outside(instant)?;
        // Trees come into leaf from day to day.
        if !outside.notes().contains(&Note::Night) || !self.resolved.horizon.trees.is_empty() {
            return self.computed(&outside, minute);
        }
        let night = match self.night.take() {
            Some(night) => {
                let sun = outside.sun().direction();
                DayInstant {
                    instant,
                    sun,
                    minute,
                    local: self.local(instant)?,
                    sun_altitude_deg: sun.altitude_deg,
                    ..night
                }
            }
            None => self.computed(&outside, minute)?,
        };
        Ok(self.night.insert(night).clone())
    }

    fn local(&self, instant: Instant) -> Result<String, ViewingError> {
        Ok(instant.in_zone(&self.resolved.scene.site.time_zone)?.civil.to_string())
    }

    fn computed(&self, outside: &Outside, minute: f64) -> Result<DayInstant, ViewingError> {
        let (at, receiver) = self.prepared.front();
        let light = at.light(outside);
        let front = light.on(receiver);
        let total = front.total();
        let [total_lx, sky_ground_lx, sun_lx, room_lx] =
            [&total, &front.sky_ground, &front.sun, &front.room].map(luminous);
        let clear = luminous(&light.clear[receiver]);
        let cast = Cast::of(&total, &light.clear[receiver]);
        let cloth: Option<Look> = look(&spectra::reflectance::white_linen(), &total);
        let sun = outside.sun().direction();
        Ok(DayInstant {
            instant: outside.instant(),
            sun,
            minute,
            local: self.local(outside.instant())?,
            sun_altitude_deg: sun.altitude_deg,
            total_lx,
            sky_ground_lx,
            sun_lx,
            room_lx,
            horizontal_lx: luminous(&light.horizontal.total()),
            share_of_clear: (clear > 0.0).then(|| total_lx / clear),
            u_prime: cast.u_prime,
            v_prime: cast.v_prime,
            white_cloth_srgb: cloth.map(|l| l.srgb),
            words: cast.words,
        })
    }
}

/// A day of a scene at a place (the first if `None`), [`DAY_STEPS`] instants.
///
/// # Errors
/// As [`Prepared::new`] and [`Prepared::day`].
pub fn day(resolved: &Resolved, date: CivilDate, place: Option<&str>) -> Result<Day, ViewingError> {
    Prepared::new(resolved, place)?.day(resolved, date, DAY_STEPS)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Whole days, one of which begins and ends in the dark, against every instant by itself.
    #[test]
    fn a_night_computed_once_is_as_dark_as_each_of_its_instants() {
        for name in ["estuary-lancet", "north-corridor"] {
            let path = format!("{}/../../demo-scenes/{name}.json", env!("CARGO_MANIFEST_DIR"));
            let scene = scene::read(&std::fs::read_to_string(path).unwrap()).unwrap();
            let resolved = scene::resolve(&scene, None).unwrap();
            let prepared = Prepared::new(&resolved, None).unwrap();
            let day = prepared.day(&resolved, CivilDate::parse("2026-12-21").unwrap(), 24).unwrap();
            assert!(day.instants.iter().filter(|step| step.sun_altitude_deg < -18.0).count() > 6);
            for step in &day.instants {
                let alone = Lights::new(&prepared, &resolved).at(step.instant, step.minute).unwrap();
                assert!((alone.total_lx - step.total_lx).abs() <= 1e-12 * step.total_lx, "{}", step.local);
                assert!((alone.room_lx - step.room_lx).abs() <= 1e-12 * step.room_lx, "{}", step.local);
                assert_eq!((&alone.local, alone.sun, &alone.words), (&step.local, step.sun, &step.words));
            }
        }
    }
}
