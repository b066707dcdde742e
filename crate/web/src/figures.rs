//! The figures, computed in the worker: reports, days and years of its copy of the document.

use daylight::{CivilDate, CivilTime, Instant, SunDay, TimeError, rise_set_in_zone};
use scene::{Edit, Faults, Resolved, Scene, difference, read, read_edit, resolve, with_variant};
use viewing::{DAY_STEPS, Prepared, Ranges, ViewingError, direction_in_words};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::contract::{Day, DayInstant, Report, Year, YearHour};
use crate::error;
use crate::json::Json;
use crate::memory;

/// A scene with the place last requested, prepared.
#[wasm_bindgen]
pub struct Figures {
    resolved: Resolved,
    prepared: Option<(String, Prepared)>,
    /// Sunrise and sunset of the date last requested.
    sun: Option<(CivilDate, SunDay)>,
}

impl Figures {
    /// Opens the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn open(text: &str) -> Result<Self, Faults> {
        Ok(Self { resolved: resolve(&scene_of(text)?, None)?, prepared: None, sun: None })
    }

    /// Takes another scene; what has not changed is kept.
    ///
    /// # Errors
    /// Every fault of the file; nothing has changed then.
    pub fn replace_with(&mut self, text: &str) -> Result<(), Faults> {
        let scene = scene_of(text)?;
        if self.resolved.scene.windows.iter().map(|w| &w.id).eq(scene.windows.iter().map(|w| &w.id)) {
            let edits = difference(&self.resolved.scene, &scene);
            self.follow_edit(Edit::Together { edits })
        } else {
            *self = Self { resolved: resolve(&scene, None)?, prepared: None, sun: None };
            Ok(())
        }
    }

    /// Applies an edit of the document. Only what it affects is recomputed.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; nothing has changed then.
    pub fn follow(&mut self, edit: &str) -> Result<(), Faults> {
        self.follow_edit(read_edit(edit)?)
    }

    fn follow_edit(&mut self, edit: Edit) -> Result<(), Faults> {
        let applied = self.resolved.apply(edit)?;
        self.sun = None;
        self.prepared = self.prepared.take().and_then(|(place, mut prepared)| {
            prepared.follow(&self.resolved, &applied.changes).then_some((place, prepared))
        });
        Ok(())
    }

    fn prepared(&mut self, place: &str) -> Result<(&Resolved, &Prepared), ViewingError> {
        let kept = match self.prepared.take().filter(|(of, _)| of == place) {
            Some(kept) => kept,
            None => {
                let name = (!place.is_empty()).then_some(place);
                (place.to_owned(), Prepared::new(&self.resolved, name)?)
            }
        };
        let (_, prepared) = self.prepared.insert(kept);
        Ok((&self.resolved, prepared))
    }

    fn report_of(&mut self, at: &str, place: &str) -> Result<Json<Report>, ViewingError> {
        let (resolved, prepared) = self.prepared(place)?;
        let time = resolved.instant(at)?;
        let outside = resolved.outside(time.utc)?;
        let viewing::Report {
            scene,
            utc,
            local,
            sun,
            outside: light,
            viewing,
            pieces,
            walls,
            leads,
            warnings,
            // The page shows buildings where they are set, and asks for ranges later.
            buildings: _,
            ranges: _,
        } = prepared.report(resolved, &outside)?;
        let sun_words = direction_in_words(outside.sun().direction());
        Ok(Json(Report {
            scene,
            utc,
            local,
            sun,
            sun_words,
            outside: light,
            viewing,
            pieces,
            walls,
            leads,
            warnings,
        }))
    }

    fn ranges_of(&mut self, at: &str, place: &str) -> Result<Json<Option<Ranges>>, ViewingError> {
        let (resolved, prepared) = self.prepared(place)?;
        let time = resolved.instant(at)?;
        let outside = resolved.outside(time.utc)?;
        Ok(Json(prepared.ranges(resolved, &outside, &prepared.light(&outside))?))
    }

    fn day_of(
        &mut self,
        date: &str,
        place: &str,
        part: usize,
        parts: usize,
    ) -> Result<Json<Day>, ViewingError> {
        let date = CivilDate::parse(date)?;
        let sun = match self.sun.take().filter(|(of, _)| *of == date) {
            Some((_, sun)) => sun,
            None => rise_set_in_zone(&self.resolved.place, date, &self.resolved.scene.site.time_zone)?,
        };
        self.sun = Some((date, sun.clone()));
        let (resolved, prepared) = self.prepared(place)?;
        let parts = parts.clamp(1, DAY_STEPS);
        let edge = |part: usize| part.min(parts) * DAY_STEPS / parts;
        let which = edge(part)..edge(part.saturating_add(1));
        let day = prepared.day_part_with(resolved, date, &sun, DAY_STEPS, which)?;
        Ok(Json(day_answer(&resolved.scene.site.time_zone, day)?))
    }

    fn year_of(
        &mut self,
        year: i16,
        place: &str,
        part: usize,
        parts: usize,
    ) -> Result<Json<Year>, ViewingError> {
        let (resolved, prepared) = self.prepared(place)?;
        Ok(Json(year_answer(prepared.year_part(resolved, year, part, parts)?)))
    }
}

