//! Light that comes in, and figures of what the window gets and sees, at `N` wavelengths or as a whole.

use plane::{RoomPoint, RoomVector};

/// Light from sky and sun.
#[derive(Clone, Copy)]
pub struct Light<'a, const N: usize> {
    /// Luminance of the open sky, with all that stands far away, toward a unit vector whose y is not negative.
    pub sky: &'a (dyn Fn(RoomVector) -> [f64; N] + Sync),
    /// Altitudes, radians, at which that luminance jumps at a bearing, radians clockwise from the outward normal: the edges
    /// of what stands far away.
    pub edges: &'a (dyn Fn(f64) -> Vec<f64> + Sync),
    /// Unit vector toward the sun, if it shines.
    pub sun: Option<RoomVector>,
    /// Illuminance by the beam on a plane that faces the sun; 0 without beam.
    pub beam_normal: [f64; N],
}

/// For [`Light::edges`]: a sky without any.
pub fn no_edges(_: f64) -> Vec<f64> {
    Vec::new()
}

/// Illuminance on an upright unglazed plane at the window's middle, by where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vertical<const N: usize> {
    /// From the sky.
    pub sky: [f64; N],
    /// From the ground.
    pub ground: [f64; N],
    /// From the facades and blocks.
    pub facade: [f64; N],
    /// The beam on the plane itself; 0 in shadow.
    pub sun: [f64; N],
}

impl<const N: usize> Vertical<N> {
    /// All of it.
    pub fn total(&self) -> [f64; N] {
        std::array::from_fn(|i| self.sky[i] + self.ground[i] + self.facade[i] + self.sun[i])
    }
}

/// What a view meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// The ground.
    Ground,
    /// The own building's wall.
    OwnBuilding,
    /// An upright face of this block.
    Block(usize),
    /// A roof, which is black, or what lies below it.
    Roof,
}

/// What a view meets, where, and how bright it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Met<const N: usize> {
    /// The surface.
    pub surface: Surface,
    /// Where, m, in the frame of the surroundings.
    pub at: RoomPoint,
    /// Its luminance.
    pub luminance: [f64; N],
}

/// Adds `factor` times `other`.
#[inline]
pub(crate) fn add_scaled<const N: usize>(sum: &mut [f64; N], factor: f64, other: &[f64; N]) {
    for (a, b) in sum.iter_mut().zip(other) {
        *a += factor * b;
    }
}
