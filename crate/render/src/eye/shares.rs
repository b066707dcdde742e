//! The spread of light in the viewer's eye, as shares of Gaussian blurs.
//!
//! Three effects are combined. **Scatter**: the glare function of CIE 135/1 by age and pigmentation, the same for
//! every colour and normalised to 1. **Colour error**: the eye is focused at 560 nm, so blue and red are out of
//! focus (the reduced eye of Thibos et al. 1992). Light is divided into three bands of wavelength, each blurred as
//! its middle wavelength is. **Distance**: angles become mm of the panel at the distance of this eye from the
//! window's middle, for the whole window; foreshortening of far corners is ignored.
//!
//! The result is the light on the retina. The visual system sharpens edges again, and the viewer's own eye spreads the
//! screen's light once more, so a picture shows only part of the spread ([`SHOWN`]).

use glam::{DMat3, DVec3};
use spectra::{
    Observer, SAMPLES,
    glare_spread::{self, Scale},
    illuminant, observer_functions, wavelengths_nm,
};

use crate::rgb::{Gamut, rgb_from_xyz};

/// The viewer's eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Viewer {
    /// Age, years; light spreads more in an old eye.
    pub age_years: f64,
    /// Pigmentation of the eye: 0 very dark, 0.5 brown, 1 blue, 1.2 very light.
    pub pigmentation: f64,
}

impl Default for Viewer {
    fn default() -> Self {
        Self { age_years: 40.0, pigmentation: 0.5 }
    }
}

impl Viewer {
    /// Clamped to the range in which the glare function is defined.
    pub(crate) fn bounded(self) -> Self {
        let within =
            |v: f64, low: f64, high: f64, usual: f64| if v.is_finite() { v.clamp(low, high) } else { usual };
        let usual = Self::default();
        Self {
            age_years: within(self.age_years, 5.0, 100.0, usual.age_years),
            pigmentation: within(self.pigmentation, 0.0, 1.2, usual.pigmentation),
        }
    }
}

/// Pupil in a dim room before a bright window, mm.
const PUPIL_MM: f64 = 3.0;
/// Wavelength at which the eye is in focus, µm.
const FOCUS_UM: f64 = 0.56;
/// Lower limits of the bands, nm, and the wavelength that represents each, µm.
const BANDS_NM: [f64; 3] = [585.0, 490.0, 380.0];
const BAND_MIDDLES_UM: [f64; 3] = [0.62, 0.55, 0.45];
/// Share of the spread that a picture shows; the rest stays sharp, because it is either not perceived or added by the
/// eye in front of the screen. Assumption, set by eye so that lead stays a line and bright glass glows.
pub(crate) const SHOWN: f64 = 0.3;
/// Widest blur used for the glare function, radians; everything beyond it is one veil.
const WIDEST_RAD: f64 = 1.0;
/// Step of the logarithm of the blur's width in numerical integration.
const STEP: f64 = 0.05;

/// Refractive error at a wavelength, dioptres.
///
/// Source: Thibos, Ye, Zhang & Bradley 1992, *Appl. Opt.* 31(19), 3594–3600, the reduced eye; coefficients from
/// memory.
fn refractive_error_d(um: f64) -> f64 {
    1.68524 - 0.63346 / (um - 0.21410)
}

/// Standard deviation along an axis of each band's blur disc (its radius over 2), radians; red, green, blue.
pub(crate) fn defocus_rad() -> [f64; 3] {
    BAND_MIDDLES_UM.map(|um| {
        let defocus_d = refractive_error_d(um) - refractive_error_d(FOCUS_UM);
        (PUPIL_MM * 1e-3 * defocus_d / 4.0).abs()
    })
}

/// Linear RGB of the bands of daylight (D65), a column each: red, green, blue. White is one of each. For light that
/// varies within a band as daylight does, the division is exact; for other light it is the best that three numbers
/// allow.
pub(crate) fn rgb_from_bands() -> DMat3 {
    let (light, observer) = (illuminant::d65(), observer_functions(Observer::Cie1931));
    let rgb = rgb_from_xyz(Gamut::Srgb);
    let mut bands = DMat3::ZERO;
    let mut white = 0.0;
    for (k, nm) in wavelengths_nm().enumerate().take(SAMPLES) {
        let xyz = DVec3::new(observer[0][k], observer[1][k], observer[2][k]) * light[k];
        let band = BANDS_NM.iter().position(|from| nm >= *from).unwrap_or(2);
        *bands.col_mut(band) += rgb * xyz;
        white += xyz.y;
    }
    bands / white
}

