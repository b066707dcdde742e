//! The dome of the sky: how its light varies by direction.

use std::f64::consts::FRAC_1_PI;

use spectra::Spectrum;

use crate::cie_sky::CieSky;
use crate::clear_sky::ClearSky;

/// Radiance by direction: a clear part, a cloudy part, or both.
#[derive(Clone, Debug)]
pub(crate) struct Dome {
    /// Toward the sun for which the pattern is computed: on the horizon while the real sun is below it. East,
    /// north, up.
    pub(crate) sun: [f64; 3],
    pub(crate) clear: Option<ClearSky>,
    /// Pattern and spectral radiance at the zenith.
    pub(crate) cloud: Option<(CieSky, Spectrum)>,
    /// Radiance of the night sky, alike in all directions.
    pub(crate) night: Option<Spectrum>,
}

impl Dome {
    /// `v`: unit vector east, north, up, at or above the horizon.
    #[inline]
    pub(crate) fn radiance(&self, v: [f64; 3]) -> Spectrum {
        let cos_from_sun = (v[0] * self.sun[0] + v[1] * self.sun[1] + v[2] * self.sun[2]).clamp(-1.0, 1.0);
        let from_sun = cos_from_sun.acos();
        let up = v[2].max(0.0);
        let mut light = match &self.clear {
            Some(clear) => clear.radiance(up, from_sun, cos_from_sun),
            None => Spectrum::ZERO,
        };
        if let Some((pattern, zenith)) = &self.cloud {
            light.add_scaled(pattern.relative(up, from_sun, cos_from_sun), zenith);
        }
        if let Some(night) = &self.night {
            light += *night;
        }
        light
    }

    /// Direction of the sun for which the pattern is computed: (altitude, azimuth), radians.
    pub(crate) fn sun_angles(&self) -> (f64, f64) {
        (self.sun[2].clamp(0.0, 1.0).asin(), self.sun[0].atan2(self.sun[1]))
    }

    /// Makes all of its light brighter by a factor.
    pub(crate) fn scale(&mut self, factor: f64) {
        self.clear = self.clear.take().map(|clear| clear.dimmed(factor));
        if let Some((_, zenith)) = &mut self.cloud {
            *zenith *= factor;
        }
        if let Some(night) = &mut self.night {
            *night *= factor;
        }
    }

    /// Replaces a share of the light by that of the night sky. `night`: its irradiance on the ground.
    pub(crate) fn fade_into_night(&mut self, share: f64, night: Spectrum) {
        if share < 1.0 {
            self.scale(1.0 - share);
        } else {
            (self.clear, self.cloud) = (None, None);
        }
        self.night = Some(night * FRAC_1_PI);
    }
}
