//! Single panes, stacks and thickness compared with the check data.

use std::sync::Arc;

use crate::common::{number, plain, table, text, worst};
use glass::{
    Absorbance, Deposits, Gap, Layer, Makeup, Plate, find, inner_cosine, reflectance, stack, stack_scalar,
};
use spectra::{Observer, Spectrum, Xyz, illuminant, wavelengths_nm};

/// Tolerance 1e-7: the file prints eight decimals.
#[test]
fn fresnel_and_single_panes() {
    for r in table("pane.csv").records() {
        let (n, deg, tau) = (number(&r, "n"), number(&r, "deg"), number(&r, "tau_normal"));
        let case = format!("n {n}, {deg}°, τ {tau}");
        let close = |found: f64, key: &str| {
            let expected = number(&r, key);
            assert!((found - expected).abs() < 1e-7, "{case}: {key} {found} for {expected}");
        };
        let sine = deg.to_radians().sin();
        let inner = inner_cosine(n, sine);
        close(inner, "cos_inner");
        let [s, p] = reflectance(1.0, n, inner_cosine(1.0, sine), inner);
        close(s, "Rs");
        close(p, "Rp");
        close(tau.powf(1.0 / inner), "tau_path");
        let o = stack_scalar(&[(n, tau)], deg).unwrap();
        close(o.transmittance, "T");
        close(o.reflectance_outside, "R");
    }
}

/// Tolerance 1e-8: ten digits printed. Checked three ways: one wavelength, 81 wavelengths, and a made-up piece.
/// Hemispherical 1e-4: the file's midpoint rule.
#[test]
fn stacks_of_panes() {
    let data: serde_json::Value = serde_json::from_str(&text("glass_stack", "glass_stack.json")).unwrap();
    let stacks = data["stacks"].as_array().unwrap();
    assert_eq!(stacks.len(), 15);
    for case in stacks {
        let name = case["name"].as_str().unwrap();
        let layers: Vec<(f64, f64)> = case["layers_n_tau_i"]
            .as_array()
            .unwrap()
            .iter()
            .map(|l| (l[0].as_f64().unwrap(), l[1].as_f64().unwrap()))
            .collect();
        let spectral: Vec<Layer> =
            layers.iter().map(|&(n, tau)| Layer { n, tau_internal: Spectrum::splat(tau) }).collect();
        let gap = if layers.iter().any(|l| l.0 <= 1.0) { Gap::Air } else { Gap::Contact };
        let piece = Makeup {
            plates: layers
                .iter()
                .filter(|l| l.0 > 1.0)
                .enumerate()
                .map(|(i, &(n, tau))| Plate::new(Arc::new(plain(&i.to_string(), n, tau)), 1.0))
                .collect(),
            gap,
            paints: Vec::new(),
            deposits: Deposits::NONE,
            protective: None,
        };
        for row in case["rows"].as_array().unwrap() {
            let v: Vec<f64> = row.as_array().unwrap().iter().map(|x| x.as_f64().unwrap()).collect();
            let [deg, t, r_out, r_in, t_s, t_p] = v[..] else { panic!("{name}") };
            let one = stack_scalar(&layers, deg).unwrap();
            let many = stack(&spectral, deg).unwrap();
            let made = piece.optics(deg);
            for (what, found, expected) in [
                ("T", one.transmittance, t),
                ("R outside", one.reflectance_outside, r_out),
                ("R inside", one.reflectance_inside, r_in),
                ("T s", one.transmittance_s, t_s),
                ("T p", one.transmittance_p, t_p),
                ("T by wavelength", many.transmittance[7], t),
                ("R outside by wavelength", many.reflectance_outside[80], r_out),
                ("R inside by wavelength", many.reflectance_inside[0], r_in),
                ("T of a piece", made.regular_transmittance[40], t),
                ("R outside of a piece", made.reflectance_outside[40], r_out),
                ("R inside of a piece", made.reflectance_inside[40], r_in),
                ("no scatter", made.diffuse_transmittance[40], 0.0),
            ] {
                assert!((found - expected).abs() < 1e-8, "{name}, {deg}°: {what} {found} for {expected}");
            }
        }
        let hemispherical = case["hemispherical_T"].as_f64().unwrap();
        let found = piece.hemispherical().transmittance()[40];
        assert!((found - hemispherical).abs() < 1e-4, "{name}: hemispherical {found} for {hemispherical}");
    }
}

