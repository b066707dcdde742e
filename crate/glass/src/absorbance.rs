//! Internal absorbance by thickness: the quantity that defines a coloured glass.

use spectra::Spectrum;

/// Largest absorbance accepted from a measured transmittance: below 1e-6 an instrument reads its own noise floor.
const DEEPEST: f64 = 6.0;

/// Internal absorbance per millimetre, base 10, by wavelength.
///
/// *Internal* excludes the reflections at the faces: τi = 10^(−a·d). It is not the total transmittance of a sheet;
/// [`Absorbance::from_total`] converts.
///
/// # Source
/// Bouguer 1729, Lambert 1760: equal thicknesses absorb equal shares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Absorbance(Spectrum);

impl Absorbance {
    /// No absorption at all.
    pub const NONE: Self = Self(Spectrum::ZERO);

    /// From absorbance per millimetre, base 10. Negative values and NaN become 0, values above 1e6 become 1e6.
    pub fn per_mm(absorbance: Spectrum) -> Self {
        Self(absorbance.map(|a| if a > 0.0 { a.min(1e6) } else { 0.0 }))
    }

    /// From an internal transmittance at a thickness. Transmittances below 1e-6 count as 1e-6.
    ///
    /// # Errors
    /// [`AbsorbanceError::Thickness`] unless `thickness_mm` is above 0; [`AbsorbanceError::Transmittance`] if a
    /// value is outside 0–1.
    pub fn from_internal(tau: &Spectrum, thickness_mm: f64) -> Result<Self, AbsorbanceError> {
        if !(thickness_mm > 0.0 && thickness_mm.is_finite()) {
            return Err(AbsorbanceError::Thickness { found: thickness_mm });
        }
        if let Some(i) = tau.samples().iter().position(|t| !(0.0..=1.0).contains(t)) {
            return Err(AbsorbanceError::Transmittance { nm: nm_of(i), found: tau[i], most: 1.0 });
        }
        Ok(Self(tau.map(|t| (-t.log10()).clamp(0.0, DEEPEST) / thickness_mm)))
    }

    /// From the total transmittance of a sheet in air at normal incidence: removes the reflections of both faces
    /// and between them.
    ///
    /// τi = 2T / ((1−r)² + √((1−r)⁴ + 4r²T²)) with r = ((n−1)/(n+1))², the positive root of
    /// T = (1−r)²τ/(1−r²τ²).
    ///
    /// # Errors
    /// As [`from_internal`](Self::from_internal). A total transmittance is at most (1−r)/(1+r); a value up to 0.5 %
    /// above that counts as that (an instrument's noise).
    pub fn from_total(total: &Spectrum, n: f64, thickness_mm: f64) -> Result<Self, AbsorbanceError> {
        if !(n.is_finite() && n >= 1.0) {
            return Err(AbsorbanceError::Index { found: n });
        }
        let r = ((n - 1.0) / (n + 1.0)).powi(2);
        let most = (1.0 - r) / (1.0 + r);
        if let Some(i) = total.samples().iter().position(|t| !(0.0..=most * 1.005).contains(t)) {
            return Err(AbsorbanceError::Transmittance { nm: nm_of(i), found: total[i], most });
        }
        let through = (1.0 - r).powi(2);
        let internal = total.map(|t| {
            let t = t.min(most);
            (2.0 * t / (through + (through * through + 4.0 * r * r * t * t).sqrt())).min(1.0)
        });
        Self::from_internal(&internal, thickness_mm)
    }

    /// Per millimetre, base 10.
    pub const fn spectrum(&self) -> &Spectrum {
        &self.0
    }

    /// Internal transmittance of `thickness_mm` along the normal. Thicknesses below 0 count as 0.
    pub fn internal(&self, thickness_mm: f64) -> Spectrum {
        let d = thickness_mm.max(0.0);
        self.0.map(|a| 10f64.powf(-a * d))
    }

    /// Both in one glass: absorbances add.
    pub fn with(&self, other: &Self) -> Self {
        Self(self.0 + other.0)
    }

    /// A share (0–1) of `other` and the rest of this: two glasses stirred together in a streak.
    pub fn mixed(&self, other: &Self, share: f64) -> Self {
        let share = share.clamp(0.0, 1.0);
        Self(self.0 * (1.0 - share) + other.0 * share)
    }
}

fn nm_of(sample: usize) -> f64 {
    spectra::GRID_FIRST_NM + spectra::GRID_STEP_NM * sample as f64
}

/// Why a transmittance gives no absorbance.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AbsorbanceError {
    /// Thickness not above 0.
    #[error("thickness_mm: expected a number above 0, found {found}")]
    Thickness {
        /// The value given.
        found: f64,
    },
    /// Index below 1.
    #[error("n: expected a refractive index of at least 1, found {found}")]
    Index {
        /// The value given.
        found: f64,
    },
    /// Transmittance beyond what a sheet can transmit.
    #[error(
        "transmittance at {nm} nm: expected 0 to {most:.4}, found {found}; is it internal where total was meant, or in per cent?"
    )]
    Transmittance {
        /// Wavelength, nm.
        nm: f64,
        /// The value given.
        found: f64,
        /// The largest possible value.
        most: f64,
    },
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Layer, stack};

    #[test]
    fn total_and_internal_convert_both_ways() {
        let glass = Absorbance::per_mm(Spectrum::from_fn(|nm| (nm - 380.0) / 400.0));
        let total =
            stack(&[Layer { n: 1.52, tau_internal: glass.internal(3.0) }], 0.0).unwrap().transmittance;
        let back = Absorbance::from_total(&total, 1.52, 3.0).unwrap();
        let worst = (*back.spectrum() - *glass.spectrum()).map(f64::abs).max();
        assert!(worst < 1e-12, "{worst}");
    }

    #[test]
    fn a_percentage_is_refused_with_its_place() {
        let fault = Absorbance::from_total(&Spectrum::splat(87.0), 1.52, 3.0).unwrap_err();
        assert!(fault.to_string().contains("at 380 nm"), "{fault}");
    }
}
