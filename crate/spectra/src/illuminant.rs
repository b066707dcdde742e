//! Lights: CIE illuminants, daylight of any colour temperature, black bodies, any sampled source.
//!
//! The CIE illuminants are relative: 100 near 560 nm.

use std::sync::LazyLock;

use crate::observer::{Observer, observer_functions};
use crate::table;
use crate::{Chromaticity, Spectrum, wavelengths_nm};

// Source: data/README.md.
static ILLUMINANTS: LazyLock<[Spectrum; 6]> =
    LazyLock::new(|| table::spectra::<7, 6>(include_str!("../data/illuminants.csv")));
static COMPONENTS: LazyLock<[Spectrum; 3]> =
    LazyLock::new(|| table::spectra::<4, 3>(include_str!("../data/daylight_components.csv")));

/// CIE standard illuminant A: an incandescent lamp, 2856 K on today's scale.
pub fn a() -> Spectrum {
    ILLUMINANTS[0]
}

/// CIE illuminant C: the older average daylight, about 6774 K.
pub fn c() -> Spectrum {
    ILLUMINANTS[1]
}

/// CIE illuminant D50, as tabulated.
pub fn d50() -> Spectrum {
    ILLUMINANTS[2]
}

/// CIE illuminant D55, as tabulated.
pub fn d55() -> Spectrum {
    ILLUMINANTS[3]
}

/// CIE standard illuminant D65, as tabulated.
pub fn d65() -> Spectrum {
    ILLUMINANTS[4]
}

/// CIE illuminant D75, as tabulated.
pub fn d75() -> Spectrum {
    ILLUMINANTS[5]
}

/// CIE illuminant E: the same power at every wavelength, 100.
pub fn e() -> Spectrum {
    Spectrum::splat(100.0)
}

/// Why a number or a list of numbers is not a light.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum IlluminantError {
    /// CIE daylight is defined only from 4 000 to 25 000 K.
    #[error("correlated colour temperature {cct_k} K: CIE daylight is defined from 4000 to 25000 K")]
    CctOutsideRange {
        /// The temperature given, K.
        cct_k: f64,
    },
    /// A list of the wrong length.
    #[error("a spectrum has 81 samples, 380 to 780 nm by 5 nm; found {found}")]
    SampleCount {
        /// Samples found.
        found: usize,
    },
    /// A sample that is infinite or NaN.
    #[error("sample at {wavelength_nm} nm: expected a finite number, found {value}")]
    NotFinite {
        /// The wavelength, nm.
        wavelength_nm: f64,
        /// The value found.
        value: f64,
    },
    /// A sample below zero.
    #[error("sample at {wavelength_nm} nm: a light has no negative power, found {value}")]
    Negative {
        /// The wavelength, nm.
        wavelength_nm: f64,
        /// The value found.
        value: f64,
    },
    /// No visible power (or so much that the sum overflows).
    #[error("the samples add up to a luminous sum of {sum}: a light needs a positive, finite one")]
    NoLight {
        /// Σ S·ȳ found.
        sum: f64,
    },
}

/// A sampled source, validated: 81 samples, finite, none below zero, some of them visible.
///
/// # Errors
/// The first fault from 380 nm upward, with its wavelength and value.
pub fn sampled(samples: &[f64]) -> Result<Spectrum, IlluminantError> {
    let spectrum =
        Spectrum::from_slice(samples).ok_or(IlluminantError::SampleCount { found: samples.len() })?;
    check(&spectrum)?;
    Ok(spectrum)
}

/// The validation of [`sampled`] alone.
///
/// # Errors
/// As [`sampled`].
pub fn check(light: &Spectrum) -> Result<(), IlluminantError> {
    for (wavelength_nm, &value) in wavelengths_nm().zip(light.samples()) {
        if !value.is_finite() {
            return Err(IlluminantError::NotFinite { wavelength_nm, value });
        }
        if value < 0.0 {
            return Err(IlluminantError::Negative { wavelength_nm, value });
        }
    }
    let sum = light.dot(&observer_functions(Observer::Cie1931)[1]);
    if sum > 0.0 && sum.is_finite() { Ok(()) } else { Err(IlluminantError::NoLight { sum }) }
}

/// Chromaticity of CIE daylight at a correlated colour temperature.
///
/// `cct_k`: kelvin, 4 000–25 000. The formula has a discontinuity of a few 1e-7 in x at 7 000 K.
///
/// # Errors
/// [`IlluminantError::CctOutsideRange`] beyond that interval.
///
/// # Source
/// CIE 15:2018; Wyszecki & Stiles, *Color Science*, 2000, pp. 145–146.
pub fn daylight_chromaticity(cct_k: f64) -> Result<Chromaticity, IlluminantError> {
    if !(4000.0..=25_000.0).contains(&cct_k) {
        return Err(IlluminantError::CctOutsideRange { cct_k });
    }
    let t = 1000.0 / cct_k;
    let x = if cct_k <= 7000.0 {
        0.244063 + t * (0.09911 + t * (2.9678 - t * 4.6070))
    } else {
        0.237040 + t * (0.24748 + t * (1.9018 - t * 2.0064))
    };
    Ok(Chromaticity { x, y: -3.0 * x * x + 2.870 * x - 0.275 })
}

