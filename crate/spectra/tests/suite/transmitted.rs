//! 36 transmittances in six lights: every colour figure.

use spectra::{Observer, TristimulusWeights, Xyz, illuminant};

use crate::table::{Row, Table, near, near_or_none};

fn check_xyz(what: &str, found: Xyz, row: &Row<'_>, columns: [&str; 3]) {
    for (found, expected) in found.to_array().into_iter().zip(row.numbers(columns)) {
        near(what, found, expected, if expected < 100.0 { 1e-6 } else { 5.1e-6 });
    }
}

// Tolerances, from the file's printed digits: XYZ 1e-6 below 100 and 5e-6 above (eight digits, plain sum in both),
// xy and u'v' 1e-6, Lab 1e-4, dominant wavelength 0.02 nm and purity 1e-4 (1 nm locus in both), CCT 0.02 K below 10
// 000 K (required: 2 K) and 1e-5 of its value above, Duv 1e-6 (six decimals).
#[test]
fn every_figure_of_216_transmitted_colours() {
    let pieces = Table::read("colour/transmittances.csv");
    let lights = Table::read("colour/illuminants_5nm.csv");
    let (mut with_temperature, mut purples) = (0, 0);
    for row in Table::read("colour/transmitted_colour.csv").rows(216) {
        let (piece, light) = (row.text("spectrum"), row.text("illuminant"));
        let what = format!("{piece} in {light}");
        let (piece, light) = (pieces.spectrum(piece), lights.spectrum(light));

        let xyz = Xyz::of_transmission(&piece, &light, Observer::Cie1931);
        check_xyz(&what, xyz, &row, ["X", "Y", "Z"]);
        let wide = Xyz::of_transmission(&piece, &light, Observer::Cie1964);
        check_xyz(&what, wide, &row, ["X10", "Y10", "Z10"]);
        let weighted = TristimulusWeights::of_transmission(&light, Observer::Cie1931).xyz(&piece);
        check_xyz(&what, weighted, &row, ["X", "Y", "Z"]);

        let white = Xyz::white(&light, Observer::Cie1931).unwrap();
        let (xy, uv) = (xyz.chromaticity().unwrap(), xyz.u_prime_v_prime().unwrap());
        let lab = xyz.lab(white).unwrap();
        for (column, found, tolerance) in [
            ("x", xy.x, 1e-6),
            ("y", xy.y, 1e-6),
            ("u_prime", uv.u, 1e-6),
            ("v_prime", uv.v, 1e-6),
            ("L", lab.l, 1e-4),
            ("a", lab.a, 1e-4),
            ("b", lab.b, 1e-4),
        ] {
            near(&format!("{what}, {column}"), found, row.number(column), tolerance);
        }

        let dominant = xy.dominant(white.chromaticity().unwrap(), Observer::Cie1931);
        let expected = row.maybe("dominant_nm");
        near_or_none(&what, dominant.map(|d| d.wavelength_nm.abs()), expected, 0.02);
        near_or_none(&what, dominant.map(|d| d.excitation_purity), row.maybe("excitation_purity"), 1e-4);
        if let Some(dominant) = dominant {
            assert_eq!(dominant.is_complementary(), row.text("kind") == "complementary", "{what}");
            purples += usize::from(dominant.is_complementary());
        }

        let temperature = xyz.cct_duv();
        let expected = row.maybe("cct_exact_K");
        let tolerance = expected.map_or(0.0, |k| if k < 10_000.0 { 0.02 } else { 1e-5 * k });
        near_or_none(&what, temperature.map(|t| t.cct_k), expected, tolerance);
        near_or_none(&what, temperature.map(|t| t.duv), row.maybe("duv_exact"), 1e-6);
        with_temperature += usize::from(temperature.is_some());
    }
    // Both branches must have been exercised.
    assert!(with_temperature > 50 && with_temperature < 216, "{with_temperature}");
    assert!(purples > 5, "{purples}");
}

#[test]
fn whites_and_lights() {
    let lights = Table::read("colour/illuminants_5nm.csv");
    for row in Table::read("colour/whites.csv").rows(11) {
        let name = row.text("light");
        let light = lights.spectrum(name);
        let white = Xyz::white(&light, Observer::Cie1931).unwrap();
        check_xyz(name, white, &row, ["X", "Y", "Z"]);
        let wide = Xyz::white(&light, Observer::Cie1964).unwrap();
        check_xyz(name, wide, &row, ["X10", "Y10", "Z10"]);
        let (xy, uv) = (white.chromaticity().unwrap(), white.u_prime_v_prime().unwrap());
        for (column, found) in [("x", xy.x), ("y", xy.y), ("u_prime", uv.u), ("v_prime", uv.v)] {
            near(&format!("{name}, {column}"), found, row.number(column), 1e-6);
        }
        let temperature = white.cct_duv().unwrap();
        near(name, temperature.cct_k, row.number("cct_exact_K"), 0.02);
        near(name, temperature.duv, row.number("duv_exact"), 1e-6);
    }
}

// CIE 15:2018 tables T.3: white points at 5 nm, two decimals.
#[test]
fn published_white_points() {
    for (light, x, z) in [(illuminant::a(), 109.85, 35.58), (illuminant::d65(), 95.04, 108.88)] {
        let white = Xyz::white(&light, Observer::Cie1931).unwrap();
        near("X", white.x, x, 0.006);
        near("Z", white.z, z, 0.006);
    }
}
