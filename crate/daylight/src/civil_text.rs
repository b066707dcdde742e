//! Dates and civil times as text (ISO 8601, without zone or offset).
//!
//! The calendar library reads more kinds of text than a scene may hold, and its errors' words alone are 20 kB of the
//! page's module.

use jiff::civil::{Date, DateTime};

/// A date: `2026-11-25` or `20261125`. A year with a sign has six digits; there is no year −0.
pub(crate) fn date(text: &str) -> Option<Date> {
    match date_and_rest(text)? {
        (date, "") => Some(date),
        _ => None,
    }
}

/// A date and a time, with `T` or a blank between them: `2026-11-25T15:00`, with seconds and their fraction (up to nine
/// digits) or without. A leap second is the one before it.
pub(crate) fn date_time(text: &str) -> Option<DateTime> {
    let (date, rest) = date_and_rest(text)?;
    let (hour, rest) = digits(rest.strip_prefix(['T', 't', ' '])?, 2)?;
    let (minute, rest) = digits(rest.strip_prefix(':')?, 2)?;
    let (second, rest) = match rest.strip_prefix(':') {
        Some(rest) => digits(rest, 2)?,
        None if rest.is_empty() => (0, rest),
        None => return None,
    };
    let nanosecond = match rest.strip_prefix(['.', ',']) {
        Some(fraction) => {
            let missing = 9_u32.checked_sub(fraction.len() as u32)?;
            digits(fraction, fraction.len())?.0 * 10_i32.pow(missing)
        }
        None if rest.is_empty() => 0,
        None => return None,
    };
    let [hour, minute, second] =
        [hour, minute, if second == 60 { 59 } else { second }].map(|part| part as i8);
    DateTime::new(date.year(), date.month(), date.day(), hour, minute, second, nanosecond).ok()
}

fn date_and_rest(text: &str) -> Option<(Date, &str)> {
    let (sign, unsigned, places) = match text.strip_prefix(['+', '-']) {
        Some(rest) => (if text.starts_with('-') { -1 } else { 1 }, rest, 6),
        None => (1, text, 4),
    };
    let (year, rest) = digits(unsigned, places)?;
    let dash = if rest.starts_with('-') { "-" } else { "" };
    let (month, rest) = digits(rest.strip_prefix(dash)?, 2)?;
    let (day, rest) = digits(rest.strip_prefix(dash)?, 2)?;
    if sign < 0 && year == 0 {
        return None;
    }
    let year = i16::try_from(sign * year).ok()?;
    Some((Date::new(year, month as i8, day as i8).ok()?, rest))
}

/// The number that so many digits write, and the text after them.
fn digits(text: &str, count: usize) -> Option<(i32, &str)> {
    let (number, rest) = text.split_at_checked(count)?;
    let all = number.bytes().all(|byte| byte.is_ascii_digit());
    if all { Some((number.parse().ok()?, rest)) } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As the calendar library reads it.
    fn library<T: std::str::FromStr>(text: &str) -> Option<T> {
        text.parse().ok()
    }

    #[test]
    fn dates_are_read_as_the_calendar_library_reads_them() {
        for text in [
            "2026-11-25",
            "20261125",
            "2024-02-29",
            "2026-02-29",
            "2026-13-01",
            "2026-11-31",
            "2026-00-10",
            "2026-11-00",
            "2026-1125",
            "202611-25",
            "2026-11-2",
            "26-11-25",
            "0000-01-01",
            "+002026-11-25",
            "-000753-04-21",
            "-000000-01-01",
            "+2026-11-25",
            "+012026-11-25",
            "9999-12-31",
            "-009999-01-01",
            "2026-11-25 ",
            "2026-11-25x",
            "２０２６-11-25",
            "2026-+1-25",
            "−000753-04-21",
            "",
            "-",
            "noon",
        ] {
            assert_eq!(date(text), library(text), "{text}");
        }
    }

    #[test]
    fn civil_times_are_read_as_the_calendar_library_reads_them() {
        for text in [
            "2026-11-25T15:00",
            "2026-11-25t15:00",
            "2026-11-25 15:00",
            "20261125T15:00",
            "2026-11-25T15:00:07",
            "2026-11-25T15:00:60",
            "2026-11-25T15:00:61",
            "2026-11-25T24:00",
            "2026-11-25T23:60",
            "2026-11-25T15:00:07.5",
            "2026-11-25T15:00:07,123456789",
            "2026-11-25T15:00:07.1234567891",
            "2026-11-25T15:00:07.",
            "2026-11-25T15:0",
            "2026-11-25T15:00:",
            "2026-11-25T15:00.5",
            "2026-11-25T15:00:7",
            "2026-11-25  15:00",
            "2026-11-25T5:00",
            "2026-11-25T15:0007",
            "2026-11-25T15:00 ",
            "2026-13-01T00:00",
            "+002026-11-25T15:00",
            "2026-11-25T15:00:07.+5",
        ] {
            assert_eq!(date_time(text), library(text), "{text}");
        }
    }

    #[test]
    fn what_has_no_clock_time_is_no_civil_time() {
        for text in
            ["2026-11-25", "2026-11-25T15", "2026-11-25T1500", "2026-11-25T15:00Z", "2026-11-25T15:00+01:00"]
        {
            assert_eq!(date_time(text), None, "{text}");
        }
    }
}
