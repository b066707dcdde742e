use daylight::CieSky;
use plane::RoomVector;

use crate::error::{RevealError, within};

/// A CIE general sky above the horizon and an even ground below it; nothing stands outside, and the sun's beam is left
/// out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SkyAndGround {
    pattern: CieSky,
    sun_bearing_deg: f64,
    /// Luminance of the zenith, cd/m².
    zenith: f64,
    /// Luminance of the ground, cd/m².
    ground: f64,
}

impl SkyAndGround {
    /// `cie_type` 1–15; the sun's altitude, 0–90°, and bearing, clockwise from the outward normal of the wall, matter for
    /// the types that brighten toward it. `diffuse_horizontal_lx`: illuminance of the free sky on the ground, of which
    /// the ground, Lambertian, sends back `ground_reflectance` (0–1).
    ///
    /// # Errors
    /// [`RevealError::Sky`]; [`RevealError::OutsideRange`] for an illuminance below 0, a reflectance beyond 0–1 or a
    /// bearing that is not finite.
    pub fn new(
        cie_type: u8,
        sun_altitude_deg: f64,
        sun_bearing_deg: f64,
        diffuse_horizontal_lx: f64,
        ground_reflectance: f64,
    ) -> Result<Self, RevealError> {
        let pattern = CieSky::new(cie_type, sun_altitude_deg)?;
        within("sun_bearing_deg", sun_bearing_deg, f64::MIN..=f64::MAX, "degrees")?;
        let lx =
            within("diffuse_horizontal_lx", diffuse_horizontal_lx, 0.0..=f64::MAX, "an illuminance from 0")?;
        let ground =
            within("ground_reflectance", ground_reflectance, 0.0..=1.0, "a reflectance from 0 to 1")?;
        Ok(Self {
            pattern,
            sun_bearing_deg: sun_bearing_deg.rem_euclid(360.0),
            zenith: lx / pattern.horizontal_over_zenith(),
            ground: ground * lx / std::f64::consts::PI,
        })
    }

    /// Luminance toward a direction (unit vector), cd/m².
    pub fn luminance(&self, toward: RoomVector) -> f64 {
        let [x, y, z] = toward.to_array();
        if y <= 0.0 {
            return self.ground;
        }
        let zenith_deg = y.min(1.0).acos().to_degrees();
        let bearing_deg = x.atan2(-z).to_degrees();
        self.zenith * self.pattern.relative_luminance(zenith_deg, bearing_deg - self.sun_bearing_deg)
    }
}
