//! Light at small metal spheres, written independently of the code that made the shipped tables.
//!
//! Source: Bohren & Huffman, *Absorption and Scattering of Light by Small Particles*, 1983, ch. 4 (recurrences from
//! memory); metals: Johnson & Christy 1972; collision damping Kreibig & Vollmer 1995 with A = 1, Drude numbers from
//! memory, the same as the tables'.
#![allow(unreachable_pub, missing_docs)] // As in `common`.

use std::ops::{Add, Div, Mul, Sub};

/// Real and imaginary part.
#[derive(Clone, Copy, Debug)]
pub struct Complex(pub f64, pub f64);

impl Complex {
    pub fn norm(self) -> f64 {
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
pub fn real(v: f64) -> Complex {
    Complex(v, 0.0)
}

pub const GLASS_INDEX: f64 = 1.52;

/// Efficiencies of extinction and scattering of a sphere of relative index `m` (positive imaginary part absorbs) and size
/// `x` = 2πna/λ.
pub fn efficiencies(m: Complex, x: f64) -> [f64; 2] {
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
    let [mut extinction, mut scattering] = [0.0; 2];
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
        extinction += (2.0 * nf + 1.0) * (an.0 + bn.0);
        scattering += (2.0 * nf + 1.0) * (an.norm() + bn.norm());
    }
    [extinction, scattering].map(|sum| 2.0 / (x * x) * sum)
}

/// Plasma energy eV, bulk damping eV, ħ·Fermi velocity eV·nm.
fn drude(metal: &str) -> (f64, f64, f64) {
    match metal {
        "Ag" => (9.1, 0.021, 0.915),
        "Au" => (9.0, 0.070, 0.915),
        _ => (8.8, 0.090, 1.03),
    }
}

/// Index of the metal relative to glass at `nm`, damped for a sphere of `radius` nm if given.
pub fn relative_index(n: f64, k: f64, metal: &str, nm: f64, radius: Option<f64>) -> Complex {
    let mut e = Complex(n, k) * Complex(n, k);
    if let Some(radius) = radius {
        let (plasma, bulk, fermi) = drude(metal);
        let w = 1239.84 / nm;
        let term = |gamma: f64| real(plasma * plasma) / Complex(w * w, w * gamma);
        e = e + term(bulk) - term(bulk + fermi / radius);
    }
    e.sqrt() / real(GLASS_INDEX)
}
