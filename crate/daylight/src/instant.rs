//! Instants, civil times and conversion between them by zone. No other crate needs a calendar library.

use std::fmt;

use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Timestamp, civil};

use crate::civil_text;
use crate::error::TimeError;

/// A point in time, UTC, to the millisecond. UTC is used as UT1 (they differ by less than a second: 0.004° of hour
/// angle).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Instant {
    unix_ms: i64,
}

/// A date and time as a wall clock shows it, without a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CivilTime(civil::DateTime);

/// A calendar date, without a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CivilDate(civil::Date);

/// What was unusual about a civil time that had to be converted to an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ClockNote {
    /// The clocks were set forward, skipping this time. The instant returned is as long after the change as the
    /// requested time is after the change's start.
    Gap {
        /// How far the clock jumped, minutes; the wall clock at the instant returned shows this much later than
        /// requested.
        skipped_minutes: i32,
    },
    /// The clocks were set back, so this time occurred twice. The instant returned is the first of the two.
    Fold {
        /// The second of the two.
        second: Instant,
        /// Offset of the second from UTC, seconds.
        second_offset_s: i32,
    },
}

/// A civil time converted to an instant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Resolved {
    /// The instant.
    pub utc: Instant,
    /// Offset of the zone at that instant, seconds east of UTC.
    pub offset_s: i32,
    /// Present if the clocks changed at the requested time.
    pub note: Option<ClockNote>,
}

/// An instant as a wall clock in a zone shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LocalTime {
    /// Date and time on the wall clock.
    pub civil: CivilTime,
    /// Offset from UTC, seconds east.
    pub offset_s: i32,
    /// The zone's own abbreviation at that instant, such as CET or +03.
    pub abbreviation: String,
}

impl Instant {
    /// From milliseconds since 1970-01-01T00:00:00Z.
    ///
    /// # Errors
    /// [`TimeError::OutsideCalendar`] beyond the years −9999 to 9999.
    pub fn from_unix_ms(unix_ms: i64) -> Result<Self, TimeError> {
        Timestamp::from_millisecond(unix_ms).map(|_| Self { unix_ms }).map_err(|_| TimeError::OutsideCalendar)
    }

    /// From text with its offset (RFC 3339), such as `2026-11-25T15:00:00Z`.
    ///
    /// # Errors
    /// [`TimeError::NotAnInstant`], holding the text.
    pub fn parse(text: &str) -> Result<Self, TimeError> {
        let found: Timestamp = text.trim().parse().map_err(|_| TimeError::NotAnInstant(text.to_owned()))?;
        Ok(Self { unix_ms: found.as_millisecond() })
    }

    /// From a civil time and an IANA zone such as `Europe/Berlin`.
    ///
    /// A time that the clocks skipped is moved forward by the length of the gap; of a time that occurred twice, the
    /// first is used. Both are reported in [`Resolved::note`].
    ///
    /// # Errors
    /// [`TimeError::UnknownZone`], [`TimeError::OutsideCalendar`].
    pub fn from_civil(time: CivilTime, zone: &str) -> Result<Resolved, TimeError> {
        let zone = find_zone(zone)?;
        let placed = zone.to_ambiguous_timestamp(time.0);
        let (utc, offset, note) = match placed.offset() {
            AmbiguousOffset::Unambiguous { offset } => (offset.to_timestamp(time.0), offset, None),
            AmbiguousOffset::Gap { before, after } => {
                let skipped_minutes = (after.seconds() - before.seconds()) / 60;
                // With the offset from before the gap, the instant falls after it.
                (before.to_timestamp(time.0), after, Some(ClockNote::Gap { skipped_minutes }))
            }
            AmbiguousOffset::Fold { before, after } => {
                let second = after.to_timestamp(time.0).map_err(|_| TimeError::OutsideCalendar)?;
                let note = ClockNote::Fold {
                    second: Self { unix_ms: second.as_millisecond() },
                    second_offset_s: after.seconds(),
                };
                (before.to_timestamp(time.0), before, Some(note))
            }
        };
        let utc = utc.map_err(|_| TimeError::OutsideCalendar)?;
        Ok(Resolved { utc: Self { unix_ms: utc.as_millisecond() }, offset_s: offset.seconds(), note })
    }

