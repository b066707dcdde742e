//! `clerestory day`: a day's figures, step by step.

use daylight::{CivilDate, CivilTime, Instant};
use scene::WorkingPlane;
use serde::Serialize;
use viewing::{DAY_STEPS, Day, DayInstant, Prepared};

use crate::arguments::{self, CAUTION};
use crate::fault::CliError;
use crate::table::{Align, ROUNDED, Table, adds_up, figure, fixed, per_cent};
use crate::{open, output};

/// A day, as printed in JSON.
#[derive(Debug, Serialize)]
struct DayReport {
    scene: String,
    place: String,
    /// The plane that the figures are for; absent for a vertical one at the eye.
    #[serde(skip_serializing_if = "Option::is_none")]
    working_plane: Option<WorkingPlane>,
    date: String,
    time_zone: String,
    /// RFC 3339, to the second; null if the sun does not rise.
    sunrise_utc: Option<String>,
    sunrise_local: Option<String>,
    sunset_utc: Option<String>,
    sunset_local: Option<String>,
    /// `day` or `night` if the sun neither rises nor sets.
    polar: Option<&'static str>,
    instants: Vec<Step>,
}

#[derive(Debug, Serialize)]
struct Step {
    utc: String,
    #[serde(flatten)]
    figures: DayInstant,
}

/// Prints the day.
///
/// # Errors
/// A scene with faults, an unknown variant or place, an unreadable date.
pub(crate) fn run(asked: &arguments::Day) -> Result<(), CliError> {
    let resolved = open::resolved(&asked.subject)?;
    let date = match &asked.date {
        Some(text) => CivilDate::parse(text)?,
        None => CivilTime::parse(&resolved.scene.at)?.date(),
    };
    let zone = &resolved.scene.site.time_zone;
    let (from, to) = date.bounds(zone)?;
    let steps = asked
        .step_minutes
        .map_or(DAY_STEPS, |step| ((to.minutes_since(from) / f64::from(step)).round() as usize).max(1));
    let place = asked.subject.place.as_deref();
    let day = Prepared::new(&resolved, place)?.day(&resolved, date, steps)?;

    let event = |instant: Option<Instant>| -> Result<(Option<String>, Option<String>), CliError> {
        let Some(instant) = instant.map(to_the_second) else { return Ok((None, None)) };
        Ok((Some(instant.to_string()), Some(instant.in_zone(zone)?.civil.to_string())))
    };
    let Day { date, sunrise, sunset, polar, instants } = day;
    let (sunrise_utc, sunrise_local) = event(sunrise)?;
    let (sunset_utc, sunset_local) = event(sunset)?;
    let first = resolved.scene.places.first().map(|p| p.name.as_str());
    let report = DayReport {
        scene: resolved.scene.name.clone(),
        place: place.or(first).unwrap_or_default().to_owned(),
        working_plane: resolved.working_plane_m(place).map(|(plane, _)| plane),
        date,
        time_zone: zone.clone(),
        sunrise_utc,
        sunrise_local,
        sunset_utc,
        sunset_local,
        polar,
        instants: instants
            .into_iter()
            .map(|figures| Step { utc: figures.instant.to_string(), figures })
            .collect(),
    };
    if asked.json { output::print_json(&report) } else { output::print(&in_words(&report)) }
}

fn to_the_second(instant: Instant) -> Instant {
    let rounded = (instant.unix_ms() as f64 / 1000.0).round() as i64 * 1000;
    Instant::from_unix_ms(rounded).unwrap_or(instant)
}

/// Characters of the longest bar.
const BAR: f64 = 24.0;
/// What the longest bar of a day stands for at least, lx: in less nobody sees anything of the window. Our choice.
const LEAST_LX: f64 = 0.01;

fn in_words(day: &DayReport) -> String {
    let mut text = format!("{}\n{}, {}\nSeen from: {}\n\n", day.scene, day.date, day.time_zone, day.place);
    let clock =
        |local: &Option<String>| local.as_deref().and_then(|l| l.get(11..16)).unwrap_or("–").to_owned();
    text += &match day.polar {
        Some("day") => "The sun does not set.\n".to_owned(),
        Some(_) => "The sun does not rise.\n".to_owned(),
        None => format!("Sunrise {}, sunset {}\n", clock(&day.sunrise_local), clock(&day.sunset_local)),
    };
    text += &match day.working_plane {
        Some(plane) => format!("\nLight {}, facing up, lx\n", plane.words()),
        None => "\nLight on an upright plane at the viewing position, facing the window, lx\n".to_owned(),
    };
    let most = day.instants.iter().map(|i| i.figures.total_lx).fold(0.0, f64::max);
    let mut table = Table::new(&[
        Align::Left,
        Align::Left,
        Align::Right,
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Right,
        Align::Left,
    ]);
    table.row([
        "local",
        "utc",
        "sun, °",
        "level",
        "total",
        "sky, ground",
        "sun",
        "by the room",
        "of clear   cast",
    ]);
    let mut is_exact = true;
    for Step { utc, figures } in &day.instants {
        let DayInstant { total_lx, sky_ground_lx, sun_lx, room_lx, .. } = *figures;
        let [total, sky_ground, sun, room] = [total_lx, sky_ground_lx, sun_lx, room_lx].map(figure);
        is_exact &= adds_up(&total, &[&sky_ground, &sun, &room]);
        table.row([
            figures.local.get(11..16).unwrap_or(&figures.local),
            utc.get(11..16).unwrap_or(utc),
            &fixed(Some(figures.sun_altitude_deg), 1),
            &bar(figures.total_lx, most),
            &total,
            &sky_ground,
            &sun,
            &room,
            &format!("{:>8}   {}", per_cent(figures.share_of_clear), figures.words),
        ]);
    }
    let rounded = if is_exact { "" } else { ROUNDED };
    text + &table.text() + rounded + "\n" + CAUTION + "\n"
}

/// A bar proportional to the level over the day's highest, in eighths of a character; none in a day that stays dark.
fn bar(level: f64, most: f64) -> String {
    const EIGHTHS: [char; 8] = [' ', '▏', '▎', '▍', '▌', '▋', '▊', '▉'];
    if most < LEAST_LX {
        return String::new();
    }
    let eighths = (level / most * BAR * 8.0).round().clamp(0.0, 8.0 * BAR) as usize;
    let mut bar = "█".repeat(eighths / 8);
    if !eighths.is_multiple_of(8) {
        bar.push(EIGHTHS[eighths % 8]);
    }
    bar
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_as_long_as_its_share() {
        assert_eq!(bar(1.0, 1.0).chars().count(), 24);
        assert_eq!(bar(0.5, 1.0), "█".repeat(12));
        assert_eq!(bar(1.0, 192.0), "▏");
        assert_eq!((bar(0.0, 1.0), bar(0.0, 0.0)), (String::new(), String::new()));
        assert_eq!((bar(0.0004, 0.0004), bar(0.01, 0.01)), (String::new(), "█".repeat(24)));
    }
}
