//! Spectra in few bands, for sums over many thousand pairs of stone and glass.

use glam::DVec3;
use spectra::{SAMPLES, Spectrum};

use crate::rgb::rgb_weights;

/// Number of bands of three samples each, 15 nm. Products of means then differ from means of products by less than 1 %,
/// edge glasses included.
pub(crate) const BANDS: usize = SAMPLES / WIDTH;
const WIDTH: usize = 3;
const _: () = assert!(SAMPLES.is_multiple_of(WIDTH));

/// Means over bands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Bands(pub(crate) [f32; BANDS]);

impl Bands {
    pub(crate) const ZERO: Self = Self([0.0; BANDS]);

    pub(crate) fn of(spectrum: &Spectrum) -> Self {
        let mean = |b: usize| (0..WIDTH).map(|k| spectrum[WIDTH * b + k]).sum::<f64>() / WIDTH as f64;
        Self(std::array::from_fn(|b| mean(b) as f32))
    }

    /// The same in every sample of a band.
    pub(crate) fn spectrum(&self) -> Spectrum {
        let mut out = Spectrum::ZERO;
        for k in 0..SAMPLES {
            out[k] = f64::from(self.0[k / WIDTH]);
        }
        out
    }

    pub(crate) fn add_scaled(&mut self, factor: f32, other: &Self) {
        for (sum, other) in self.0.iter_mut().zip(&other.0) {
            *sum += factor * other;
        }
    }

    /// Adds light that a mixture of two transmittances lets by.
    pub(crate) fn add_passed(&mut self, light: &Self, [a, b]: [&Self; 2], shares: [f32; 2]) {
        for (((sum, light), a), b) in self.0.iter_mut().zip(&light.0).zip(&a.0).zip(&b.0) {
            *sum += light * (shares[0] * a + shares[1] * b);
        }
    }

    pub(crate) fn times(&self, other: &Self) -> Self {
        Self(std::array::from_fn(|b| self.0[b] * other.0[b]))
    }

    pub(crate) fn scaled(&self, factor: f32) -> Self {
        Self(self.0.map(|v| v * factor))
    }
}

/// Linear RGB of bands of radiance, cd/m².
pub(crate) struct BandsToRgb([DVec3; BANDS]);

impl BandsToRgb {
    pub(crate) fn new() -> Self {
        let weights = rgb_weights();
        Self(std::array::from_fn(|b| weights[WIDTH * b..WIDTH * (b + 1)].iter().copied().sum()))
    }

    pub(crate) fn rgb(&self, of: &Bands) -> DVec3 {
        self.0.iter().zip(&of.0).map(|(weight, v)| *weight * f64::from(*v)).sum()
    }
}
