//! The clear spectral sky: its pattern over the dome by Hošek & Wilkie, its level by SPECTRL2.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use spectra::{SAMPLES, Spectrum};

use crate::error::{DaylightError, within};
use crate::hosek_wilkie::{FIRST_NM, HosekWilkie, NODES, STEP_NM};
use crate::quadrature::{gauss_legendre, over_panels};
use crate::spectrl2::{Spectrl2Inputs, spectrl2};

/// Node of the pattern at 360 nm, the last before the grid begins.
const FIRST_NODE: usize = 1;
/// Samples of the grid between two nodes of the pattern: 40 nm / 5 nm.
const STEPS: usize = 8;
/// Samples from 360 nm to the first of the grid, 380 nm.
const LEAD: usize = 4;

/// A cloudless dome: spectral radiance by direction.
///
/// The pattern is Hošek & Wilkie's at 360–720 nm, log-linear between their wavelengths and constant beyond 720 nm.
/// At every wavelength, the whole dome's irradiance on the ground equals the given diffuse spectrum, so that sky
/// and beam are consistent.
#[derive(Clone, Debug, PartialEq)]
pub struct ClearSky {
    shape: HosekWilkie,
    scale: Spectrum,
    level_ratio: Spectrum,
    sun_altitude: f64,
    turbidity: f64,
}

impl ClearSky {
    /// `turbidity` is clamped to the pattern's 1–10; `sun_altitude_deg` 0–90; `diffuse_horizontal`, W·m⁻²·nm⁻¹, is
    /// the irradiance that the dome gives on the ground.
    ///
    /// # Errors
    /// [`DaylightError::OutsideRange`].
    pub fn new(
        turbidity: f64,
        ground_albedo: &Spectrum,
        sun_altitude_deg: f64,
        diffuse_horizontal: &Spectrum,
    ) -> Result<Self, DaylightError> {
        within("turbidity", turbidity, 0.0..=1e6, "a number from 0")?;
        let turbidity = turbidity.clamp(1.0, 10.0);
        let albedo = std::array::from_fn(|k| {
            let at = ((FIRST_NM + STEP_NM * k as f64 - 380.0) / 5.0).max(0.0) as usize;
            ground_albedo[at.min(SAMPLES - 1)]
        });
        let shape = HosekWilkie::new(turbidity, &albedo, sun_altitude_deg)?;
        let mut sky = Self {
            shape,
            scale: Spectrum::ONE,
            level_ratio: Spectrum::ONE,
            sun_altitude: sun_altitude_deg.to_radians(),
            turbidity,
        };
        let own = sky.horizontal_irradiance();
        sky.level_ratio =
            own.zip_map(diffuse_horizontal, |own, stated| if stated > 0.0 { own / stated } else { 1.0 });
        sky.scale = diffuse_horizontal.zip_map(&own, |stated, own| stated / own);
        Ok(sky)
    }

    /// From the inputs of the clear spectra alone: sun, air and ground.
    ///
    /// # Errors
    /// As [`spectrl2`].
    pub fn from_inputs(inputs: &Spectrl2Inputs) -> Result<Self, DaylightError> {
        let light = spectrl2(inputs)?;
        let altitude = 90.0 - inputs.apparent_zenith_deg;
        Self::new(inputs.atmosphere.turbidity(), &inputs.ground_albedo, altitude, &light.diffuse_horizontal)
    }

    /// Spectral radiance, W·m⁻²·sr⁻¹·nm⁻¹, toward (zenith angle, azimuth from the sun), degrees; below the
    /// horizon counts as on it.
    pub fn radiance_toward(&self, zenith_deg: f64, azimuth_from_sun_deg: f64) -> Spectrum {
        let (sin_z, cos_z) = zenith_deg.clamp(0.0, 90.0).to_radians().sin_cos();
        let (sin_s, cos_s) = self.sun_altitude.sin_cos();
        let cos_from_sun =
            (sin_s * cos_z + cos_s * sin_z * azimuth_from_sun_deg.to_radians().cos()).clamp(-1.0, 1.0);
        self.radiance(cos_z, cos_from_sun.acos(), cos_from_sun)
    }

