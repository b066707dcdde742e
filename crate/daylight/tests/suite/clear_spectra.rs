//! Beam and diffuse spectra compared with pvlib and the authors' C program.

use crate::common::{csv, json, num};
use daylight::{Atmosphere, DaylightError, Spectrl2Inputs, relative_air_mass, spectrl2, spectrl2_bands};
use spectra::{Observer, Spectrum, Xyz, luminous};

fn inputs_of(case: &serde_json::Value) -> Spectrl2Inputs {
    let get = |name: &str| case[name].as_f64().unwrap_or_else(|| panic!("{name} in {case}"));
    Spectrl2Inputs {
        apparent_zenith_deg: get("apparent_zenith_deg"),
        day_of_year: get("day_of_year"),
        pressure_hpa: get("pressure_Pa") / 100.0,
        atmosphere: Atmosphere {
            aod_500nm: get("aod_500nm"),
            angstrom_exponent: get("angstrom_alpha"),
            precipitable_water_cm: get("precipitable_water_cm"),
            ozone_atm_cm: get("ozone_atm_cm"),
            single_scattering_albedo_400nm: get("ssa_400nm"),
            wavelength_variation: get("omega_factor"),
            asymmetry: get("asymmetry"),
        },
        ground_albedo: Spectrum::splat(get("ground_albedo")),
    }
}

fn cases() -> Vec<serde_json::Value> {
    json("daylight/spectrl2_inputs.json").as_array().unwrap().clone()
}

// Source: pvlib 0.16.1, 16 conditions × 122 wavelengths. 0.5 % is required; the file prints seven digits.
#[test]
fn every_wavelength_of_sixteen_conditions() {
    let rows = csv("daylight/spectrl2.csv");
    assert_eq!(rows.len(), 16 * 122);
    for case in cases() {
        let name = case["case"].as_str().unwrap();
        let bands = spectrl2_bands(&inputs_of(&case)).unwrap();
        let of_case: Vec<_> = rows.iter().filter(|r| r["case"] == name).collect();
        assert_eq!(of_case.len(), bands.len());
        for (row, band) in of_case.into_iter().zip(bands) {
            assert!((band.wavelength_nm - num(row, "wavelength_nm")).abs() < 1e-9);
            for (column, found) in [
                ("dni_extra", band.extraterrestrial),
                ("dni", band.beam_normal),
                ("dhi", band.diffuse_horizontal),
            ] {
                let expected = num(row, column);
                let off = (found - expected).abs();
                // Where almost nothing is left (1e-12 of a milliwatt in the far infrared) only the order of
                // magnitude counts.
                assert!(
                    off <= 1e-6 * expected + 1e-15,
                    "{name} {} {column}: {found} {expected}",
                    band.wavelength_nm
                );
            }
        }
        assert!(
            (relative_air_mass(case["apparent_zenith_deg"].as_f64().unwrap())
                - case["relative_airmass_kastenyoung1989"].as_f64().unwrap())
            .abs()
                < 1e-7
        );
    }
}

// Source: a printout of the authors' C program (W·m⁻²·µm⁻¹, µm) in pvlib's tests. It computes in single precision:
// 0.05 %. Below 350 nm ozone makes the spectrum steep; the tolerance there is the same.
#[test]
fn the_printout_of_the_authors_program() {
    let k = json("daylight/spectrl2_c_program_example_inputs.json");
    let get = |name: &str| k[name].as_f64().unwrap();
    let inputs = Spectrl2Inputs {
        apparent_zenith_deg: get("apparent_zenith"),
        day_of_year: get("dayofyear"),
        pressure_hpa: get("surface_pressure") / 100.0,
        atmosphere: Atmosphere {
            aod_500nm: get("aerosol_turbidity_500nm"),
            precipitable_water_cm: get("precipitable_water"),
            ozone_atm_cm: get("ozone"),
            ..Atmosphere::default()
        },
        ground_albedo: Spectrum::splat(get("ground_albedo")),
    };
    assert!((relative_air_mass(inputs.apparent_zenith_deg) - get("relative_airmass")).abs() < 1e-6);
    let rows = csv("daylight/spectrl2_c_program_example.csv");
    assert_eq!(rows.len(), 122);
    for (row, band) in rows.iter().zip(spectrl2_bands(&inputs).unwrap()) {
        for (column, found) in [
            ("specetr", band.extraterrestrial),
            ("specdir", band.beam_normal),
            ("specdif", band.diffuse_horizontal),
        ] {
            let expected = num(row, column) / 1000.0;
            assert!(
                (found - expected).abs() <= 5e-4 * expected,
                "{} {column}: {found} {expected}",
                band.wavelength_nm
            );
        }
    }
}