/// Averaging reflectances over the polarisations before the series is a common mistake; this file's rows must
/// detect it.
#[test]
fn polarisations_are_averaged_last() {
    let sine = 70f64.to_radians().sin();
    let (c1, c2) = (inner_cosine(1.0, sine), inner_cosine(1.52, sine));
    let [s, p] = reflectance(1.0, 1.52, c1, c2);
    let r = 0.5 * (s + p);
    let averaged_first = (1.0 - r) / (1.0 + r);
    let exact = stack_scalar(&[(1.52, 1.0)], 70.0).unwrap().transmittance;
    assert!((averaged_first - exact).abs() > 0.01, "{averaged_first} {exact}");
}

/// Tolerance 0.0018: both columns are rounded to three decimals.
#[test]
fn internal_transmittance_at_two_thicknesses() {
    let data = table("two_thickness.csv");
    assert_eq!(data.rows.len(), 105);
    for r in data.records() {
        let at_10 = Spectrum::splat(number(&r, "tau_10mm"));
        let found = Absorbance::from_internal(&at_10, 10.0).unwrap().internal(25.0)[0];
        let expected = number(&r, "tau_25mm");
        assert!((found - expected).abs() <= 0.0018, "{} {}: {found} {expected}", r["glass"], r["nm"]);
    }
}

fn y_of(total: &Spectrum) -> f64 {
    Xyz::of_transmission(total, &illuminant::d65(), Observer::Cie1931).y / 100.0
}

/// Clear 3 mm Y = 0.899, 6 mm 0.882, low-iron 3 mm 0.913, each within 0.001 (three decimals), from Rubin's index by
/// wavelength; the library's glass with its single index must agree.
#[test]
fn clear_window_glass() {
    let data = table("soda_lime.csv");
    let n = data.spectrum("n_rubin");
    for (column, id, mm, y) in [
        ("a_clear", "float-clear", 3.0, 0.899),
        ("a_clear", "float-clear", 6.0, 0.882),
        ("a_lowiron", "float-low-iron", 3.0, 0.913),
    ] {
        let tau = Absorbance::per_mm(data.spectrum(column)).internal(mm);
        let mut total = Spectrum::ZERO;
        for i in 0..81 {
            total[i] = stack_scalar(&[(n[i], tau[i])], 0.0).unwrap().transmittance;
        }
        let exact = y_of(&total);
        assert!((exact - y).abs() < 0.001, "{column} {mm}: {exact}");
        let glass = find(id).unwrap();
        assert!(worst(&glass.internal(mm), &tau) < 1e-12, "{id}");
        let ours = y_of(&Makeup::single(Arc::clone(glass), mm).optics(0.0).regular_transmittance);
        assert!((ours - y).abs() < 0.001, "{id} {mm}: {ours}");
    }
}

/// Rubin's dispersion, n = 1.5130 − 0.003169λ² + 0.003962λ⁻² (µm), equals the file's column within 2e-5, its
/// rounding; the single index of the library's float lies within 0.016 of it everywhere.
#[test]
fn dispersion_of_window_glass() {
    let n = table("soda_lime.csv").spectrum("n_rubin");
    for (nm, n) in wavelengths_nm().zip(n.samples()) {
        let um = nm / 1000.0;
        let formula = 1.5130 - 0.003169 * um * um + 0.003962 / (um * um);
        assert!((n - formula).abs() < 2e-5, "{nm}: {n} {formula}");
        assert!((n - find("float-clear").unwrap().n).abs() < 0.016, "{nm}");
    }
}

/// Sixteen Gauss points in the cosine compared with the midpoint rule with 20 000 points (itself good to 1e-8):
/// within 1e-7.
#[test]
fn hemispherical_averages_are_exact() {
    for (n, tau) in [(1.52, 1.0), (1.52, 0.05), (1.7, 0.9)] {
        let found = Makeup::single(Arc::new(plain("x", n, tau)), 1.0).hemispherical();
        let count = 20_000;
        let (mut t, mut r) = (0.0, 0.0);
        for i in 0..count {
            let cosine = (f64::from(i) + 0.5) / f64::from(count);
            let o = stack_scalar(&[(n, tau)], cosine.acos().to_degrees()).unwrap();
            t += 2.0 * cosine * o.transmittance / f64::from(count);
            r += 2.0 * cosine * o.reflectance_outside / f64::from(count);
        }
        let off = (found.transmittance()[3] - t).abs().max((found.reflectance_inside[3] - r).abs());
        assert!(off < 1e-7, "n {n}, τ {tau}: {off}");
    }
}