    /// Turbidity of the pattern, after clamping to 1–10.
    pub fn turbidity(&self) -> f64 {
        self.turbidity
    }

    /// Irradiance of the dome according to the pattern's authors over that of the diffuse spectrum, by wavelength:
    /// how far the two sources of the clear sky differ.
    ///
    /// Mostly 0.6–1.5 over wavelength; up to 1.9 at 390 nm (a dark line of the sun that only one of them samples)
    /// and in the oxygen band at 762 nm, and above 2 for a low sun in haze.
    pub fn level_ratio(&self) -> &Spectrum {
        &self.level_ratio
    }

    /// The same dome at another level.
    pub(crate) fn dimmed(mut self, share: f64) -> Self {
        self.scale *= share;
        self
    }

    #[inline]
    pub(crate) fn radiance(&self, cos_zenith: f64, from_sun: f64, cos_from_sun: f64) -> Spectrum {
        let nodes = self.shape.radiance(cos_zenith.max(0.0), from_sun, cos_from_sun);
        let mut out = spread(&nodes);
        out *= self.scale;
        out
    }

    fn horizontal_irradiance(&self) -> Spectrum {
        static RULE: LazyLock<[(f64, f64); 14]> = LazyLock::new(gauss_legendre);
        let (sin_s, cos_s) = self.sun_altitude.sin_cos();
        let mut sum = Spectrum::ZERO;
        // The pattern has a sharp aureole, so panels end at the sun's altitude and narrow toward its azimuth.
        for (altitude, w_altitude) in over_panels(&*RULE, &[0.0, self.sun_altitude, FRAC_PI_2]) {
            let (sin_h, cos_h) = altitude.sin_cos();
            let height = self.shape.height(sin_h);
            for (azimuth, w_azimuth) in over_panels(&*RULE, &[0.0, 0.3 * PI, PI]) {
                let cos_from_sun = (sin_s * sin_h + cos_s * cos_h * azimuth.cos()).clamp(-1.0, 1.0);
                let nodes = self.shape.radiance_at(&height, cos_from_sun.acos(), cos_from_sun);
                sum.add_scaled(2.0 * w_altitude * w_azimuth * sin_h * cos_h, &spread(&nodes));
            }
        }
        sum
    }
}

/// The pattern on the grid: log-linear between its wavelengths, that is, in equal ratios from sample to sample.
#[inline]
fn spread(nodes: &[f64; NODES]) -> Spectrum {
    // A fit can go below zero in a corner of its range; light cannot.
    let node = |k: usize| if nodes[k] > 1e-9 { nodes[k] } else { 1e-9 };
    let mut out = Spectrum::ZERO;
    let samples = out.samples_mut();
    let mut at = 0;
    for k in FIRST_NODE..NODES - 1 {
        // (b/a)^(1/8) by three square roots: exact, and several times faster than a logarithm and an exponential.
        let ratio = (node(k + 1) / node(k)).sqrt().sqrt().sqrt();
        let (mut value, first) =
            if k == FIRST_NODE { (node(k) * ratio.powi(LEAD as i32), LEAD) } else { (node(k), 0) };
        for _ in first..STEPS {
            samples[at] = value;
            value *= ratio;
            at += 1;
        }
    }
    samples[at..].fill(node(NODES - 1));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pattern_is_exact_at_its_own_wavelengths() {
        let nodes: [f64; NODES] = std::array::from_fn(|k| 1.0 + k as f64 * 0.3 + (k % 2) as f64);
        let s = spread(&nodes);
        for (k, node) in nodes.iter().enumerate().skip(2) {
            let i = ((FIRST_NM + STEP_NM * k as f64 - 380.0) / 5.0) as usize;
            assert!((s[i] / node - 1.0).abs() < 1e-14, "{k}");
        }
        // Halfway, the geometric mean; beyond 720 nm, the last value.
        assert!((s[0] - (nodes[1] * nodes[2]).sqrt()).abs() < 1e-14);
        assert!((s[8] - (nodes[2] * nodes[3]).sqrt()).abs() < 1e-14);
        assert!(s.samples()[68..].iter().all(|v| (v - nodes[10]).abs() < 1e-14));
    }
}