/// Factors M1 and M2 of CIE daylight with a chromaticity on the daylight locus, not rounded.
///
/// # Source
/// As [`daylight_chromaticity`].
pub fn daylight_factors(chromaticity: Chromaticity) -> [f64; 2] {
    let Chromaticity { x, y } = chromaticity;
    let m = 0.0241 + 0.2562 * x - 0.7341 * y;
    [(-1.3515 - 1.7703 * x + 5.9114 * y) / m, (0.0300 - 31.4424 * x + 30.0717 * y) / m]
}

/// CIE daylight of a correlated colour temperature: S0 + M1·S1 + M2·S2, 100 at 560 nm.
///
/// `cct_k`: kelvin, 4 000–25 000. The tabulated D50 … D75 belong to 1.4388/1.4380 times their nominal temperature,
/// because c₂ has been revised since, and use M1 and M2 rounded to three decimals: [`d65`] and `daylight(6500.0 *
/// 1.4388 / 1.4380)` differ by at most 0.017.
///
/// # Errors
/// [`IlluminantError::CctOutsideRange`] beyond that interval.
///
/// # Source
/// As [`daylight_chromaticity`]; S0, S1, S2 of Judd, MacAdam & Wyszecki, *J. Opt. Soc. Am.* 54 (1964) 1031.
pub fn daylight(cct_k: f64) -> Result<Spectrum, IlluminantError> {
    let [m1, m2] = daylight_factors(daylight_chromaticity(cct_k)?);
    let mut light = COMPONENTS[0];
    light.add_scaled(m1, &COMPONENTS[1]);
    light.add_scaled(m2, &COMPONENTS[2]);
    Ok(light)
}

/// Second radiation constant c₂ used in CIE colorimetry, m·K (CIE 15; the SI value is 1.438776877e-2, which changes
/// a colour temperature by 1.6e-5 of its value).
pub const SECOND_RADIATION_CONSTANT: f64 = 1.4388e-2;

/// Twice h·c², W·m²·sr⁻¹ (CODATA 2018, exact by the SI's definition).
const FIRST_RADIATION_CONSTANT_RADIANCE: f64 = 1.191_042_972_397_188e-16;

/// Spectral radiance of a black body, W·m⁻²·sr⁻¹·nm⁻¹, with [`SECOND_RADIATION_CONSTANT`].
///
/// Zero for a temperature that is not a positive finite number.
///
/// # Source
/// Planck's law: c₁ λ⁻⁵ / (exp(c₂/λT) − 1).
pub fn planck(temperature_k: f64) -> Spectrum {
    if !(temperature_k > 0.0 && temperature_k.is_finite()) {
        return Spectrum::ZERO;
    }
    Spectrum::from_fn(|nm| {
        let wavelength_m = nm * 1e-9;
        let exponent = SECOND_RADIATION_CONSTANT / (wavelength_m * temperature_k);
        FIRST_RADIATION_CONSTANT_RADIANCE * 1e-9 / (wavelength_m.powi(5) * exponent.exp_m1())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::SAMPLES;

    #[test]
    fn daylight_is_refused_outside_its_range() {
        for cct_k in [3999.9, 25_000.1, f64::NAN, f64::INFINITY, -1.0] {
            assert!(matches!(daylight(cct_k), Err(IlluminantError::CctOutsideRange { .. })), "{cct_k}");
        }
        assert!((daylight(4000.0).unwrap()[36] - 100.0).abs() < 1e-12);
        assert!(daylight(25_000.0).is_ok());
    }

    #[test]
    fn a_source_is_checked_sample_by_sample() {
        let mut samples = [1.0; SAMPLES];
        assert!(sampled(&samples).is_ok());
        assert_eq!(sampled(&samples[..80]), Err(IlluminantError::SampleCount { found: 80 }));
        samples[3] = -0.5;
        assert_eq!(sampled(&samples), Err(IlluminantError::Negative { wavelength_nm: 395.0, value: -0.5 }));
        samples[2] = f64::INFINITY;
        assert!(matches!(sampled(&samples), Err(IlluminantError::NotFinite { wavelength_nm: 390.0, .. })));
        assert_eq!(sampled(&[0.0; SAMPLES]), Err(IlluminantError::NoLight { sum: 0.0 }));
        assert!(matches!(sampled(&[f64::MAX; SAMPLES]), Err(IlluminantError::NoLight { .. })));
    }

    #[test]
    fn a_black_body_radiates_by_plancks_law() {
        // Wien: the maximum of a 5000 K body lies at 2.897772e-3/5000 m = 579.6 nm, the sample at 580.
        let body = planck(5000.0);
        assert!(body[39] < body[40] && body[41] < body[40]);
        // Radiance at 580 nm by hand: 1.191043e-16 · 1e-9 / ((580e-9)^5 · (exp(4.961379) − 1)) = 1.27979e4.
        assert!((body[40] / 1.27979e4 - 1.0).abs() < 1e-5, "{}", body[40]);
        for nothing in [0.0, -10.0, f64::NAN, f64::INFINITY] {
            assert_eq!(planck(nothing), Spectrum::ZERO);
        }
        assert!(planck(1.0).is_finite() && planck(1e12).is_finite());
    }
}
