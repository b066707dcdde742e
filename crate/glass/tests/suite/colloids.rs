//! The shipped colloid table, recomputed from the metals' optical constants by independent Mie code.
//!
//! Source: Bohren & Huffman, *Absorption and Scattering of Light by Small Particles*, 1983, ch. 4 (recurrences from
//! memory); metals: Johnson & Christy 1972; collision damping Kreibig & Vollmer 1995 with A = 1, Drude numbers from
//! memory, the same as the table's.

use std::ops::{Add, Div, Mul, Sub};

use crate::common::{number, table};
use glass::colourant;
use spectra::wavelengths_nm;

#[derive(Clone, Copy, Debug)]
struct Complex(f64, f64);

impl Complex {
    fn norm(self) -> f64 {
        self.0 * self.0 + self.1 * self.1
    }
    fn sqrt(self) -> Self {
        let r = self.norm().sqrt();
        Self((0.5 * (r + self.0)).sqrt(), (0.5 * (r - self.0)).sqrt().copysign(self.1))
    }
}
impl Add for Complex {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0, self.1 + o.1)
    }
}
impl Sub for Complex {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self(self.0 - o.0, self.1 - o.1)
    }
}
impl Mul for Complex {
    type Output = Self;
    fn mul(self, o: Self) -> Self {
        Self(self.0 * o.0 - self.1 * o.1, self.0 * o.1 + self.1 * o.0)
    }
}
impl Div for Complex {
    type Output = Self;
    fn div(self, o: Self) -> Self {
        let n = o.norm();
        Self((self.0 * o.0 + self.1 * o.1) / n, (self.1 * o.0 - self.0 * o.1) / n)
    }
}
fn real(v: f64) -> Complex {
    Complex(v, 0.0)
}

const GLASS_INDEX: f64 = 1.52;

/// Extinction efficiency of a sphere of relative index `m` (positive imaginary part absorbs) and size `x` = 2πna/λ.
fn extinction(m: Complex, x: f64) -> f64 {
    let orders = (x + 4.0 * x.cbrt() + 2.0).ceil() as usize + 4;
    let mx = m * real(x);
    // Logarithmic derivative, downward from well above.
    let mut d = vec![real(0.0); orders + 20];
    for n in (1..d.len()).rev() {
        let k = real(n as f64) / mx;
        d[n - 1] = k - real(1.0) / (d[n] + k);
    }
    // Riccati–Bessel ψ downward (upward recurrence loses digits at small size), χ upward.
    let top = orders + 20;
    let mut psi = vec![0.0; top + 2];
    psi[top] = 1e-250;
    for n in (1..=top).rev() {
        psi[n - 1] = (2.0 * n as f64 + 1.0) / x * psi[n] - psi[n + 1];
        if psi[n - 1].abs() > 1e200 {
            psi.iter_mut().for_each(|v| *v *= 1e-200);
        }
    }
    let scale = x.sin() / psi[0];
    let (mut chi0, mut chi1) = (x.cos(), x.cos() / x + x.sin());
    let mut sum = 0.0;
    for n in 1..=orders {
        let nf = n as f64;
        if n > 1 {
            (chi0, chi1) = (chi1, (2.0 * nf - 1.0) / x * chi1 - chi0);
        }
        let (p0, p1) = (psi[n - 1] * scale, psi[n] * scale);
        let (xi0, xi1) = (Complex(p0, -chi0), Complex(p1, -chi1));
        let a = d[n] / m + real(nf / x);
        let b = d[n] * m + real(nf / x);
        let an = (a * real(p1) - real(p0)) / (a * xi1 - xi0);
        let bn = (b * real(p1) - real(p0)) / (b * xi1 - xi0);
        sum += (2.0 * nf + 1.0) * (an.0 + bn.0);
    }
    2.0 / (x * x) * sum
}

/// Plasma energy eV, bulk damping eV, ħ·Fermi velocity eV·nm.
fn drude(metal: &str) -> (f64, f64, f64) {
    match metal {
        "Ag" => (9.1, 0.021, 0.915),
        "Au" => (9.0, 0.070, 0.915),
        _ => (8.8, 0.090, 1.03),
    }
}

/// Index of the metal relative to glass, damped for a sphere of `radius` nm if given.
fn relative_index(n: f64, k: f64, metal: &str, nm: f64, radius: Option<f64>) -> Complex {
    let mut e = Complex(n, k) * Complex(n, k);
    if let Some(radius) = radius {
        let (plasma, bulk, fermi) = drude(metal);
        let w = 1239.84 / nm;
        let term = |gamma: f64| real(plasma * plasma) / Complex(w * w, w * gamma);
        e = e + term(bulk) - term(bulk + fermi / radius);
    }
    e.sqrt() / real(GLASS_INDEX)
}

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
            let q = extinction(m, std::f64::consts::TAU * GLASS_INDEX * radius / nm);
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
        assert!((extinction(m, x) / mie - 1.0).abs() < 1e-3, "{metal} {nm}: {} for {mie}", extinction(m, x));
        assert!((small / mie - 1.0).abs() < 0.01, "{metal} {nm}");
    }
}
