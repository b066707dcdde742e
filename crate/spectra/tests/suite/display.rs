//! Display matrices and twelve colours on two displays.

use palette::encoding::Linear;
use palette::rgb::{Rgb, RgbSpace, RgbStandard};
use spectra::Xyz;
use spectra::rgb::{self, LinearSrgb};

use crate::table::{Row, Table, json, near};

fn check_matrix(name: &str, ours: &[f64; 9], theirs: &serde_json::Value, tolerance: f64) {
    for (row, expected) in ours.chunks_exact(3).zip(theirs.as_array().unwrap()) {
        for (found, expected) in row.iter().zip(expected.as_array().unwrap()) {
            near(name, *found, expected.as_f64().unwrap(), tolerance);
        }
    }
}

// Both sides solve the same primaries, so only double-precision rounding remains. The rounded matrix that IEC
// 61966-2-1 prints has four decimals, and is the exact inverse of its partner only to within 1e-4.
#[test]
fn matrices_from_the_primaries() {
    let file = json("colour/display_matrices.json");
    check_matrix("sRGB to XYZ", &rgb::XYZ_FROM_SRGB, &file["sRGB_to_XYZ"], 1e-14);
    check_matrix("XYZ to sRGB", &rgb::SRGB_FROM_XYZ, &file["XYZ_to_sRGB"], 1e-14);
    check_matrix("P3 to XYZ", &rgb::XYZ_FROM_DISPLAY_P3, &file["P3_to_XYZ"], 1e-14);
    check_matrix("XYZ to P3", &rgb::DISPLAY_P3_FROM_XYZ, &file["XYZ_to_P3"], 1e-14);
    check_matrix("sRGB as printed", &rgb::XYZ_FROM_SRGB, &file["colour_science_sRGB_to_XYZ"], 5e-5);
    let printed = &file["iec_61966_2_1_XYZ_to_sRGB_4dp_from_memory"];
    check_matrix("XYZ to sRGB as printed", &rgb::SRGB_FROM_XYZ, printed, 4e-4);
    for k in 0..3 {
        let mut unit = [0.0; 3];
        unit[k] = 1.0;
        let p3 = rgb::linear_display_p3_from_xyz(rgb::xyz_from_linear_srgb(LinearSrgb::from(unit)));
        for (found, row) in
            <[f64; 3]>::from(p3).iter().zip(file["sRGB_linear_to_P3_linear"].as_array().unwrap())
        {
            near("sRGB to P3", *found, row[k].as_f64().unwrap(), 1e-14);
        }
    }
}

// Eight decimals: 1e-7. Eight-bit values may differ by one at a tie.
#[test]
fn twelve_colours() {
    let mut outside = 0;
    for row in Table::read("colour/display_rgb.csv").rows(12) {
        let xyz = Xyz::from(row.numbers(["X", "Y", "Z"]));
        let (srgb, p3) = (rgb::linear_srgb_from_xyz(xyz), rgb::linear_display_p3_from_xyz(xyz));
        check_colour(&row, "srgb", srgb);
        check_colour(&row, "p3", p3);
        outside += usize::from(!rgb::in_gamut(srgb)) + usize::from(!rgb::in_gamut(p3));
    }
    assert!(outside > 2);
}

fn check_colour<S>(row: &Row<'_>, prefix: &str, linear: Rgb<Linear<S>, f64>)
where
    S: RgbSpace + RgbStandard<Space = S, TransferFn = rgb::Encoding>,
{
    let what = format!("{} in {prefix}", row.text("name"));
    let encoded = <[f64; 3]>::from(Rgb::<S, f64>::from_linear(linear));
    let eight = rgb::eight_bits(linear);
    for (k, channel) in ["r", "g", "b"].into_iter().enumerate() {
        let column = |kind: &str| row.number(&format!("{prefix}_{kind}_{channel}"));
        near(&what, <[f64; 3]>::from(linear)[k], column("lin"), 1e-7);
        near(&what, encoded[k], column("enc"), 1e-7);
        near(&what, f64::from(eight[k]), column("clip8"), 1.0);
    }
    assert_eq!(rgb::in_gamut(linear), row.text(&format!("{prefix}_in_gamut")) == "1", "{what}");
}
