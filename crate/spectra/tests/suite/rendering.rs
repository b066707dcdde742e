//! Colour rendering of 27 lights and of daylight through eight pieces.

use spectra::{RenderingError, colour_rendering};

use crate::table::{Table, near};

// 0.1 for Ra: the general-purpose library behind the columns resamples and uses Ohno's temperature. It differs by
// 0.015 from a second code by plain 5 nm sums, which must agree within 0.001. 0.2 for single indices, which no mean
// smooths.
#[test]
fn ra_and_r1_to_r14() {
    let lights = Table::read("colour/illuminants_5nm.csv");
    let pieces = Table::read("colour/transmittances.csv");
    let mut refused = 0;
    for row in Table::read("colour/cri.csv").rows(35) {
        let name = row.text("light");
        let light = match name.split_once(" x ") {
            Some((light, piece)) => lights.spectrum(light) * pieces.spectrum(piece),
            None => lights.spectrum(name),
        };
        let Some(cct_k) = row.maybe("cct_exact_K") else {
            // Without a temperature there is no reference, and hence no valid Ra, whatever a library prints.
            assert_eq!(colour_rendering(&light), Err(RenderingError::NoTemperature), "{name}");
            refused += 1;
            continue;
        };
        let found = colour_rendering(&light).unwrap_or_else(|e| panic!("{name}: {e}"));
        near(name, found.cct_duv.cct_k, cct_k, if cct_k < 10_000.0 { 0.02 } else { 0.1 });
        near(name, found.cct_duv.duv, row.number("duv_exact"), 1e-6);
        near(name, found.ra, row.number("Ra"), 0.1);
        near(name, found.ra, row.number("Ra_own_plain_sum_exact_cct"), 1e-3);
        for (k, r) in found.r.iter().enumerate() {
            let column = format!("R{}", k + 1);
            near(&format!("{name}, {column}"), *r, row.number(&column), 0.2);
        }
        if let Some(published) = row.maybe("Ra_published_from_memory") {
            // Printed without decimals; FL8 has 95.50.
            near(&format!("{name}, as CIE 15 prints it"), found.ra, published, 0.51);
        }
        assert_eq!(found.is_doubtful(), row.number("duv_exact").abs() > 5.4e-3, "{name}");
    }
    assert_eq!(refused, 1);
}

#[test]
fn the_test_colours_match_the_published_ones() {
    // The crate's own copy is private, and a light in one wavelength band would be no real test. Compare the files.
    let ours = include_str!("../../data/test_colours.csv");
    let ours: Vec<&str> = ours.lines().filter(|l| !l.starts_with('#')).collect();
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/colour/cri_test_colours_5nm.csv");
    let theirs = std::fs::read_to_string(path).unwrap();
    assert_eq!(ours, theirs.lines().collect::<Vec<_>>());
}
