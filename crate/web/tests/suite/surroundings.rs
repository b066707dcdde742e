//! The surroundings of the window for the page: the year, the sun's path, the choices, the cautions.

use serde_json::{Value, json};
use web::{Figures, SceneDocument, choices};

use crate::demos::ESTUARY;

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_year_comes_in_parts_and_agrees_with_its_days() {
    let mut figures = Figures::open(ESTUARY).unwrap();
    let parts: Vec<Value> =
        (0..3).map(|part| parsed(&figures.year(2026, "", part, 3).map_err(|_| "no year").unwrap())).collect();
    let all = |key: &str| -> Vec<Value> {
        parts.iter().flat_map(|part| part[key].as_array().unwrap().clone()).collect()
    };
    let (hours, sun) = (all("hours"), all("sun"));
    assert_eq!((hours.len(), sun.len()), (288, 365));
    for (i, hour) in hours.iter().enumerate() {
        assert_eq!(hour["month"], i / 24 + 1);
        assert_eq!(hour["hour"], i % 24);
    }
    // Half past the hour on the fifteenth is the third of that hour's four steps in the day's 96. Both include summer
    // time.
    for month in [1, 7] {
        let date = format!("2026-{month:02}-15");
        let day = parsed(&figures.day(&date, "", 0, 1).map_err(|_| "no day").unwrap());
        for hour in [8, 12, 18] {
            let of_day = &day["instants"][4 * hour + 2]["total_lx"];
            let of_year = &hours[24 * (month - 1) + hour]["total_lx"];
            assert!((of_day.as_f64().unwrap() - of_year.as_f64().unwrap()).abs() < 1e-9, "{date} {hour}");
        }
        let rise = sun[if month == 1 { 14 } else { 195 }]["sunrise_minute"].as_f64().unwrap();
        let minutes: Vec<f64> =
            day["sunrise"].as_str().unwrap().split(':').map(|n| n.parse().unwrap()).collect();
        assert!((rise - 60.0 * minutes[0] - minutes[1]).abs() <= 0.5, "{date}");
    }
    // The clocks of London go forward on 29 March 2026, day 88: the sun rises an hour later by them.
    let rise = |day: usize| sun[day - 1]["sunrise_minute"].as_f64().unwrap();
    assert!((55.0..60.0).contains(&(rise(88) - rise(87))));
    assert!(figures.follow(r#"{"edit": "set_at", "at": "6001-01-01T12:00"}"#).is_err());
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn the_suns_path_in_the_north_in_the_south_and_at_the_pole() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let mut path = |latitude: f64, date: &str| {
        let edit = json!({ "edit": "set_site", "site": {
            "latitude_deg": latitude, "longitude_deg": 0.0, "time_zone": "UTC" } });
        document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
        parsed(&document.sun_path(date).map_err(|_| "no path").unwrap())
    };
    let azimuth = |point: &Value| point["azimuth_deg"].as_f64().unwrap();
    let noon = |path: &Value| path["points"][72].clone();

    let north = path(52.0, "2026-03-20");
    assert_eq!(north["points"].as_array().unwrap().len(), 145);
    assert!((azimuth(&noon(&north)) - 180.0).abs() < 5.0, "in the north the noon sun is in the south");
    assert!((azimuth(&north["sunrise"]) - 90.0).abs() < 2.0);
    assert!((azimuth(&north["sunset"]) - 270.0).abs() < 2.0);

    let south = path(-52.0, "2026-03-20");
    let at_noon = azimuth(&noon(&south));
    assert!(!(10.0..=350.0).contains(&at_noon), "in the south the noon sun is in the north: {at_noon}");
    assert!((azimuth(&south["sunrise"]) - 90.0).abs() < 2.0);

    let pole = path(90.0, "2026-06-21");
    assert!(pole["sunrise"].is_null() && pole["sunset"].is_null());
    for point in pole["points"].as_array().unwrap() {
        assert!((point["altitude_deg"].as_f64().unwrap() - 23.4).abs() < 0.2);
    }
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn every_choice_of_weather_and_surface_is_accepted_and_recognised() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let all = parsed(&choices());
    let now = |document: &SceneDocument| parsed(&document.surroundings());
    for weather in all["weathers"].as_array().unwrap() {
        let edit = json!({ "edit": "set_sky", "sky": weather["sky"] });
        document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{weather}: {faults}"));
        assert_eq!(now(&document)["weather"], weather["id"]);
        assert_eq!(now(&document)["sky"], weather["sky"]);
    }
    assert_eq!(all["standard_skies"].as_array().unwrap().len(), 15);
    for surface in all["surfaces"].as_array().unwrap() {
        let edit = json!({ "edit": "set_ground", "ground": { "material": surface["name"] } });
        document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{surface}: {faults}"));
        let share = surface["share"].as_f64().unwrap();
        assert!(share > 0.02 && share < 0.98, "{surface}");
    }
    let zones = all["zones"].as_array().unwrap();
    assert!(zones.contains(&json!("Pacific/Auckland")));
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn a_time_zone_far_from_the_sun_raises_a_caution() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let mut cautions = |latitude: f64, longitude: f64, zone: &str| {
        let edit = json!({ "edit": "set_site", "site": {
            "latitude_deg": latitude, "longitude_deg": longitude, "time_zone": zone } });
        document.make(&edit.to_string()).unwrap_or_else(|faults| panic!("{faults}"));
        let shown = parsed(&document.surroundings())["cautions"].as_array().unwrap().clone();
        let notes = parsed(&document.overview())["notes"].clone();
        assert!(shown.iter().all(|caution| notes.as_array().unwrap().contains(caution)));
        shown
    };
    assert!(cautions(51.5, 0.0, "Europe/London").is_empty());
    // No caution: clocks really far ahead of the sun, across the date line, and any zone at the pole.
    assert!(cautions(39.5, 76.0, "Asia/Shanghai").is_empty());
    assert!(cautions(1.9, -157.4, "Pacific/Kiritimati").is_empty());
    assert!(cautions(-90.0, 0.0, "Pacific/Auckland").is_empty());
    let found = cautions(51.5, 0.0, "Asia/Tokyo");
    assert!(found[0].as_str().unwrap().contains("9 hours ahead of the sun"), "{found:?}");
    let found = cautions(51.5, 120.0, "America/New_York");
    assert!(found[0].as_str().unwrap().contains("12 hours"), "{found:?}");
}

#[cfg_attr(not(target_arch = "wasm32"), test)]
#[cfg_attr(target_arch = "wasm32", wasm_bindgen_test::wasm_bindgen_test)]
fn snow_comes_and_goes_as_one_edit_and_what_lay_under_it_comes_back() {
    let mut document = SceneDocument::open(ESTUARY).unwrap();
    let now = |document: &SceneDocument| parsed(&document.surroundings());
    let snow = parsed(&choices())["snow"].clone();
    let set = |document: &mut SceneDocument, ground: &Value| {
        document.make(&json!({ "edit": "set_ground", "ground": ground }).to_string()).unwrap();
    };
    let soil = json!({ "material": "soil" });
    set(&mut document, &soil);
    assert_eq!(now(&document)["ground_without_snow"], soil);
    assert_eq!(now(&document)["snow_on_ground"], json!(false));
    set(&mut document, &snow);
    // Other edits, and an undone one, do not hide what lay under the snow.
    document.make(r#"{ "edit": "set_note", "note": "winter" }"#).unwrap();
    assert_eq!(now(&document)["ground_without_snow"], soil);
    assert_eq!(now(&document)["snow_on_ground"], json!(true));
    // Nor does a reload.
    let reopened = SceneDocument::reopen(&document.kept()).unwrap();
    assert_eq!(now(&reopened)["ground_without_snow"], soil);
    // A variant with snow on the scene's own ground.
    set(&mut document, &soil);
    document.vary(r#"{ "variant": "add", "name": "Winter", "note": "" }"#).unwrap();
    set(&mut document, &snow);
    assert_eq!(now(&document)["ground_without_snow"], soil);
    // A file with snow says nothing of what lies under it.
    let mut file: Value = serde_json::from_str(ESTUARY).unwrap();
    file["ground"] = snow;
    let opened = SceneDocument::open(&file.to_string()).unwrap();
    assert_eq!(now(&opened)["ground_without_snow"], json!({ "grey": 0.2 }));
}
