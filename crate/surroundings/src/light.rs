//! Light that comes in, and figures of what the window gets and sees.

use plane::{RoomPoint, RoomVector};

/// Light from sky and sun at one wavelength, or as a whole.
#[derive(Clone, Copy)]
pub struct Light<'a> {
    /// Luminance of the open sky toward a unit vector, whose y is not negative.
    pub sky: &'a (dyn Fn(RoomVector) -> f64 + Sync),
    /// Illuminance by the beam on a plane that faces the sun; 0 without beam.
    pub beam_normal: f64,
}

/// Illuminance on an upright unglazed plane at the window's middle, by where it comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Vertical {
    /// From the sky.
    pub sky: f64,
    /// From the ground.
    pub ground: f64,
    /// From the facade or the block opposite.
    pub facade: f64,
    /// The beam on the plane itself; 0 in shadow.
    pub sun: f64,
}

impl Vertical {
    /// All of it.
    pub fn total(&self) -> f64 {
        self.sky + self.ground + self.facade + self.sun
    }
}

/// What a view meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// The sky.
    Sky,
    /// The ground.
    Ground,
    /// The facade or an upright face of the block opposite.
    Facade,
    /// A roof, which is black, or what lies below it.
    Roof,
}

/// What a view meets, where, and how bright it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met {
    /// The surface.
    pub surface: Surface,
    /// Where, m, in the frame of the surroundings; `None` for the sky.
    pub at: Option<RoomPoint>,
    /// Its luminance.
    pub luminance: f64,
}
