//! The sun's path over a day.

use daylight::{CivilDate, CivilTime, Place, RISE_SET_ALTITUDE_DEG, rise_set_in_zone, sun_path};

const ZONE: &str = "Europe/Berlin";

fn cologne() -> Place {
    Place { elevation_m: 50.0, ..Place::at(50.94, 6.96) }
}

#[test]
fn the_path_reaches_from_midnight_to_midnight_by_the_clocks() {
    // 2026-03-29 has 23 hours: the clocks skip from two to three.
    let date = CivilDate::parse("2026-03-29").unwrap();
    let path = sun_path(&cologne(), date, ZONE, 10.0).unwrap();
    assert_eq!(path.points.len(), 23 * 6 + 1);
    let minutes: Vec<f64> = path.points.iter().map(|p| p.local.civil.minute_of_day()).collect();
    assert_eq!((minutes[0], minutes[11], minutes[12]), (0.0, 110.0, 180.0));
    assert_eq!(path.points.last().unwrap().local.civil.date(), date.tomorrow());
}

#[test]
fn the_path_crosses_the_horizon_where_the_sun_rises_and_sets() {
    let date = CivilDate::parse("2026-09-22").unwrap();
    let path = sun_path(&cologne(), date, ZONE, 10.0).unwrap();
    let day = rise_set_in_zone(&cologne(), date, ZONE).unwrap();
    for (event, instant) in [(path.sunrise, day.sunrise), (path.sunset, day.sunset)] {
        let (event, instant) = (event.unwrap(), instant.unwrap());
        assert_eq!(event.local, instant.in_zone(ZONE).unwrap());
        // Where the upper edge of the disc, raised by refraction, is on the horizon.
        assert!((event.direction.altitude_deg - RISE_SET_ALTITUDE_DEG).abs() < 0.01);
        let before = |p: &&daylight::SunPathPoint| p.local.civil < event.local.civil;
        let last_before = path.points.iter().rfind(before).unwrap();
        assert!((last_before.direction.altitude_deg - event.direction.altitude_deg).abs() < 2.0);
    }
}

#[test]
fn the_path_of_a_polar_night_has_neither_rise_nor_set() {
    let place = Place::at(69.65, 18.96);
    let path = sun_path(&place, CivilDate::parse("2026-12-21").unwrap(), "Europe/Oslo", 60.0).unwrap();
    assert_eq!((path.sunrise, path.sunset), (None, None));
    assert_eq!(path.points.len(), 25);
    assert!(path.points.iter().all(|p| p.direction.altitude_deg < 0.0));
}

#[test]
fn clock_text_never_leaves_its_day() {
    let text = |time: &str| CivilTime::parse(time).unwrap().hour_and_minute();
    assert_eq!(text("2026-03-29T06:07:29"), "06:07");
    assert_eq!(text("2026-03-29T06:07:30"), "06:08");
    assert_eq!(text("2026-03-29T23:59:59"), "23:59");
}
