//! Sun and sky against tests/reference/sun and daylight.

use daylight::Instant;
use serde_json::{Value, json};

use crate::run::{Csv, answers, close, json_file, near, number, numbers, xyz};

// 480 positions by an independent implementation of the same algorithm: 0.001°, for the azimuth of arc, because near
// the zenith the azimuth itself is ill-conditioned. Equation of time 1e-3 min (seven decimals are printed; two
// implementations round the mean longitude differently).
#[test]
fn sun_positions() {
    let grid = Csv::read("sun/spa_grid.csv");
    let lines: Vec<Value> = grid
        .rows()
        .map(|r| {
            json!({"calc": "sun", "utc": r.text("utc"), "latitude_deg": r.number("lat_deg"),
                "longitude_deg": r.number("lon_deg"), "elevation_m": r.number("elev_m"),
                "pressure_hpa": r.number("pressure_hPa"), "temperature_c": r.number("temp_C"),
                "delta_t_s": r.number("delta_t_s")})
        })
        .collect();
    assert!(lines.len() > 400);
    for (row, answer) in grid.rows().zip(answers(&lines)) {
        let what = format!("{} {}", row.text("tag"), row.text("utc"));
        near(&what, number(&answer["zenith_deg"]), row.number("zenith_deg"), 1e-3);
        near(&what, number(&answer["apparent_zenith_deg"]), row.number("apparent_zenith_deg"), 1e-3);
        let turn =
            (number(&answer["azimuth_deg"]) - row.number("azimuth_deg") + 540.0).rem_euclid(360.0) - 180.0;
        near(&what, turn * row.number("zenith_deg").to_radians().sin(), 0.0, 1e-3);
        near(&what, number(&answer["equation_of_time_min"]), row.number("eot_min"), 1e-3);
    }
}

// The report's worked example, five decimals printed.
#[test]
fn the_worked_example() {
    let file = json_file("sun/spa_worked_example.json");
    let i = &file["inputs"];
    let line = json!({"calc": "sun", "utc": i["utc"], "latitude_deg": i["lat"], "longitude_deg": i["lon"],
        "elevation_m": i["elev_m"], "pressure_hpa": i["pressure_hPa"], "temperature_c": i["temp_C"],
        "delta_t_s": i["delta_t"]});
    let answer = &answers(&[line])[0];
    let published = &file["published_from_memory"];
    near("zenith", number(&answer["apparent_zenith_deg"]), number(&published["zenith_deg"]), 1e-5);
    near("azimuth", number(&answer["azimuth_deg"]), number(&published["azimuth_deg"]), 1e-5);
}

// Roots of the position itself, rounded to a second in both: 2 s.
#[test]
fn rise_and_set() {
    let file = Csv::read("sun/rise_set.csv");
    let lines: Vec<Value> = file
        .rows()
        .map(|r| {
            json!({"calc": "rise_set", "date": r.text("local_date"), "utc_offset_h": r.number("utc_offset_h"),
                "latitude_deg": r.number("lat_deg"), "longitude_deg": r.number("lon_deg"),
                "delta_t_s": r.number("delta_t_s")})
        })
        .collect();
    for (row, answer) in file.rows().zip(answers(&lines)) {
        let what = format!("{} {}", row.text("place"), row.text("local_date"));
        let polar = match row.text("state") {
            "polar_day" => json!("day"),
            "polar_night" => json!("night"),
            _ => Value::Null,
        };
        assert_eq!(answer["polar"], polar, "{what}");
        for (key, column) in [
            ("sunrise_utc", "sunrise_root_utc"),
            ("transit_utc", "transit_root_utc"),
            ("sunset_utc", "sunset_root_utc"),
        ] {
            match (answer[key].as_str(), row.text(column)) {
                (None, "") => {}
                (Some(found), expected) if !expected.is_empty() => {
                    let [found, expected] = [found, expected].map(|t| Instant::parse(t).unwrap());
                    near(&format!("{what} {key}"), found.minutes_since(expected) * 60.0, 0.0, 2.0);
                }
                // A place without sunrise still has a transit; the file omits it.
                (Some(_), "") if key == "transit_utc" => {}
                (found, expected) => panic!("{what} {key}: {found:?}, expected {expected:?}"),
            }
        }
    }
}

