//! The shipped colloid table, recomputed from the metals' optical constants by independent Mie code.

use crate::common::{number, table};
use crate::mie::{GLASS_INDEX, efficiencies, real, relative_index};
use glass::colourant;
use spectra::wavelengths_nm;

/// Tolerance 0.5 % of each value, plus half of the last of five printed decimals.
#[test]
fn the_table_agrees_with_mie_theory() {
    let metals = table("metals_nk.csv");
    for name in &table("colloids.csv").head[1..] {
        let (metal, radius) = name.trim_end_matches("nm").split_once('_').unwrap();
        let radius: f64 = radius.parse().unwrap();
        let (n, k) = (metals.spectrum(&format!("n_{metal}")), metals.spectrum(&format!("k_{metal}")));
        let shipped = colourant(name).unwrap().absorbance;
        for (i, nm) in wavelengths_nm().enumerate() {
            let m = relative_index(n[i], k[i], metal, nm, Some(radius));
            let [q, _] = efficiencies(m, std::f64::consts::TAU * GLASS_INDEX * radius / nm);
            // Extinction of spheres filling a millionth of the volume: 3Q/4a, base 10, per mm.
            let expected = 0.75 * q / radius / std::f64::consts::LN_10;
            let off = (shipped[i] - expected).abs();
            assert!(off <= 0.005 * expected + 6e-6, "{name} {nm} nm: {} for {expected}", shipped[i]);
        }
    }
}

/// Spheres of 1 nm: 4x·Im((m²−1)/(m²+2)) + (8/3)x⁴|…|², to the six printed decimals and the file's five-decimal n,
/// k; and Mie theory within 1 % of it.
#[test]
fn the_small_sphere_limit() {
    let metals = table("metals_nk.csv");
    for r in table("rayleigh_gans.csv").records() {
        let (metal, nm) = (r["metal"], number(&r, "nm"));
        let i = ((nm - 380.0) / 5.0) as usize;
        let (n, k) = (metals.spectrum(&format!("n_{metal}"))[i], metals.spectrum(&format!("k_{metal}"))[i]);
        let m = relative_index(n, k, metal, nm, None);
        let x = std::f64::consts::TAU * GLASS_INDEX / nm;
        let polarisability = (m * m - real(1.0)) / (m * m + real(2.0));
        let small = 4.0 * x * polarisability.1 + 8.0 / 3.0 * x.powi(4) * polarisability.norm();
        let (expected, mie) = (number(&r, "Qext_rayleigh"), number(&r, "Qext_mie_1nm"));
        assert!((small / expected - 1.0).abs() < 1e-3, "{metal} {nm}: {small} for {expected}");
        assert!(
            (efficiencies(m, x)[0] / mie - 1.0).abs() < 1e-3,
            "{metal} {nm}: {} for {mie}",
            efficiencies(m, x)[0]
        );
        assert!((small / mie - 1.0).abs() < 0.01, "{metal} {nm}");
    }
}
