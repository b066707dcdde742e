//! What a streaky piece passes on average.
//!
//! Two glasses stirred together absorb like their mixture at each place, A(m) = (1 − m)·A₁ + m·A₂, and m varies over
//! the piece. The mean of T = 10^−A is always more than T at the mean mixture: by 0.1 % where the glasses are similar,
//! and several times as much where one is dark.

use std::f64::consts::{LN_10, PI};

use spectra::Spectrum;

use crate::Absorbance;
use crate::normal::normal_below;
use crate::quadrature::GAUSS_32;

/// Beyond so many standard deviations from the mean there is nothing left: 6e-16 of the whole.
const FAR: f64 = 8.0;
/// Larger numbers count as this.
const LARGEST: f64 = 1e9;

/// Internal transmittance along the normal, averaged over a piece of two glasses in streaks.
///
/// The share of `second` is normally distributed over the area, with `mix_mean` and `mix_sd`; what would lie below 0 or
/// above 1 is 0 or 1: bare `first` or `second`. `thickness_mm` is that of the piece; below 0 it counts as 0, as does
/// `mix_sd`. NaN counts as 0.
///
/// The two clipped parts are exact, the integral between them is Gauss–Legendre with 32 nodes on each side of the mean:
/// 1e-6 of the closed form or better for every standard deviation, if neither glass is darker than absorbance 10.
///
/// # Source
/// Absorbances add (Bouguer, Lambert). That mixtures are normally distributed is an assumption.
pub fn streak_mean_internal(
    first: &Absorbance,
    second: &Absorbance,
    thickness_mm: f64,
    mix_mean: f64,
    mix_sd: f64,
) -> Spectrum {
    // Numbers of any size, but no infinite ones: 0 times those is not a number.
    let thickness_mm = limited(thickness_mm, 0.0);
    let [a, b] = [first, second].map(|glass| *glass.spectrum() * (LN_10 * thickness_mm));
    Mixes::new(mix_mean, mix_sd).mean_of(&a, &b)
}

/// The mixtures in a streaky piece: shares of the second glass and how much of the piece has them.
#[derive(Clone, Debug)]
pub(crate) struct Mixes(Vec<(f64, f64)>);

impl Mixes {
    /// As [`streak_mean_internal`] describes.
    pub(crate) fn new(mix_mean: f64, mix_sd: f64) -> Self {
        let centre = limited(mix_mean, -LARGEST);
        let mix_sd = limited(mix_sd, 0.0);
        let mut mixes = Vec::new();
        let mut add = |share: f64, weight: f64| {
            if weight > 0.0 {
                mixes.push((share, weight));
            }
        };
        // Narrower than this it is the same as one mixture.
        if mix_sd < 1e-9 {
            add(centre.clamp(0.0, 1.0), 1.0);
            return Self(mixes);
        }
        add(0.0, normal_below(-centre / mix_sd));
        add(1.0, normal_below((centre - 1.0) / mix_sd));
        let [low, middle, high] =
            [centre - FAR * mix_sd, centre, centre + FAR * mix_sd].map(|share| share.clamp(0.0, 1.0));
        for (from, to) in [(low, middle), (middle, high)] {
            for (node, weight) in GAUSS_32 {
                let share = from + node * (to - from);
                let z = (share - centre) / mix_sd;
                let density = (-0.5 * z * z).exp() / (mix_sd * (2.0 * PI).sqrt());
                add(share, weight * (to - from) * density);
            }
        }
        Self(mixes)
    }

    /// Mean transmittance of mixtures of two glasses with these optical depths, natural base.
    pub(crate) fn mean_of(&self, first: &Spectrum, second: &Spectrum) -> Spectrum {
        let mut mean = Spectrum::ZERO;
        for (share, weight) in &self.0 {
            mean += first.zip_map(second, |a, b| weight * (-(a * (1.0 - share) + b * share)).exp());
        }
        mean.map(|t| t.min(1.0))
    }
}

fn limited(value: f64, least: f64) -> f64 {
    if value.is_nan() { 0.0 } else { value.clamp(least, LARGEST) }
}