fn air(case: &Value) -> Value {
    json!({
        "apparent_zenith_deg": case["apparent_zenith_deg"], "day_of_year": case["day_of_year"],
        "pressure_hpa": number(&case["pressure_Pa"]) / 100.0,
        "precipitable_water_cm": case["precipitable_water_cm"], "ozone_atm_cm": case["ozone_atm_cm"],
        "aod_500nm": case["aod_500nm"], "angstrom_exponent": case["angstrom_alpha"],
        "single_scattering_albedo_400nm": case["ssa_400nm"], "wavelength_variation": case["omega_factor"],
        "ground_albedo": case["ground_albedo"],
    })
}

/// Conditions that the fields of a line can express: all but the one with its own asymmetry.
fn conditions() -> Vec<Value> {
    let all = json_file("daylight/spectrl2_inputs.json");
    let usual = |c: &&Value| (number(&c["asymmetry"]) - 0.65).abs() < 1e-12;
    let some: Vec<Value> = all.as_array().unwrap().iter().filter(usual).cloned().collect();
    assert_eq!(some.len(), 15);
    some
}

fn line(calc: &str, air: Value, more: &Value) -> Value {
    let mut line = air;
    line["calc"] = json!(calc);
    line.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
    line
}

// Seven digits are printed: 2e-6 of the value at the model's own wavelengths.
#[test]
fn clear_spectra() {
    let cases = conditions();
    let lines: Vec<Value> = cases.iter().map(|c| line("clear_spectra", air(c), &json!({}))).collect();
    let table = Csv::read("daylight/spectrl2.csv");
    let colours = Csv::read("daylight/spectrl2_colour.csv");
    let mut compared = 0;
    for (case, answer) in cases.iter().zip(answers(&lines)) {
        let name = case["case"].as_str().unwrap();
        let light =
            [("dni", numbers(&answer["beam_normal"])), ("dhi", numbers(&answer["diffuse_horizontal"]))];
        for row in table.rows().filter(|r| r.text("case") == name) {
            let nm = row.number("wavelength_nm");
            let at = (nm - 380.0) / 5.0;
            if (0.0..=80.0).contains(&at) && at.fract().abs() < 1e-9 {
                for (column, spectrum) in &light {
                    compared += 1;
                    close(&format!("{name} {column} {nm}"), spectrum[at as usize], row.number(column), 2e-6);
                }
            }
        }
        // Light and colour by a 1 nm sum there, a 5 nm one here: 0.1 % of light, 4e-4 in x and y.
        for row in colours.rows().filter(|r| r.text("case") == name) {
            let (_, spectrum) = light.iter().find(|(column, _)| *column == row.text("component")).unwrap();
            let [x, y, z] = xyz(spectrum);
            let sum = x + y + z;
            close(&format!("{name} lx"), y, row.number("illuminance_lx"), 1e-3);
            near(&format!("{name} x"), x / sum, row.number("x"), 4e-4);
            near(&format!("{name} y"), y / sum, row.number("y"), 4e-4);
        }
    }
    assert!(compared >= 750, "{compared}");
}

// The authors' own program in single precision: 0.05 %.
#[test]
fn the_authors_program() {
    let i = json_file("daylight/spectrl2_c_program_example_inputs.json");
    let air = json!({
        "apparent_zenith_deg": i["apparent_zenith"], "day_of_year": i["dayofyear"],
        "pressure_hpa": number(&i["surface_pressure"]) / 100.0, "precipitable_water_cm": i["precipitable_water"],
        "ozone_atm_cm": i["ozone"], "aod_500nm": i["aerosol_turbidity_500nm"], "angstrom_exponent": 1.14,
        "single_scattering_albedo_400nm": 0.945, "wavelength_variation": 0.095, "ground_albedo": i["ground_albedo"],
    });
    let answer = &answers(&[line("clear_spectra", air, &json!({}))])[0];
    let (beam, diffuse) = (numbers(&answer["beam_normal"]), numbers(&answer["diffuse_horizontal"]));
    let mut compared = 0;
    for row in Csv::read("daylight/spectrl2_c_program_example.csv").rows() {
        let at = (row.number("wavelength") * 1000.0 - 380.0) / 5.0;
        if (-1e-4..80.1).contains(&at) && (at - at.round()).abs() < 1e-3 {
            let at = at.round() as usize;
            compared += 1;
            close("beam", beam[at] * 1000.0, row.number("specdir"), 5e-4);
            close("diffuse", diffuse[at] * 1000.0, row.number("specdif"), 5e-4);
        }
    }
    assert!(compared >= 25, "{compared}");
}

