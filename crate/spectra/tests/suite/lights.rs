//! Observers and illuminants.

use spectra::{Observer, Xyz, illuminant, observer_functions, planck};

use crate::table::{Table, near};

#[test]
fn the_observers_match_the_published_tables() {
    let table = Table::read("colour/observers_5nm.csv");
    for (observer, names) in
        [(Observer::Cie1931, ["x2", "y2", "z2"]), (Observer::Cie1964, ["x10", "y10", "z10"])]
    {
        for (function, name) in observer_functions(observer).iter().zip(names) {
            assert_eq!(*function, table.spectrum(name), "{name}");
        }
    }
    // V(λ) of 1924 is ȳ of 1931; the file's last digit differs by rounding in one library.
    let v = table.spectrum("V");
    assert!((v - observer_functions(Observer::Cie1931)[1]).map(f64::abs).max() < 3e-15);
}

#[test]
fn the_spectrum_locus_matches_the_one_nanometre_table() {
    let table = Table::read("colour/observers_1nm.csv");
    for (observer, names) in
        [(Observer::Cie1931, ["x2", "y2", "z2"]), (Observer::Cie1964, ["x10", "y10", "z10"])]
    {
        let rows = table.rows(471).filter(|r| (380.0..=700.0).contains(&r.number("wavelength_nm")));
        let mut points = 0;
        for (row, point) in rows.zip(spectra::spectrum_locus(observer)) {
            let expected = Xyz::from(row.numbers(names)).chromaticity().unwrap();
            near("x", point.x, expected.x, 1e-15);
            near("y", point.y, expected.y, 1e-15);
            points += 1;
        }
        assert_eq!(points, 321);
    }
}

#[test]
fn the_tabulated_illuminants_match_the_published_tables() {
    let table = Table::read("colour/illuminants_5nm.csv");
    for (name, light) in [
        ("A", illuminant::a()),
        ("C", illuminant::c()),
        ("D50", illuminant::d50()),
        ("D55", illuminant::d55()),
        ("D65", illuminant::d65()),
        ("D75", illuminant::d75()),
        ("E", illuminant::e()),
    ] {
        assert_eq!(light, table.spectrum(name), "{name}");
        assert_eq!(illuminant::check(&light), Ok(()));
    }
}

// The tabulated illuminant A follows Planck's law with the c2 of its time, 1.435e-2, and 2848 K (CIE 15). Six
// digits are tabulated.
#[test]
fn illuminant_a_matches_the_black_body_of_its_definition() {
    let body = planck(2848.0 * 1.4388 / 1.435);
    let scaled = body * (100.0 / body[36]);
    let difference = scaled - illuminant::a();
    assert!(difference.map(f64::abs).max() < 1e-3, "{}", difference.map(f64::abs).max());
}

// Source of the columns: CIE 15 formula; the file keeps 8 decimals of xD, yD and 6 of M1, M2.
#[test]
fn daylight_chromaticities_and_factors() {
    for row in Table::read("daylight/daylight_locus.csv").rows(45) {
        let [cct_k, x, y, m1, m2] = row.numbers(["cct_K", "xD", "yD", "M1", "M2"]);
        let found = illuminant::daylight_chromaticity(cct_k).unwrap();
        near("xD", found.x, x, 6e-9);
        near("yD", found.y, y, 6e-9);
        let factors = illuminant::daylight_factors(found);
        near("M1", factors[0], m1, 6e-7);
        near("M2", factors[1], m2, 6e-7);
    }
}

// The formula columns keep 5 decimals. The tables have M1 and M2 rounded to three decimals, which changes a sample
// by up to 0.017.
#[test]
fn daylight_spectra() {
    let table = Table::read("daylight/daylight_series.csv");
    let nominal = |k: f64| k * 1.4388 / 1.4380;
    for (name, cct_k, tolerance) in [
        ("D50_formula", nominal(5000.0), 1e-5),
        ("D55_formula", nominal(5500.0), 1e-5),
        ("D65_formula", nominal(6500.0), 1e-5),
        ("D75_formula", nominal(7500.0), 1e-5),
        ("D50_table_colour_science", nominal(5000.0), 0.017),
        ("D55_table_colour_science", nominal(5500.0), 0.017),
        ("D65_table_colour_science", nominal(6500.0), 0.017),
        ("D75_table_colour_science", nominal(7500.0), 0.017),
        ("T4000_formula", 4000.0, 1e-5),
        ("T6000_formula", 6000.0, 1e-5),
        ("T7000_formula", 7000.0, 1e-5),
        ("T7001_formula", 7001.0, 1e-5),
        ("T10000_formula", 10_000.0, 1e-5),
        ("T15000_formula", 15_000.0, 1e-5),
        ("T25000_formula", 25_000.0, 1e-5),
    ] {
        let light = illuminant::daylight(cct_k).unwrap();
        let mut compared = 0;
        for row in table.rows(107) {
            let nm = row.number("wavelength_nm");
            if (380.0..=780.0).contains(&nm) {
                let sample = ((nm - 380.0) / 5.0) as usize;
                near(&format!("{name} at {nm} nm"), light[sample], row.number(name), tolerance);
                compared += 1;
            }
        }
        assert_eq!(compared, 81);
    }
}
