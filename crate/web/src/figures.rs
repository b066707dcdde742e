//! The figures, worked out in the worker: reports, days and years of the document it is kept in step with.

use daylight::{CivilDate, CivilTime, LocalTime, TimeError, delta_t_s, sun_position};
use scene::{Faults, Resolved, read, read_edit, resolve, with_variant};
use serde_json::{Value, json};
use viewing::{DAY_STEPS, Day, DayInstant, Prepared, ViewingError, Year, YearHour};
use wasm_bindgen::JsError;
use wasm_bindgen::prelude::wasm_bindgen;

use crate::error;
use crate::overview::direction_words;

/// A scene with the place that was asked about last, prepared.
#[wasm_bindgen]
pub struct Figures {
    resolved: Resolved,
    prepared: Option<(String, Prepared)>,
}

impl Figures {
    /// From the text of a scene file.
    ///
    /// # Errors
    /// Every fault of the file.
    pub fn open(text: &str) -> Result<Self, Faults> {
        // The page says what is shown; the variants that the file may have are not this copy's.
        Ok(Self { resolved: resolve(&with_variant(&read(text)?, None)?, None)?, prepared: None })
    }

    /// Follows an edit of the document. Only what it reaches is worked out anew.
    ///
    /// # Errors
    /// Every fault that the edited scene would have; then nothing has changed.
    pub fn follow(&mut self, edit: &str) -> Result<(), Faults> {
        let places = self.resolved.scene.places.clone();
        let (_, reach) = self.resolved.apply(read_edit(edit)?)?;
        let moved = self.resolved.scene.places != places;
        self.prepared = self.prepared.take().filter(|_| !moved).and_then(|(place, mut prepared)| {
            prepared.follow(&self.resolved, &reach).then_some((place, prepared))
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

    fn report_of(&mut self, at: &str, place: &str) -> Result<Value, ViewingError> {
        let (resolved, prepared) = self.prepared(place)?;
        let time = resolved.instant(at)?;
        let outside = resolved.outside(time.utc)?;
        let report = prepared.report(resolved, &outside)?;
        // A report is plain data with text keys and always serialises.
        let mut report = serde_json::to_value(report).unwrap_or_default();
        report["sun_words"] = json!(direction_words(outside.sun().direction()));
        Ok(report)
    }

    fn day_of(&mut self, date: &str, place: &str, part: usize, parts: usize) -> Result<Value, ViewingError> {
        let date = CivilDate::parse(date)?;
        let (resolved, prepared) = self.prepared(place)?;
        let parts = parts.clamp(1, DAY_STEPS);
        let edge = |part: usize| part.min(parts) * DAY_STEPS / parts;
        let day = prepared.day_part(resolved, date, DAY_STEPS, edge(part)..edge(part.saturating_add(1)))?;
        day_json(resolved, date, &day)
    }

    fn year_of(&mut self, year: i16, place: &str, part: usize, parts: usize) -> Result<Value, ViewingError> {
        let (resolved, prepared) = self.prepared(place)?;
        Ok(year_json(&prepared.year_part(resolved, year, part, parts)?))
    }
}

/// The year as its strip draws it.
fn year_json(year: &Year) -> Value {
    let hours: Vec<Value> = year
        .hours
        .iter()
        .map(|YearHour { month, hour, light }| {
            json!({
                "month": month,
                "hour": hour,
                "total_lx": light.total_lx,
                "swatch": swatch(light),
                "words": light.words,
            })
        })
        .collect();
    json!({ "year": year.year, "hours": hours, "sun": year.sun })
}

/// White cloth, as CSS has it.
fn swatch(light: &DayInstant) -> Option<String> {
    light.white_cloth_srgb.map(|[r, g, b]| format!("rgb({r} {g} {b})"))
}

/// The day as the ribbon draws it.
fn day_json(resolved: &Resolved, date: CivilDate, day: &Day) -> Result<Value, ViewingError> {
    let zone = &resolved.scene.site.time_zone;
    let (midnight, _) = date.bounds(zone)?;
    let on_the_clock =
        |minute: f64| -> Result<LocalTime, TimeError> { midnight.plus_minutes(minute).in_zone(zone) };
    let hour_and_minute = |minute: Option<f64>| -> Result<Option<String>, TimeError> {
        minute.map(|m| on_the_clock(m).map(|local| clock_text(local.civil))).transpose()
    };
    let sun_words = |minute: f64| -> Result<String, ViewingError> {
        let instant = midnight.plus_minutes(minute);
        let sun = sun_position(&resolved.place, instant, delta_t_s(instant))?;
        Ok(direction_words(sun.direction()))
    };
    let instants = day
        .instants
        .iter()
        .map(|i| Ok(instant_json(i, &on_the_clock(i.minute)?, &sun_words(i.minute)?)))
        .collect::<Result<Vec<_>, ViewingError>>()?;
    Ok(json!({
        "date": day.date,
        "sunrise": hour_and_minute(day.sunrise_minute)?,
        "sunset": hour_and_minute(day.sunset_minute)?,
        "polar": day.polar,
        "instants": instants,
    }))
}

fn instant_json(instant: &DayInstant, local: &LocalTime, sun_words: &str) -> Value {
    json!({
        "minute": local.civil.minute_of_day(),
        "total_lx": instant.total_lx,
        "sky_ground_lx": instant.sky_ground_lx,
        "sun_lx": instant.sun_lx,
        "room_lx": instant.room_lx,
        "share_of_clear": instant.share_of_clear,
        "swatch": swatch(instant),
        "words": instant.words,
        "sun_altitude_deg": instant.sun_altitude_deg,
        "sun_words": sun_words,
    })
}

/// `HH:MM`, to the nearest minute.
fn clock_text(time: CivilTime) -> String {
    let minute = (time.minute_of_day().round() as i64).clamp(0, 1439);
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

#[wasm_bindgen]
impl Figures {
    /// From the text of a scene file. Throws every fault of it.
    #[wasm_bindgen(constructor)]
    pub fn new(text: &str) -> Result<Figures, JsError> {
        Self::open(text).map_err(|faults| error::from_faults(&faults))
    }

    /// Follows an edit (JSON) that the document made.
    pub fn apply(&mut self, edit: &str) -> Result<(), JsError> {
        self.follow(edit).map_err(|faults| error::from_faults(&faults))
    }

    /// JSON: the report at a civil time of the site and a named place (empty for the first).
    pub fn report(&mut self, at: &str, place: &str) -> Result<String, JsError> {
        self.report_of(at, place)
            .map(|report| report.to_string())
            .map_err(|found| error::from_viewing(&found))
    }

    /// JSON: the day of a date, `YYYY-MM-DD`, in quarters of an hour; of the instants, part `part` of `parts` equal
    /// ones, so that an hour asked for meanwhile need not wait for the whole day.
    pub fn day(&mut self, date: &str, place: &str, part: usize, parts: usize) -> Result<String, JsError> {
        self.day_of(date, place, part, parts)
            .map(|day| day.to_string())
            .map_err(|found| error::from_viewing(&found))
    }

    /// JSON: a year by the middle day of each month, hour by hour of the site's clocks, with the sun's coming and
    /// going day by day; part `part` of `parts` equal ones.
    pub fn year(&mut self, year: i16, place: &str, part: usize, parts: usize) -> Result<String, JsError> {
        self.year_of(year, place, part, parts)
            .map(|year| year.to_string())
            .map_err(|found| error::from_viewing(&found))
    }
}