// Closed form, eight digits: 1e-6.
#[test]
fn cie_general_skies() {
    let file = Csv::read("daylight/cie_sky_ratios.csv");
    let lines: Vec<Value> = file
        .rows()
        .map(|r| {
            json!({"calc": "cie_sky", "type": r.number("type"), "sun_altitude_deg": r.number("sun_altitude_deg"),
                "directions": [[r.number("view_zenith_deg"), r.number("view_azimuth_from_sun_deg")]]})
        })
        .collect();
    for (row, answer) in file.rows().zip(answers(&lines)) {
        let what = format!("type {} {:?}", row.text("type"), row.cells());
        close(&what, number(&answer["relative_luminance"][0]), row.number("L_over_Lz"), 1e-6);
    }
}

// The model itself, six digits printed: 1e-5.
#[test]
fn the_clear_pattern_itself() {
    let cases = json_file("daylight/hosek_wilkie_cases.json");
    let case = &cases["cases"][0];
    let file = Csv::read("daylight/hosek_wilkie.csv");
    let directions: Vec<[f64; 2]> =
        file.rows().map(|r| [r.number("view_zenith_deg"), r.number("view_azimuth_from_sun_deg")]).collect();
    let line = json!({"calc": "clear_sky", "turbidity": case["turbidity"], "ground_albedo": case["albedo"],
        "sun_altitude_deg": case["sun_altitude_deg"], "directions": directions, "raw": true});
    let answer = &answers(&[line])[0];
    for (row, radiance) in file.rows().zip(answer["radiance"].as_array().unwrap()) {
        let radiance = numbers(radiance);
        assert_eq!(radiance.len(), 11);
        for (k, found) in radiance.iter().enumerate() {
            close("radiance", *found, row.number(&format!("L{}", 320 + 40 * k)), 1e-5);
        }
    }
}

// The clear sky's dome gives the diffuse spectrum at every wavelength: 0.1 %. Midpoints in azimuth over the half
// circle and in sin² of the altitude, where the weight of a horizontal plane is even; the grid itself is good to 0.05 %.
#[test]
fn the_clear_dome_adds_up_to_the_diffuse_light() {
    let (rings, sectors) = (50, 36);
    let mut directions = Vec::new();
    for i in 0..rings {
        let altitude = ((f64::from(i) + 0.5) / f64::from(rings)).sqrt().asin().to_degrees();
        directions.extend(
            (0..sectors).map(|k| [90.0 - altitude, 180.0 * (f64::from(k) + 0.5) / f64::from(sectors)]),
        );
    }
    let case = &conditions()[2];
    let lines = [
        line("clear_sky", air(case), &json!({"directions": directions})),
        line("clear_spectra", air(case), &json!({})),
    ];
    let answers = answers(&lines);
    let radiance: Vec<Vec<f64>> = answers[0]["radiance"].as_array().unwrap().iter().map(numbers).collect();
    let luminance = numbers(&answers[0]["luminance"]);
    let weight = std::f64::consts::PI / directions.len() as f64;
    let diffuse = numbers(&answers[1]["diffuse_horizontal"]);
    for (at, expected) in diffuse.iter().enumerate() {
        let sum: f64 = radiance.iter().map(|r| r[at]).sum::<f64>() * weight;
        close(&format!("{} nm", 380 + 5 * at), sum, *expected, 2e-3);
    }
    for (r, l) in radiance.iter().zip(luminance) {
        close("luminance", l, xyz(r)[1], 1e-9);
    }
}