    /// From a civil time at a fixed offset, seconds east of UTC.
    ///
    /// # Errors
    /// [`TimeError::OutsideCalendar`].
    pub fn from_civil_offset(time: CivilTime, offset_s: i32) -> Result<Self, TimeError> {
        let utc = TimeZone::UTC.to_timestamp(time.0).map_err(|_| TimeError::OutsideCalendar)?;
        Self::from_unix_ms(utc.as_millisecond() - 1000 * i64::from(offset_s))
    }

    /// What a wall clock in a zone shows.
    ///
    /// # Errors
    /// [`TimeError::UnknownZone`].
    pub fn in_zone(self, zone: &str) -> Result<LocalTime, TimeError> {
        let zone = find_zone(zone)?;
        let stamp = self.stamp();
        let info = zone.to_offset_info(stamp);
        Ok(LocalTime {
            civil: CivilTime(info.offset().to_datetime(stamp)),
            offset_s: info.offset().seconds(),
            abbreviation: info.abbreviation().to_owned(),
        })
    }

    /// Milliseconds since 1970-01-01T00:00:00Z.
    pub const fn unix_ms(self) -> i64 {
        self.unix_ms
    }

    /// Later by this many minutes (earlier if negative), clamped to the years −9999 to 9999.
    pub fn plus_minutes(self, minutes: f64) -> Self {
        let moved = self.unix_ms.saturating_add((minutes * 60_000.0).round() as i64);
        let (first, last) = (Timestamp::MIN.as_millisecond(), Timestamp::MAX.as_millisecond());
        Self { unix_ms: moved.clamp(first, last) }
    }

    /// Minutes from `earlier` to this instant.
    pub fn minutes_since(self, earlier: Self) -> f64 {
        (self.unix_ms - earlier.unix_ms) as f64 / 60_000.0
    }

    /// Julian date (UT).
    pub fn julian_date(self) -> f64 {
        self.unix_ms as f64 / 86_400_000.0 + 2_440_587.5
    }

    /// From a Julian date (UT), to the nearest millisecond.
    ///
    /// # Errors
    /// [`TimeError::OutsideCalendar`].
    pub fn from_julian_date(julian_date: f64) -> Result<Self, TimeError> {
        if !julian_date.is_finite() {
            return Err(TimeError::OutsideCalendar);
        }
        Self::from_unix_ms(((julian_date - 2_440_587.5) * 86_400_000.0).round() as i64)
    }

    /// Date in UTC.
    pub fn utc_date(self) -> CivilDate {
        CivilDate(TimeZone::UTC.to_datetime(self.stamp()).date())
    }

    /// Day of the year in UTC with its fraction: 1.0 at the first midnight of the year, 1.5 at its first noon.
    pub fn day_of_year(self) -> f64 {
        let date = TimeZone::UTC.to_datetime(self.stamp()).date();
        f64::from(date.day_of_year()) + self.unix_ms.rem_euclid(86_400_000) as f64 / 86_400_000.0
    }

    /// Year with its fraction, as used in the polynomials of ΔT.
    pub fn decimal_year(self) -> f64 {
        let date = TimeZone::UTC.to_datetime(self.stamp()).date();
        f64::from(date.year()) + (self.day_of_year() - 1.0) / f64::from(date.days_in_year())
    }

    fn stamp(self) -> Timestamp {
        // Every constructor has checked the calendar, so this cannot fail; if it did, 1970 is better than a panic.
        Timestamp::from_millisecond(self.unix_ms).unwrap_or(Timestamp::UNIX_EPOCH)
    }
}

/// Prints as RFC 3339 in UTC, whole seconds unless there is a fraction: `2026-11-25T15:00:00Z`.
impl fmt::Display for Instant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.stamp(), f)
    }
}

