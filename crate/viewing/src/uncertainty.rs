//! Propagation of the glasses' uncertainty into the figures, to first order.
//!
//! An error δA(λ) of a piece's absorbance, base 10, changes the light through it by −ln 10 · (path) · δA. Within
//! one glass the error is one smooth curve, Gaussian with a standard deviation by wavelength and a correlation
//! length, shared by every piece of that glass. Errors of different glasses are independent. The derivative leaves
//! out inter-reflections between faces and between panes and room.

use std::collections::BTreeMap;
use std::f64::consts::LN_10;

use spectra::{Observer, SAMPLES, Spectrum, TristimulusWeights, Xyz, wavelengths_nm};

use crate::instant::InstantLight;
use crate::prepared::{Prepared, RECEIVERS};

/// Standard deviations due to the glasses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// Of the vertical illuminance, lx.
    pub vertical_lx: f64,
    /// Of the horizontal illuminance, lx.
    pub horizontal_lx: f64,
    /// Of the position of the light in (u′, v′), vertical unless stated otherwise: √(σu′² + σv′²).
    pub uv: f64,
}

impl Prepared {
    /// Standard deviations of an instant's figures.
    pub fn spread_of(&self, light: &InstantLight) -> Spread {
        self.spread_for(light, 0)
    }

    /// The same, with the colour of the light on the receiver `coloured`.
    pub(crate) fn spread_for(&self, light: &InstantLight, coloured: usize) -> Spread {
        // By glass: change of the two irradiances for an error of one standard deviation, by wavelength.
        let mut by_glass: BTreeMap<&str, ([Spectrum; RECEIVERS], f64)> = BTreeMap::new();
        for (p, piece) in light.pieces.iter().enumerate() {
            let pane = &self.glazing.panes[self.glazing.of_piece[p]];
            for term in &pane.uncertainty {
                let entry = by_glass
                    .entry(&term.glass_id)
                    .or_insert(([Spectrum::ZERO; RECEIVERS], term.correlation_nm));
                let slope = term.sigma * (-LN_10 * self.pieces[p].path);
                for r in 0..RECEIVERS {
                    entry.0[r] += piece.received[r] * slope;
                }
            }
        }
        let weights = TristimulusWeights::absolute(Observer::Cie1931);
        let [wx, wy, wz] = weights.spectra();
        let total = weights.xyz(&light.on(coloured).total());
        let uv = uv_gradients(total);
        let mut variance = [0.0; 4];
        for (change, correlation_nm) in by_glass.values() {
            let correlation = Correlation::new(*correlation_nm);
            variance[0] += correlation.variance(&(change[0] * *wy));
            variance[1] += correlation.variance(&(change[1] * *wy));
            for (v, g) in variance[2..].iter_mut().zip(&uv) {
                let weight = *wx * g[0] + *wy * g[1] + *wz * g[2];
                *v += correlation.variance(&(change[coloured] * weight));
            }
        }
        Spread {
            vertical_lx: variance[0].sqrt(),
            horizontal_lx: variance[1].sqrt(),
            uv: (variance[2] + variance[3]).sqrt(),
        }
    }
}

/// ∂(u′, v′)/∂(X, Y, Z); zero in the dark.
fn uv_gradients(c: Xyz) -> [[f64; 3]; 2] {
    let d = c.x + 15.0 * c.y + 3.0 * c.z;
    if d.is_nan() || d <= 0.0 {
        return [[0.0; 3]; 2];
    }
    let d2 = d * d;
    [
        [4.0 * (d - c.x) / d2, -60.0 * c.x / d2, -12.0 * c.x / d2],
        [-9.0 * c.y / d2, 9.0 * (d - 15.0 * c.y) / d2, -27.0 * c.y / d2],
    ]
}

/// Correlation exp(−½(Δ/length)²) between the errors at two wavelengths.
struct Correlation {
    by_distance: [f64; SAMPLES],
}

impl Correlation {
    fn new(length_nm: f64) -> Self {
        let mut by_distance = [0.0; SAMPLES];
        let first = wavelengths_nm().next().unwrap_or(0.0);
        for (c, nm) in by_distance.iter_mut().zip(wavelengths_nm()) {
            let distance = nm - first;
            *c = if length_nm > 0.0 {
                (-0.5 * (distance / length_nm).powi(2)).exp()
            } else {
                f64::from(u8::from(distance <= 0.0))
            };
        }
        Self { by_distance }
    }

    /// Variance of Σ a(λ) ε(λ) for unit errors ε with this correlation.
    fn variance(&self, a: &Spectrum) -> f64 {
        let a = a.samples();
        let mut sum = 0.0;
        for (i, x) in a.iter().enumerate() {
            let mut beyond = 0.5 * x;
            for (y, c) in a[i + 1..].iter().zip(&self.by_distance[1..]) {
                beyond += y * c;
            }
            sum += 2.0 * x * beyond;
        }
        sum.max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn full_and_no_correlation() {
        let a = Spectrum::from_fn(|nm| nm / 500.0);
        let whole = Correlation::new(1e9).variance(&a);
        assert!((whole / a.sum().powi(2) - 1.0).abs() < 1e-9);
        let none = Correlation::new(0.0).variance(&a);
        assert!((none / a.dot(&a) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn gradients_match_the_formula() {
        let c = Xyz::new(30.0, 40.0, 20.0);
        let uv = |c: Xyz| c.u_prime_v_prime().unwrap();
        let g = uv_gradients(c);
        let step = 1e-5;
        for (k, d) in [Xyz::new(step, 0.0, 0.0), Xyz::new(0.0, step, 0.0), Xyz::new(0.0, 0.0, step)]
            .into_iter()
            .enumerate()
        {
            let (a, b) = (uv(c), uv(Xyz::new(c.x + d.x, c.y + d.y, c.z + d.z)));
            assert!((g[0][k] - (b.u - a.u) / step).abs() < 1e-7);
            assert!((g[1][k] - (b.v - a.v) / step).abs() < 1e-7);
        }
    }
}
