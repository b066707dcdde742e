//! The fifteen CIE standard general skies: how luminance varies over a cloudy or clear dome.

use std::sync::LazyLock;

use crate::error::{DaylightError, within};
use crate::quadrature::{gauss_legendre, over_panels};

/// One of the fifteen types.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CieType {
    /// Gradation between horizon and zenith: φ(Z) = 1 + a·exp(b/cos Z).
    pub a: f64,
    /// See `a`.
    pub b: f64,
    /// Scattering around the sun: f(χ) = 1 + c·(exp(dχ) − exp(dπ/2)) + e·cos²χ.
    pub c: f64,
    /// See `c`.
    pub d: f64,
    /// See `c`.
    pub e: f64,
    /// The description in the standard.
    pub description: &'static str,
    /// Typical diffuse horizontal illuminance relative to that outside the atmosphere, Dv/Ev.
    pub diffuse_share: f64,
    /// Typical luminous turbidity Tv of the beam; `None` if clouds hide the sun.
    pub luminous_turbidity: Option<f64>,
}

const fn sky(
    [a, b, c, d, e]: [f64; 5],
    diffuse_share: f64,
    luminous_turbidity: Option<f64>,
    description: &'static str,
) -> CieType {
    CieType { a, b, c, d, e, description, diffuse_share, luminous_turbidity }
}

/// The types 1–15, in order.
///
/// # Source
/// a–e: ISO 15469:2004 / CIE S 011:2003, table 1. Dv/Ev and Tv: Darula & Kittler, *CIE general sky standard
/// defining luminance distributions*, Proc. eSim 2002, table 2; types 1–6 and 9 have no beam here, since their sun
/// is behind cloud.
#[rustfmt::skip]
pub const CIE_TYPES: [CieType; 15] = [
    sky([4.0, -0.70, 0.0, -1.0, 0.00], 0.10, None, "overcast, steep gradation, azimuthally uniform (CIE standard overcast)"),
    sky([4.0, -0.70, 2.0, -1.5, 0.15], 0.18, None, "overcast, steep gradation, slight brightening toward the sun"),
    sky([1.1, -0.80, 0.0, -1.0, 0.00], 0.15, None, "overcast, moderate gradation, azimuthally uniform"),
    sky([1.1, -0.80, 2.0, -1.5, 0.15], 0.22, None, "overcast, moderate gradation, slight brightening toward the sun"),
    sky([0.0, -1.00, 0.0, -1.0, 0.00], 0.20, None, "uniform luminance"),
    sky([0.0, -1.00, 2.0, -1.5, 0.15], 0.38, None, "partly cloudy, no gradation, slight brightening toward the sun"),
    sky([0.0, -1.00, 5.0, -2.5, 0.30], 0.42, Some(12.0), "partly cloudy, no gradation, brighter circumsolar region"),
    sky([0.0, -1.00, 10.0, -3.0, 0.45], 0.41, Some(10.0), "partly cloudy, no gradation, distinct solar corona"),
    sky([-1.0, -0.55, 2.0, -1.5, 0.15], 0.40, None, "partly cloudy, obscured sun"),
    sky([-1.0, -0.55, 5.0, -2.5, 0.30], 0.36, Some(10.0), "partly cloudy, brighter circumsolar region"),
    sky([-1.0, -0.55, 10.0, -3.0, 0.45], 0.23, Some(4.0), "white-blue, distinct solar corona"),
    sky([-1.0, -0.32, 10.0, -3.0, 0.45], 0.10, Some(2.5), "CIE standard clear, low turbidity"),
    sky([-1.0, -0.32, 16.0, -3.0, 0.30], 0.28, Some(4.5), "CIE standard clear, polluted atmosphere"),
    sky([-1.0, -0.15, 16.0, -3.0, 0.30], 0.28, Some(5.0), "cloudless turbid, broad solar corona"),
    sky([-1.0, -0.15, 24.0, -2.8, 0.15], 0.30, Some(4.0), "white-blue turbid, broad solar corona"),
];

/// Solar constant in light, lx (Darula & Kittler 2002, eq. 11).
pub const SOLAR_ILLUMINANCE_LX: f64 = 133_800.0;

/// One type with the sun at one altitude, ready to be evaluated in many directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CieSky {
    kind: CieType,
    sun_zenith: f64,
    exp_right_angle: f64,
    zenith_value: f64,
}

impl CieSky {
    /// `cie_type` 1–15; `sun_altitude_deg` 0–90.
    ///
    /// # Errors
    /// [`DaylightError::UnknownSkyType`], [`DaylightError::OutsideRange`].
    ///
    /// # Source
    /// ISO 15469:2004 (CIE S 011), *Spatial distribution of daylight: CIE standard general sky*, eq. 1–9.
    pub fn new(cie_type: u8, sun_altitude_deg: f64) -> Result<Self, DaylightError> {
        let kind = cie_type
            .checked_sub(1)
            .and_then(|i| CIE_TYPES.get(usize::from(i)))
            .copied()
            .ok_or(DaylightError::UnknownSkyType(cie_type))?;
        within("sun_altitude_deg", sun_altitude_deg, 0.0..=90.0, "degrees from 0 to 90")?;
        let sun_zenith = (90.0 - sun_altitude_deg).to_radians();
        let mut sky = Self {
            kind,
            sun_zenith,
            exp_right_angle: (kind.d * std::f64::consts::FRAC_PI_2).exp(),
            zenith_value: 1.0,
        };
        sky.zenith_value = sky.scattering(sun_zenith, sun_zenith.cos()) * sky.gradation(1.0);
        Ok(sky)
    }

