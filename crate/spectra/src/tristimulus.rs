//! Tristimulus values by the plain sum of 81 samples.

use std::ops::{Add, AddAssign, Deref, Div, Mul, Sub};

use palette::Yxy;
use palette::convert::FromColorUnclamped;
use palette::white_point::Any;

use crate::chromaticity::{Chromaticity, UvPrime};
use crate::observer::{Observer, observer_functions};
use crate::{GRID_STEP_NM, LUMINOUS_EFFICACY, Spectrum};

/// Tristimulus values: palette's XYZ with the two scales used here.
///
/// Two scales occur and must not be mixed: *absolute*, where Y is a luminance in cd/m² or an illuminance in lx, and
/// *relative*, where Y = 100 is the light itself, that is, a clear piece. The fields `x`, `y` and `z` are
/// palette's.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Xyz(palette::Xyz<Any, f64>);

impl Xyz {
    /// No light.
    pub const ZERO: Self = Self::new(0.0, 0.0, 0.0);

    /// From X, Y, Z.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self(palette::Xyz::new(x, y, z))
    }

    /// Of a radiance (W·m⁻²·sr⁻¹·nm⁻¹; Y in cd/m²) or an irradiance (W·m⁻²·nm⁻¹; Y in lx): 683 lm/W · Σ S·x̄ · 5
    /// nm, and so on.
    ///
    /// # Source
    /// CIE 15:2018, with the sum taken at 5 nm.
    pub fn absolute(spectrum: &Spectrum, observer: Observer) -> Self {
        const SCALE: f64 = LUMINOUS_EFFICACY * GRID_STEP_NM;
        sums(spectrum, observer_functions(observer)) * SCALE
    }

    /// Of a transmittance (or reflectance) seen in `light`, on the scale where a clear piece has Y = 100.
    ///
    /// In the dark, that is under a light without a positive finite luminous sum, everything is [`Xyz::ZERO`].
    /// For many pieces under one light, [`TristimulusWeights`] is twice as fast.
    pub fn of_transmission(transmittance: &Spectrum, light: &Spectrum, observer: Observer) -> Self {
        let functions = observer_functions(observer);
        match hundred_for_clear(light, observer) {
            Some(k) => sums(&transmittance.zip_map(light, |t, s| t * s), functions) * k,
            None => Self::ZERO,
        }
    }

    /// Of a light itself on the relative scale: the white point, Y = 100. `None` in the dark.
    pub fn white(light: &Spectrum, observer: Observer) -> Option<Self> {
        let k = hundred_for_clear(light, observer)?;
        let white = sums(light, observer_functions(observer)) * k;
        white.is_finite().then_some(white)
    }

    /// X, Y, Z in this order.
    pub const fn to_array(self) -> [f64; 3] {
        [self.0.x, self.0.y, self.0.z]
    }

    /// Whether all three are finite numbers.
    pub fn is_finite(self) -> bool {
        self.x.is_finite() && self.y.is_finite() && self.z.is_finite()
    }

    /// Chromaticity (x, y); `None` unless X+Y+Z is above zero and finite.
    pub fn chromaticity(self) -> Option<Chromaticity> {
        let sum = self.x + self.y + self.z;
        // A sum of the smallest numbers possible can still overflow the quotient.
        (sum > 0.0 && sum.is_finite())
            .then(|| Chromaticity::from(Yxy::from_color_unclamped(self.0)))
            .filter(|c| c.x.is_finite() && c.y.is_finite())
    }

    /// Chromaticity (u′, v′); `None` unless X+15Y+3Z is above zero and finite.
    pub fn u_prime_v_prime(self) -> Option<UvPrime> {
        let sum = self.x + 15.0 * self.y + 3.0 * self.z;
        (sum > 0.0 && sum.is_finite())
            .then(|| UvPrime { u: 4.0 * self.x / sum, v: 9.0 * self.y / sum })
            .filter(|c| c.u.is_finite() && c.v.is_finite())
    }
}