impl CivilTime {
    /// From its parts; `None` if there is no such date or time.
    pub fn new(year: i16, month: i8, day: i8, hour: i8, minute: i8, second: i8) -> Option<Self> {
        civil::DateTime::new(year, month, day, hour, minute, second, 0).ok().map(Self)
    }

    /// From text without a zone, such as `2026-11-25T15:00` (seconds optional, a blank instead of `T` allowed).
    ///
    /// # Errors
    /// [`TimeError::NotACivilTime`], holding the text: also for text with a `Z` or an offset.
    pub fn parse(text: &str) -> Result<Self, TimeError> {
        civil_text::date_time(text.trim()).map(Self).ok_or_else(|| TimeError::NotACivilTime(text.to_owned()))
    }

    /// The date.
    pub fn date(self) -> CivilDate {
        CivilDate(self.0.date())
    }

    /// Minutes since midnight on the wall clock.
    pub fn minute_of_day(self) -> f64 {
        f64::from(self.0.hour()) * 60.0
            + f64::from(self.0.minute())
            + f64::from(self.0.second()) / 60.0
            + f64::from(self.0.subsec_nanosecond()) / 60e9
    }

    /// `HH:MM`, to the nearest minute of the same day.
    pub fn hour_and_minute(self) -> String {
        let minute = (self.minute_of_day().round() as i64).clamp(0, 1439);
        format!("{:02}:{:02}", minute / 60, minute % 60)
    }
}

/// Prints as `2026-11-25T15:00:00`.
impl fmt::Display for CivilTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

impl CivilDate {
    /// From its parts; `None` if there is no such date.
    pub fn new(year: i16, month: i8, day: i8) -> Option<Self> {
        civil::Date::new(year, month, day).ok().map(Self)
    }

    /// From text such as `2026-11-25`.
    ///
    /// # Errors
    /// [`TimeError::NotADate`], holding the text.
    pub fn parse(text: &str) -> Result<Self, TimeError> {
        civil_text::date(text.trim()).map(Self).ok_or_else(|| TimeError::NotADate(text.to_owned()))
    }

    /// Year, month 1–12, day 1–31.
    pub fn parts(self) -> (i16, i8, i8) {
        (self.0.year(), self.0.month(), self.0.day())
    }

    /// Midnight at the beginning of the day.
    pub fn midnight(self) -> CivilTime {
        CivilTime(self.0.to_datetime(civil::Time::midnight()))
    }

    /// This many minutes after midnight on a clock without changes; 1440 is the next midnight.
    pub fn at_minute(self, minute: f64) -> CivilTime {
        let midnight = self.midnight();
        // Counted in UTC, which has no changes. Only the last day of the year 9999 begins after all instants.
        let Ok(start) = Instant::from_civil_offset(midnight, 0) else { return midnight };
        CivilTime(TimeZone::UTC.to_datetime(start.plus_minutes(minute).stamp()))
    }

    /// The day after (the last day of the year 9999 has none and returns itself).
    pub fn tomorrow(self) -> Self {
        Self(self.0.tomorrow().unwrap_or(self.0))
    }

    /// The date this many days later.
    pub fn plus_days(self, days: i32) -> Self {
        self.at_minute(1440.0 * f64::from(days)).date()
    }

    /// First and last instant of the day in a zone: from its midnight to the next (23, 24 or 25 hours apart).
    ///
    /// # Errors
    /// [`TimeError::UnknownZone`], [`TimeError::OutsideCalendar`].
    pub fn bounds(self, zone: &str) -> Result<(Instant, Instant), TimeError> {
        let start = Instant::from_civil(self.midnight(), zone)?.utc;
        Ok((start, Instant::from_civil(self.tomorrow().midnight(), zone)?.utc))
    }
}

/// Prints as `2026-11-25`.
impl fmt::Display for CivilDate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.0, f)
    }
}

/// Whether the IANA database knows the zone.
pub fn zone_exists(zone: &str) -> bool {
    find_zone(zone).is_ok()
}