/// The spread as shares of a given set of Gaussian blurs.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Shares {
    /// For each blur, the narrowest first, its share in each band.
    pub(crate) of_bands: Vec<[f64; 3]>,
    /// The share in each band that spreads wider than the widest blur.
    pub(crate) beyond: [f64; 3],
    /// The density of that share in the middle, per steradian.
    pub(crate) beyond_per_sr: f64,
}

impl Shares {
    /// `widths_rad`: standard deviations of the blurs along an axis, ascending, the first 0 (no blur).
    pub(crate) fn new(viewer: Viewer, widths_rad: &[f64]) -> Self {
        let Viewer { age_years, pigmentation } = viewer.bounded();
        let total = glare_spread::total(age_years, pigmentation).unwrap_or(1.0);
        let scales = glare_spread::scales(age_years, pigmentation).unwrap_or_default();
        let mut shares =
            Self { of_bands: vec![[0.0; 3]; widths_rad.len()], beyond: [0.0; 3], beyond_per_sr: 0.0 };
        let (first, last) = (1e-6_f64.ln(), WIDEST_RAD.ln());
        let steps = ((last - first) / STEP).ceil() as usize;
        let widest = widths_rad.last().copied().unwrap_or(0.0);
        let defocus = defocus_rad();
        let mut within = 0.0;
        for k in 0..steps {
            let width = (first + (k as f64 + 0.5) * STEP).exp();
            let share: f64 = scales.iter().map(|s| share_of_width(s, width)).sum::<f64>() * STEP / total;
            within += share;
            for (band, defocus) in defocus.iter().enumerate() {
                shares.add(widths_rad, width.hypot(*defocus), band, share);
            }
            if width > widest {
                shares.beyond_per_sr += share / (std::f64::consts::TAU * width * width);
            }
        }
        // The rest up to the rim of the half-space, and light through the wall of the eye, which falls everywhere.
        for beyond in &mut shares.beyond {
            *beyond += (1.0 - within).max(0.0);
        }
        shares.beyond_per_sr += glare_spread::wall_scatter(pigmentation) / total;
        shares
    }

    /// The same with only a part of the spread; the rest stays sharp.
    pub(crate) fn shown(mut self, part: f64) -> Self {
        for share in self.of_bands.iter_mut().chain([&mut self.beyond]).flatten() {
            *share *= part;
        }
        for share in self.of_bands.first_mut().into_iter().flatten() {
            *share += 1.0 - part;
        }
        self.beyond_per_sr *= part;
        self
    }

    /// Divides a share of some width between the two nearest blurs, by the logarithm of width; below the narrowest
    /// real blur, so that the mean square width is kept.
    fn add(&mut self, widths: &[f64], width: f64, band: usize, share: f64) {
        let above = widths.partition_point(|w| *w <= width);
        if above == widths.len() {
            self.beyond[band] += share;
            return;
        }
        let (a, b) = (widths[above - 1], widths[above]);
        let part = if above == 1 { (width / b).powi(2) } else { (width / a).ln() / (b / a).ln() };
        self.of_bands[above - 1][band] += share * (1.0 - part);
        self.of_bands[above][band] += share * part;
    }
}