/// Plain sums with three weighting spectra.
#[inline]
fn sums(spectrum: &Spectrum, [x, y, z]: &[Spectrum; 3]) -> Xyz {
    Xyz::new(spectrum.dot(x), spectrum.dot(y), spectrum.dot(z))
}

/// 100/Σ S·ȳ; `None` in the dark.
fn hundred_for_clear(light: &Spectrum, observer: Observer) -> Option<f64> {
    let k = 100.0 / light.dot(&observer_functions(observer)[1]);
    (k > 0.0 && k.is_finite()).then_some(k)
}

/// One light and one observer multiplied in advance: each further piece costs 243 multiplications.
///
/// ```
/// use spectra::{Observer, Spectrum, TristimulusWeights, illuminant};
///
/// let weights = TristimulusWeights::of_transmission(&illuminant::d65(), Observer::Cie1931);
/// assert!((weights.xyz(&Spectrum::splat(0.5)).y - 50.0).abs() < 1e-12);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TristimulusWeights([Spectrum; 3]);

impl TristimulusWeights {
    /// Weights that give [`Xyz::absolute`] of a spectral radiance or irradiance.
    pub fn absolute(observer: Observer) -> Self {
        Self(observer_functions(observer).map(|f| f * (LUMINOUS_EFFICACY * GRID_STEP_NM)))
    }

    /// Weights that give [`Xyz::of_transmission`] in `light`.
    pub fn of_transmission(light: &Spectrum, observer: Observer) -> Self {
        let k = hundred_for_clear(light, observer).unwrap_or(0.0);
        Self(observer_functions(observer).map(|f| f * *light * k))
    }

    /// The three weighting spectra, for X, Y and Z.
    pub const fn spectra(&self) -> &[Spectrum; 3] {
        &self.0
    }

    /// Tristimulus values of one spectrum.
    #[inline]
    pub fn xyz(&self, spectrum: &Spectrum) -> Xyz {
        sums(spectrum, &self.0)
    }
}

impl Deref for Xyz {
    type Target = palette::Xyz<Any, f64>;
    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl From<palette::Xyz<Any, f64>> for Xyz {
    fn from(xyz: palette::Xyz<Any, f64>) -> Self {
        Self(xyz)
    }
}

impl From<[f64; 3]> for Xyz {
    fn from([x, y, z]: [f64; 3]) -> Self {
        Self::new(x, y, z)
    }
}

impl Add for Xyz {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Xyz {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Xyz {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Xyz {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for Xyz {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl std::iter::Sum for Xyz {
    fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
        values.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::illuminant;

    #[test]
    fn a_clear_piece_has_y_100_in_every_light() {
        for light in [illuminant::a(), illuminant::d65(), illuminant::e()] {
            let xyz = Xyz::of_transmission(&Spectrum::ONE, &light, Observer::Cie1964);
            assert!((xyz.y - 100.0).abs() < 1e-12);
            assert_eq!(Some(xyz), Xyz::white(&light, Observer::Cie1964));
        }
    }

    #[test]
    fn darkness_has_no_colour() {
        assert_eq!(Xyz::of_transmission(&Spectrum::ONE, &Spectrum::ZERO, Observer::Cie1931), Xyz::ZERO);
        assert_eq!(Xyz::white(&Spectrum::ZERO, Observer::Cie1931), None);
        assert_eq!(Xyz::ZERO.chromaticity(), None);
        assert_eq!(Xyz::ZERO.u_prime_v_prime(), None);
    }

    #[test]
    fn weights_give_what_the_single_calls_give() {
        let (t, light) = (Spectrum::from_fn(|nm| nm / 1000.0), illuminant::d50());
        for observer in [Observer::Cie1931, Observer::Cie1964] {
            let near = |a: Xyz, b: Xyz| assert!((a - b).to_array().iter().all(|d| d.abs() < 1e-9 * a.y));
            near(TristimulusWeights::absolute(observer).xyz(&light), Xyz::absolute(&light, observer));
            near(
                TristimulusWeights::of_transmission(&light, observer).xyz(&t),
                Xyz::of_transmission(&t, &light, observer),
            );
        }
    }
}
