//! Known temperatures and distances, 1 500–25 000 K.

use spectra::UvPrime;

use crate::table::{Table, near};

// The chromaticities were offset from the locus of the same definition by a known Duv and printed to nine decimals,
// which is equivalent to 1e-3 K at 2 000 K and several kelvin at 25 000 K. Required: 2 K below 10 000 K.
#[test]
fn a_grid_of_known_temperatures() {
    let mut below = 0;
    for row in Table::read("colour/cct_grid.csv").rows(84) {
        let [cct_k, duv, u, v] = row.numbers(["cct_K", "duv", "u_prime", "v_prime"]);
        let found = UvPrime { u, v }.cct_duv().unwrap_or_else(|| panic!("{cct_k} K, {duv}"));
        let tolerance = if cct_k < 10_000.0 { 0.02 } else { 2e-5 * cct_k };
        near(&format!("temperature of {cct_k} K, {duv}"), found.cct_k, cct_k, tolerance);
        near(&format!("Duv of {cct_k} K, {duv}"), found.duv, duv, 2e-8);
        let other = row.number("cct_ohno2013_K");
        if cct_k < 10_000.0 {
            // A published approximation (Ohno 2013) as a second opinion; it is good to 0.1 K.
            near("Ohno 2013", found.cct_k, other, 0.15);
            below += 1;
        }
    }
    assert!(below > 40);
}