/// The weight of Gaussians of a given width (standard deviation, radians) in one part of the glare function, per
/// unit of the logarithm of that width.
///
/// (1 + r²/a²)^−s = 1/Γ(s) ∫ t^(s−1) e^(−t) e^(−t r²/a²) dt: a mixture of Gaussians of variance a²/2t with shares
/// that are never negative.
fn share_of_width(scale: &Scale, width: f64) -> f64 {
    let a = scale.degrees.to_radians();
    let t = a * a / (2.0 * width * width);
    // Γ of ½, 1 and 3/2.
    let root_pi = std::f64::consts::PI.sqrt();
    let (power, gamma) = match scale.half_powers {
        1 => (t.powf(-0.5), root_pi),
        2 => (1.0, 1.0),
        _ => (t.sqrt(), root_pi / 2.0),
    };
    scale.per_sr / gamma * power * (-t).exp() * std::f64::consts::PI * a * a * 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shares(widths_rad: &[f64]) -> Shares {
        Shares::new(Viewer::default(), widths_rad)
    }

    /// Blurs that double in width, as in the pyramid.
    fn octaves(first_rad: f64) -> Vec<f64> {
        let wider = (0..22).map(|k| first_rad * 2.0_f64.powi(k)).take_while(|w| *w < 0.5);
        std::iter::once(0.0).chain(wider).collect()
    }

    /// The error function, Abramowitz & Stegun 1964, 7.1.26, error below 1.5e-7.
    fn erf(x: f64) -> f64 {
        let t = 1.0 / (1.0 + 0.327_591_1 * x);
        let poly = ((((1.061_405_429 * t - 1.453_152_027) * t) + 1.421_413_741) * t - 0.284_496_736) * t
            + 0.254_829_592;
        1.0 - poly * t * (-x * x).exp()
    }

    #[test]
    fn shares_sum_to_one_and_are_never_negative() {
        for age_years in [5.0, 40.0, 70.0, 100.0, f64::NAN] {
            for pigmentation in [0.0, 0.5, 1.2] {
                let viewer = Viewer { age_years, pigmentation };
                for widths in [octaves(1e-5), octaves(1e-3), vec![0.0], vec![0.0, 1e-6]] {
                    let s = Shares::new(viewer, &widths);
                    for band in 0..3 {
                        let sum = s.of_bands.iter().map(|w| w[band]).sum::<f64>() + s.beyond[band];
                        assert!((sum - 1.0).abs() < 2e-3, "{viewer:?} {sum}");
                        assert!(s.of_bands.iter().all(|w| w[band] >= 0.0) && s.beyond[band] >= 0.0);
                    }
                }
            }
        }
    }

    // 0.03: the blurs come in octaves, and the published column leaves the total at 1.035.
    #[test]
    fn the_middle_of_a_lead_gets_the_light_of_halation_csv() {
        let text = include_str!("../../../../tests/reference/glass/halation.csv");
        let mut rows = 0;
        for line in text.lines().skip(1) {
            let n: Vec<f64> = line.split(',').map(|v| v.parse().unwrap()).collect();
            let (half_rad, expected) = (n[0] / 2000.0 / n[1], n[3]);
            for first_rad in [2e-5, 2.7e-5, 3.5e-5] {
                let widths = octaves(first_rad);
                let s = Shares::new(Viewer::default(), &widths);
                // The green band, which is nearly in focus.
                let dark: f64 = widths
                    .iter()
                    .zip(&s.of_bands)
                    .map(|(w, share)| {
                        let within =
                            if *w > 0.0 { erf(half_rad / w / std::f64::consts::SQRT_2) } else { 1.0 };
                        within * share[1]
                    })
                    .sum();
                assert!((1.0 - dark - expected).abs() < 0.03, "{line}: {}", 1.0 - dark);
            }
            rows += 1;
        }
        assert_eq!(rows, 30);
    }

    // 9 % of the exact function (normalised to 1) at every angle within a window: the error of using octaves of
    // width.
    #[test]
    fn the_blurs_together_are_the_glare_function() {
        let widths = octaves(1e-5);
        let s = shares(&widths);
        let total = glare_spread::total(40.0, 0.5).unwrap();
        // Defocus is excluded: in the green band it is 0.15′, so angles begin well beyond it.
        for angle_deg in [0.03, 0.05, 0.1, 0.3, 1.0, 3.0, 8.0] {
            let angle = f64::to_radians(angle_deg);
            let sum: f64 = widths
                .iter()
                .zip(&s.of_bands)
                .skip(1)
                .map(|(w, share)| {
                    share[1] / (std::f64::consts::TAU * w * w) * (-angle * angle / (2.0 * w * w)).exp()
                })
                .sum::<f64>()
                + s.beyond_per_sr;
            let exact = glare_spread::point_spread(angle_deg, 40.0, 0.5).unwrap() / total;
            assert!((sum / exact - 1.0).abs() < 0.09, "{angle_deg}: {sum} {exact}");
        }
    }

    #[test]
    fn the_part_not_shown_stays_sharp() {
        let part = shares(&octaves(1e-4)).shown(0.3);
        for band in 0..3 {
            let sum = part.of_bands.iter().map(|w| w[band]).sum::<f64>() + part.beyond[band];
            assert!((sum - 1.0).abs() < 2e-3 && part.of_bands[0][band] > 0.699, "{sum}");
        }
    }

    // Blur 8.8′, 0.6′ and 2.8′ across at 450, 550 and 620 nm for a 3 mm pupil.
    #[test]
    fn blue_is_blurred_most_and_green_hardly() {
        let across = defocus_rad().map(|sigma| sigma * 4.0 * (60.0_f64 * 180.0 / std::f64::consts::PI));
        for (found, expected) in across.iter().zip([2.8, 0.6, 8.8]) {
            assert!((found - expected).abs() < 0.06, "{across:?}");
        }
    }

    #[test]
    fn white_is_one_in_each_band_and_converts_back() {
        let (to, from) = (rgb_from_bands(), rgb_from_bands().inverse());
        assert!((from * DVec3::ONE).abs_diff_eq(DVec3::ONE, 2e-3), "{from}");
        assert!(from.to_cols_array().iter().all(|x| x.abs() < 3.0), "{from}");
        for unit in DVec3::AXES {
            assert!((from * (to * unit)).abs_diff_eq(unit, 1e-9));
        }
    }
}