/// The scene of a file. The page decides what is shown; this copy ignores the variants.
fn scene_of(text: &str) -> Result<Scene, Faults> {
    with_variant(&read(text)?, None)
}

/// The year as its strip draws it.
fn year_answer(year: viewing::Year) -> Year {
    let hour = |viewing::YearHour { month, hour, light }| YearHour {
        month,
        hour,
        total_lx: light.total_lx,
        swatch: swatch(&light),
        words: light.words,
    };
    Year { year: year.year, hours: year.hours.into_iter().map(hour).collect(), sun: year.sun }
}

/// The CSS colour of white cloth.
fn swatch(light: &viewing::DayInstant) -> Option<String> {
    light.white_cloth_srgb.map(|[r, g, b]| format!("rgb({r} {g} {b})"))
}

/// The day as the ribbon draws it.
fn day_answer(zone: &str, day: viewing::Day) -> Result<Day, TimeError> {
    let on_the_clock = |instant: Instant| instant.in_zone(zone).map(|local| local.civil);
    let hour_and_minute = |instant: Option<Instant>| {
        instant.map(|instant| on_the_clock(instant).map(CivilTime::hour_and_minute)).transpose()
    };
    let instant = |light: viewing::DayInstant| -> Result<DayInstant, TimeError> {
        Ok(DayInstant {
            minute: on_the_clock(light.instant)?.minute_of_day(),
            total_lx: light.total_lx,
            sky_ground_lx: light.sky_ground_lx,
            sun_lx: light.sun_lx,
            room_lx: light.room_lx,
            share_of_clear: light.share_of_clear,
            swatch: swatch(&light),
            words: light.words,
            sun_altitude_deg: light.sun_altitude_deg,
            sun_words: direction_in_words(light.sun),
        })
    };
    Ok(Day {
        date: day.date,
        sunrise: hour_and_minute(day.sunrise)?,
        sunset: hour_and_minute(day.sunset)?,
        polar: day.polar,
        instants: day.instants.into_iter().map(instant).collect::<Result<_, _>>()?,
    })
}

#[wasm_bindgen]
impl Figures {
    /// Opens the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<Figures, JsError> {
        memory::reserve();
        Self::open(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Takes the text of another scene file; what has not changed is kept. Throws every fault of it, and then keeps the
    /// scene that it has.
    pub fn replace(&mut self, text: &str) -> Result<(), JsError> {
        self.replace_with(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Applies an edit (JSON) that the document made.
    pub fn apply(&mut self, edit: &str) -> Result<(), JsError> {
        self.follow(edit).map_err(|faults| error::from_faults(&faults))
    }

    /// JSON: the report at a civil time of the site and a named place (empty for the first).
    pub fn report(&mut self, at: &str, place: &str) -> Result<String, JsError> {
        self.report_of(at, place)
            .map(|report| report.to_string())
            .map_err(|found| error::from_viewing(&found))
    }

    /// JSON: how well the figures of the same report are known, and what they depend on; null in the dark. Slower than
    /// the report, so for an hour that stays.
    pub fn ranges(&mut self, at: &str, place: &str) -> Result<String, JsError> {
        self.ranges_of(at, place)
            .map(|ranges| ranges.to_string())
            .map_err(|found| error::from_viewing(&found))
    }

    /// JSON: the day of a date, `YYYY-MM-DD`, in quarters of an hour. Gives part `part` of `parts` equal parts, so that
    /// an hour requested meanwhile need not wait for the whole day.
    pub fn day(&mut self, date: &str, place: &str, part: usize, parts: usize) -> Result<String, JsError> {
        self.day_of(date, place, part, parts)
            .map(|day| day.to_string())
            .map_err(|found| error::from_viewing(&found))
    }

    /// JSON: a year by the middle day of each month, hour by hour of the site's clocks, with sunrise and sunset of
    /// every day. Gives part `part` of `parts` equal parts.
    pub fn year(&mut self, year: i16, place: &str, part: usize, parts: usize) -> Result<String, JsError> {
        self.year_of(year, place, part, parts)
            .map(|year| year.to_string())
            .map_err(|found| error::from_viewing(&found))
    }
}