    /// Luminance relative to that of the zenith toward a direction at `cos_zenith` (0–1), `from_sun` radians away
    /// from the sun.
    #[inline]
    pub(crate) fn relative(&self, cos_zenith: f64, from_sun: f64, cos_from_sun: f64) -> f64 {
        self.scattering(from_sun, cos_from_sun) * self.gradation(cos_zenith) / self.zenith_value
    }

    /// Luminance relative to that of the zenith; directions below the horizon count as on it.
    pub fn relative_luminance(&self, zenith_deg: f64, azimuth_from_sun_deg: f64) -> f64 {
        let (sin_z, cos_z) = zenith_deg.clamp(0.0, 90.0).to_radians().sin_cos();
        let cos_from_sun = (self.sun_zenith.cos() * cos_z
            + self.sun_zenith.sin() * sin_z * azimuth_from_sun_deg.to_radians().cos())
        .clamp(-1.0, 1.0);
        self.relative(cos_z, cos_from_sun.acos(), cos_from_sun)
    }

    /// Horizontal illuminance from the dome over the luminance of its zenith, sr.
    pub fn horizontal_over_zenith(&self) -> f64 {
        static RULE: LazyLock<[(f64, f64); 24]> = LazyLock::new(gauss_legendre);
        // The scattering function has a cusp at the sun, so panels end there. Symmetry halves the circle.
        let altitudes = [0.0, std::f64::consts::FRAC_PI_2 - self.sun_zenith, std::f64::consts::FRAC_PI_2];
        let mut sum = 0.0;
        for (altitude, w_altitude) in over_panels(&*RULE, &altitudes) {
            let (sin_h, cos_h) = altitude.sin_cos();
            for (azimuth, w_azimuth) in over_panels(&*RULE, &[0.0, std::f64::consts::PI]) {
                let cos_from_sun = (self.sun_zenith.cos() * sin_h
                    + self.sun_zenith.sin() * cos_h * azimuth.cos())
                .clamp(-1.0, 1.0);
                let relative = self.relative(sin_h, cos_from_sun.acos(), cos_from_sun);
                sum += 2.0 * w_altitude * w_azimuth * relative * sin_h * cos_h;
            }
        }
        sum
    }

    fn gradation(&self, cos_zenith: f64) -> f64 {
        if cos_zenith > 1e-9 { 1.0 + self.kind.a * (self.kind.b / cos_zenith).exp() } else { 1.0 }
    }

    fn scattering(&self, from_sun: f64, cos_from_sun: f64) -> f64 {
        let CieType { c, d, e, .. } = self.kind;
        // Types without brightening toward the sun skip the exponential.
        if c == 0.0 {
            return 1.0 + e * cos_from_sun * cos_from_sun;
        }
        1.0 + c * ((d * from_sun).exp() - self.exp_right_angle) + e * cos_from_sun * cos_from_sun
    }
}

/// Luminance of a CIE general sky relative to that of its zenith, for directions given as (zenith angle, azimuth
/// from the sun), degrees.
///
/// # Errors
/// As [`CieSky::new`]; [`DaylightError::OutsideRange`] for a zenith angle beyond 0–90.
pub fn cie_sky(
    cie_type: u8,
    sun_altitude_deg: f64,
    directions: &[[f64; 2]],
) -> Result<Vec<f64>, DaylightError> {
    let sky = CieSky::new(cie_type, sun_altitude_deg)?;
    directions
        .iter()
        .map(|&[zenith, azimuth]| {
            within("zenith_deg", zenith, 0.0..=90.0, "degrees from 0 to 90")?;
            within("azimuth_from_sun_deg", azimuth, -720.0..=720.0, "degrees from −720 to 720")?;
            Ok(sky.relative_luminance(zenith, azimuth))
        })
        .collect()
}

/// Beam illuminance facing the sun at a type's typical turbidity, lx: Ev0·exp(−m·Tv/(9.9 + 0.043·m)); zero if
/// clouds hide the sun.
///
/// # Source
/// Darula & Kittler 2002 (see [`CIE_TYPES`]), eq. 15–17.
pub(crate) fn beam_illuminance_lx(kind: &CieType, air_mass: f64) -> f64 {
    kind.luminous_turbidity
        .map_or(0.0, |tv| SOLAR_ILLUMINANCE_LX * (-air_mass * tv / (9.9 + 0.043 * air_mass)).exp())
}
