//! What a piece scatters forward, by the angle at which light falls on it.

use glass::{Lobe, inner_cosine, reflectance};
use spectra::{SAMPLES, Spectrum};

/// Cosines of incidence at which pieces that scatter forward are sampled, evenly from 0 to 1 and joined by cubics.
pub(crate) const ANGLES: usize = 6;
/// Instead of a cosine of 0, at which nothing enters.
const LEAST_COSINE: f64 = 0.02;
/// Widths are told apart by steps of 4.4 %, as for the figures: this many per doubling.
pub(crate) const STEPS: f64 = 16.0;

/// What a piece does to the light that it scatters, if a part of it stays in a lobe.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ForwardOptics {
    pub(crate) lobe: Lobe,
    /// Diffuse transmittance per light that enters, by cosine of incidence and wavelength, relative to the diffuse
    /// transmittance at the angle from which the piece is seen.
    by_angle: Vec<[f32; SAMPLES]>,
}

impl ForwardOptics {
    /// `None` for a piece that spreads all that it scatters evenly. `diffuse`: its diffuse transmittance by angle in
    /// degrees. `angle_deg`: from which the piece is seen.
    pub(crate) fn new(angle_deg: f64, lobe: Lobe, mut diffuse: impl FnMut(f64) -> Spectrum) -> Option<Self> {
        if lobe.share <= 0.0 {
            return None;
        }
        let seen = diffuse(angle_deg);
        if seen.max() <= 0.0 {
            return None;
        }
        let by_angle = (0..ANGLES)
            .map(|node| {
                let cosine = (node as f64 / (ANGLES - 1) as f64).max(LEAST_COSINE);
                let diffuse = diffuse(cosine.acos().to_degrees());
                let per = 1.0 / entering(cosine);
                std::array::from_fn(|k| if seen[k] > 0.0 { (diffuse[k] / seen[k] * per) as f32 } else { 0.0 })
            })
            .collect();
        Some(Self { lobe, by_angle })
    }

    /// The standard deviation of its direction cosines, as a step.
    pub(crate) fn step(&self) -> i32 {
        (0.5 * STEPS * self.lobe.variance().log2()).round() as i32
    }

    /// At a cosine of incidence.
    pub(crate) fn at(&self, cosine: f64) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        for (node, weight) in angle_weights(cosine) {
            let from = &self.by_angle[node];
            sum.samples_mut().iter_mut().zip(from).for_each(|(s, f)| *s += weight * f64::from(*f));
        }
        sum.map(|v| if v > 0.0 { v } else { 0.0 })
    }

    /// Light of every angle, summed.
    pub(crate) fn through(&self, light: &[Spectrum; ANGLES]) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        for (from, light) in self.by_angle.iter().zip(light) {
            let samples = sum.samples_mut().iter_mut().zip(from).zip(light.samples());
            samples.for_each(|((s, f), l)| *s += f64::from(*f) * l);
        }
        sum
    }
}

/// The four nodes around a cosine of incidence, and their weights.
pub(crate) fn angle_weights(cosine: f64) -> [(usize, f64); 4] {
    let at = cosine.clamp(0.0, 1.0) * (ANGLES - 1) as f64;
    let first = (at.floor() - 1.0).clamp(0.0, (ANGLES - 4) as f64);
    let x = at - first;
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    let weights = [a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0];
    std::array::from_fn(|k| (first as usize + k, weights[k]))
}

/// Share of the light at a cosine of incidence that enters glass of index 1.52; a little remains at grazing.
pub(crate) fn entering(cosine: f64) -> f64 {
    const INDEX: f64 = 1.52;
    let [s, p] =
        reflectance(1.0, INDEX, cosine, inner_cosine(INDEX, (1.0 - cosine * cosine).max(0.0).sqrt()));
    (1.0 - 0.5 * (s + p)).max(0.01)
}