/// Names of every zone of the IANA database compiled in, sorted.
pub fn zone_names() -> Vec<String> {
    let mut names: Vec<String> = jiff::tz::db().available().map(|name| name.to_string()).collect();
    sorting::values(&mut names);
    names
}

fn find_zone(zone: &str) -> Result<TimeZone, TimeError> {
    TimeZone::get(zone).map_err(|_| TimeError::UnknownZone(zone.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(civil: &str, zone: &str) -> Resolved {
        Instant::from_civil(CivilTime::parse(civil).unwrap(), zone).unwrap()
    }

    #[test]
    fn an_ordinary_time_has_one_instant_and_no_note() {
        let r = check("2026-11-25T15:00", "Europe/London");
        assert_eq!((r.utc.to_string().as_str(), r.offset_s, r.note), ("2026-11-25T15:00:00Z", 0, None));
        let r = check("2026-07-01T12:00", "Asia/Kathmandu");
        assert_eq!((r.utc.to_string().as_str(), r.offset_s), ("2026-07-01T06:15:00Z", 20_700));
    }

    #[test]
    fn a_skipped_time_is_moved_past_the_gap_and_noted() {
        let r = check("2026-03-29T01:30", "Europe/London");
        assert_eq!(r.utc.to_string(), "2026-03-29T01:30:00Z");
        assert_eq!(r.note, Some(ClockNote::Gap { skipped_minutes: 60 }));
        assert_eq!(r.utc.in_zone("Europe/London").unwrap().civil.to_string(), "2026-03-29T02:30:00");
        assert_eq!(r.offset_s, 3600);
    }

    #[test]
    fn a_repeated_time_gives_the_first_and_notes_the_second() {
        let r = check("2026-10-25T01:30", "Europe/London");
        assert_eq!((r.utc.to_string().as_str(), r.offset_s), ("2026-10-25T00:30:00Z", 3600));
        let second = Instant::parse("2026-10-25T01:30:00Z").unwrap();
        assert_eq!(r.note, Some(ClockNote::Fold { second, second_offset_s: 0 }));
    }

    #[test]
    fn a_day_may_have_23_or_25_hours() {
        for (date, hours) in [("2026-03-29", 23.0), ("2026-10-25", 25.0), ("2026-06-01", 24.0)] {
            let (a, b) = CivilDate::parse(date).unwrap().bounds("Europe/Berlin").unwrap();
            assert!((b.minutes_since(a) / 60.0 - hours).abs() < 1e-9, "{date}");
        }
    }

    #[test]
    fn unreadable_text_is_refused() {
        for text in
            ["2026-11-25", "2026-11-25T15:00Z", "2026-11-25T15:00+01:00", "2026-13-01T00:00", "noon", ""]
        {
            assert_eq!(CivilTime::parse(text), Err(TimeError::NotACivilTime(text.to_owned())));
        }
        for text in ["2026-11-25T15:00", "yesterday", ""] {
            assert_eq!(Instant::parse(text), Err(TimeError::NotAnInstant(text.to_owned())));
        }
        for text in ["2026-02-29", "2026-11-25T15:00", ""] {
            assert_eq!(CivilDate::parse(text), Err(TimeError::NotADate(text.to_owned())));
        }
        assert_eq!(
            Instant::from_civil(CivilTime::new(2026, 1, 1, 0, 0, 0).unwrap(), "Mars/Base"),
            Err(TimeError::UnknownZone("Mars/Base".to_owned()))
        );
    }

    #[test]
    fn julian_dates_convert_both_ways() {
        let j2000 = Instant::parse("2000-01-01T12:00:00Z").unwrap();
        assert!((j2000.julian_date() - 2_451_545.0).abs() < 1e-9);
        assert_eq!(Instant::from_julian_date(2_451_545.0), Ok(j2000));
        assert!((j2000.day_of_year() - 1.5).abs() < 1e-12);
        assert!(Instant::from_julian_date(f64::NAN).is_err());
        assert!(Instant::from_unix_ms(i64::MAX).is_err());
        assert!(j2000.plus_minutes(1e300).in_zone("UTC").is_ok());
    }
}
