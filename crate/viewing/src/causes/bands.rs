//! The spectrum in bands, for draws: 27 of three samples each, in single precision.
//!
//! A piece's weights are summed over each band, so that with every cause at its centre its figures are those of the whole
//! spectrum; within a band only what a draw changes is taken as one number. The exponential uses basic arithmetic alone,
//! like those of `uncertainty`, so that ranges are the same on every platform. Loops go by index, which compilers turn into
//! vector instructions.

#![allow(
    clippy::needless_range_loop,
    reason = "loops by index over fixed lengths become vector instructions"
)]

use spectra::{SAMPLES, Spectrum};

/// Samples of a band.
const WIDTH: usize = 3;
/// Number of bands, and one that stays empty to fill the last vector of four.
pub(super) const BANDS: usize = SAMPLES / WIDTH + 1;
/// Figures that are summed side by side: X, Y and Z in front, both illuminances at the eye, the piece's luminance; the last
/// two are empty.
pub(super) const LANES: usize = 8;

/// A number for each band.
pub(super) type Bands = [f32; BANDS];
/// Weights of the figures in each band.
pub(super) type Weights = [[f32; LANES]; BANDS];

/// Mean of each band, weighted.
pub(super) fn mean(spectrum: &Spectrum, weights: &Spectrum) -> Bands {
    std::array::from_fn(|b| {
        let (mut sum, mut weight) = (0.0, 0.0);
        for i in b * WIDTH..((b + 1) * WIDTH).min(SAMPLES) {
            sum += spectrum[i] * weights[i];
            weight += weights[i];
        }
        if weight > 0.0 { (sum / weight) as f32 } else { 0.0 }
    })
}

/// Largest over smallest value within any band, at most; of values above 0.
pub(super) fn steepest(spectrum: &Spectrum) -> f64 {
    let ratio = |band: &[f64]| {
        let (low, high) = band.iter().fold((f64::INFINITY, 0.0f64), |(l, h), v| (l.min(*v), h.max(*v)));
        high / low
    };
    spectrum.samples().chunks(WIDTH).map(ratio).fold(1.0, f64::max)
}

/// Sums over each band.
pub(super) fn weights(of: &[Spectrum]) -> Weights {
    let mut weights = [[0.0; LANES]; BANDS];
    for (b, lanes) in weights.iter_mut().enumerate() {
        for (lane, spectrum) in lanes.iter_mut().zip(of) {
            *lane = spectrum.samples()[b * WIDTH..((b + 1) * WIDTH).min(SAMPLES)].iter().sum::<f64>() as f32;
        }
    }
    weights
}

/// `to += factor · of`.
pub(super) fn add_scaled(to: &mut Bands, factor: f32, of: &Bands) {
    for b in 0..BANDS {
        to[b] += factor * of[b];
    }
}

/// e^x in each band.
pub(super) fn exp_all(bands: &mut Bands) {
    for x in bands {
        *x = exp(*x);
    }
}

/// Figures of what passes.
pub(super) fn figures(passed: &Bands, weights: &Weights) -> [f32; LANES] {
    let mut sums = [0.0; LANES];
    for b in 0..BANDS {
        for k in 0..LANES {
            sums[k] += passed[b] * weights[b][k];
        }
    }
    sums
}

/// e^x within 3e-7; 0 below −87, at most e^88.
///
/// e^x = 2^k · e^r with |r| ≤ ½ ln 2, and seven terms of Taylor's series for e^r.
#[inline]
pub(super) fn exp(x: f32) -> f32 {
    /// Adding it rounds to a whole number, which is then in the lowest bits: 1.5 · 2^23.
    const ROUND: f32 = 12_582_912.0;
    /// ln 2 in two parts, the first with zeros at its end.
    const LN_2: [f32; 2] = [0.693_359_4, -0.000_212_194_44];
    let x = if x > -87.0 { x } else { -87.0 };
    let x = if x < 88.0 { x } else { 88.0 };
    let rounded = x * std::f32::consts::LOG2_E + ROUND;
    let k = rounded - ROUND;
    let r = (x - k * LN_2[0]) - k * LN_2[1];
    let mut series = 1.0 / 720.0;
    for coefficient in [1.0 / 120.0, 1.0 / 24.0, 1.0 / 6.0, 0.5, 1.0, 1.0] {
        series = series * r + coefficient;
    }
    let power = rounded.to_bits().wrapping_sub(ROUND.to_bits()).wrapping_add(127) << 23;
    series * f32::from_bits(power)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_exponential_is_that_of_the_platform() {
        for i in -8690..=8790 {
            let x = i as f32 / 100.0 + 0.003;
            let exact = f64::from(x).exp();
            assert!((f64::from(exp(x)) / exact - 1.0).abs() < 4e-7, "{x}: {} {exact}", exp(x));
        }
        assert!(exp(-1000.0) < 1e-37 && exp(1000.0) > 1e38 && exp(0.0).to_bits() == 1f32.to_bits());
    }

    #[test]
    fn bands_keep_the_sum_of_a_spectrum() {
        let spectrum = Spectrum::from_fn(|nm| 0.01 * (nm - 300.0));
        let sums = figures(&[1.0; BANDS], &weights(&[spectrum]));
        assert!((f64::from(sums[0]) / spectrum.samples().iter().sum::<f64>() - 1.0).abs() < 1e-6);
        let means = mean(&spectrum, &Spectrum::ONE);
        assert!((f64::from(means[0]) - spectrum[1]).abs() < 1e-6);
    }
}