// Source: the same spectra joined by lines to 1 nm and summed with the 1931 observer. The 5 nm samples shift lx by
// up to 0.2 % and x, y by up to 5e-4.
#[test]
fn light_and_colour_of_the_sixteen_conditions() {
    let rows = csv("daylight/spectrl2_colour.csv");
    for case in cases() {
        let light = spectrl2(&inputs_of(&case)).unwrap();
        for (component, spectrum) in [("dni", light.beam_normal), ("dhi", light.diffuse_horizontal)] {
            let row = rows.iter().find(|r| r["case"] == case["case"] && r["component"] == component).unwrap();
            let lx = luminous(&spectrum) / num(row, "illuminance_lx");
            assert!((lx - 1.0).abs() < 2e-3, "{row:?}: {lx}");
            let c = Xyz::absolute(&spectrum, Observer::default()).chromaticity().unwrap();
            assert!(
                (c.x - num(row, "x")).abs() < 5e-4 && (c.y - num(row, "y")).abs() < 5e-4,
                "{row:?}: {c:?}"
            );
        }
    }
}

// Source: luminous efficacy by air mass. It depends on the range of integration; ours is 380–780 nm. 0.5 %.
#[test]
fn efficacy_of_the_beam() {
    let rows = csv("daylight/beam_efficacy.csv");
    assert_eq!(rows.len(), 11);
    for row in rows {
        let light = spectrl2(&Spectrl2Inputs {
            apparent_zenith_deg: num(&row, "apparent_zenith_deg"),
            day_of_year: num(&row, "day_of_year"),
            pressure_hpa: num(&row, "pressure_Pa") / 100.0,
            atmosphere: Atmosphere {
                aod_500nm: num(&row, "aod_500nm"),
                precipitable_water_cm: num(&row, "water_cm"),
                ozone_atm_cm: num(&row, "ozone_atm_cm"),
                ..Atmosphere::default()
            },
            ground_albedo: Spectrum::splat(0.2),
        })
        .unwrap();
        let beam = if row["component"] == "dni" { light.beam_normal } else { light.extraterrestrial };
        // The trapezoid of the file gives half weight to the two end samples.
        let visible = beam.integral() - 2.5 * (beam[0] + beam[80]);
        let lx = luminous(&beam);
        for (column, found) in [
            ("illuminance_lx", lx),
            ("irradiance_380_780_W_m2", visible),
            ("efficacy_380_780_lm_W", lx / visible),
        ] {
            let expected = num(&row, column);
            assert!((found / expected - 1.0).abs() < 5e-3, "{row:?} {column}: {found}");
        }
        let uv = Xyz::absolute(&beam, Observer::default()).u_prime_v_prime().unwrap();
        assert!((uv.u - num(&row, "u_prime")).abs() < 5e-4 && (uv.v - num(&row, "v_prime")).abs() < 5e-4);
    }
}

#[test]
fn a_coloured_ground_lights_only_its_own_part_of_the_sky() {
    let base = inputs_of(&cases()[6]);
    let with =
        |albedo| spectrl2(&Spectrl2Inputs { ground_albedo: albedo, ..base }).unwrap().diffuse_horizontal;
    let (dark, red) =
        (with(Spectrum::ZERO), with(Spectrum::from_fn(|nm| if nm > 600.0 { 0.8 } else { 0.0 })));
    assert!((dark[20] - red[20]).abs() < 1e-15 && red[60] > dark[60] * 1.01);
}

#[test]
fn impossible_values_are_named() {
    let base = inputs_of(&cases()[0]);
    let bad = |change: fn(&mut Spectrl2Inputs)| {
        let mut inputs = base;
        change(&mut inputs);
        match spectrl2(&inputs) {
            Err(DaylightError::OutsideRange { what, .. }) => what,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(bad(|i| i.apparent_zenith_deg = 90.5), "apparent_zenith_deg");
    assert_eq!(bad(|i| i.apparent_zenith_deg = f64::NAN), "apparent_zenith_deg");
    assert_eq!(bad(|i| i.day_of_year = 0.0), "day_of_year");
    assert_eq!(bad(|i| i.atmosphere.aod_500nm = -0.1), "aod_500nm");
    assert_eq!(bad(|i| i.ground_albedo[3] = 1.5), "ground_albedo");
}
