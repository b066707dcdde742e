//! The 81-sample path: a piece's light at a point, wavelength by wavelength, without tables or a basis.

use glam::Vec2;
use plane::{PanelPoint, PanelSpaceVector, contains};
use spectra::Spectrum;

use crate::glazing::optics::{Factors, Transmittance};
use crate::light::field::Eye;
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::software::glass::{glass, local};
use crate::software::stone::behind;
use crate::window::model::WindowModel;

/// The world outside, queried directly.
pub trait Surroundings {
    /// Spectral radiance from a direction (unit vector in the panel's frame, z negative), without the sun's disc.
    fn radiance(&self, direction: PanelSpaceVector) -> Spectrum;
    /// Irradiance on the panel's outer face over π.
    fn glow(&self) -> Spectrum;
}

/// Number of directions sampled over the square that a pixel covers.
const DIRECTIONS: u32 = 34;
/// They lie on a Fibonacci lattice, so that an edge in any direction is sampled finely; 21 goes with 34.
const LATTICE: u32 = 21;

/// Light from one piece toward the eye, T_reg(λ, θ)·L(direction) + T_dif(λ, θ)·E/π, over a square of `side_mm` of
/// the panel around a point: the transmittance at its middle times the mean of what is behind it.
fn radiance_at(
    model: &WindowModel,
    piece: usize,
    point: PanelPoint,
    side_mm: f64,
    eye: Eye,
    outside: &impl Surroundings,
    transmittance: impl FnOnce(usize, Factors, f64) -> Transmittance,
) -> Spectrum {
    let piece = &model.pieces[piece];
    let factors = Factors { thickness: piece.thickness_factor, paint: piece.paint_factor, mix: 0.0 };
    let t = transmittance(piece.makeup, factors, eye.incidence_deg(point));
    let mut behind = Spectrum::ZERO;
    for i in 0..DIRECTIONS {
        let offset = |k: u32| (f64::from(k % DIRECTIONS) + 0.5) / f64::from(DIRECTIONS) - 0.5;
        let at = PanelPoint::new(point[0] + offset(i) * side_mm, point[1] + offset(i * LATTICE) * side_mm);
        behind += outside.radiance(eye.direction_through(at));
    }
    t.regular * behind * (1.0 / f64::from(DIRECTIONS)) + t.diffuse * outside.glow()
}

/// Mean radiance over pixels of a piece, `side_mm` wide, at those of `points` that lie in its light shape; `None`
/// if there are none.
pub fn mean_spectrum(
    model: &WindowModel,
    piece: usize,
    points: impl IntoIterator<Item = PanelPoint>,
    side_mm: f64,
    eye: Eye,
    outside: &impl Surroundings,
    transmittance: impl Fn(usize, Factors, f64) -> Transmittance,
) -> Option<Spectrum> {
    let (mut sum, mut count) = (Spectrum::ZERO, 0.0);
    for point in points {
        if contains(&model.pieces[piece].light_shape, point) {
            sum += radiance_at(model, piece, point, side_mm, eye, outside, &transmittance);
            count += 1.0;
        }
    }
    (count > 0.0).then(|| sum * (1.0 / count))
}

/// What a varied picture draws at a point of a piece, by the shader's CPU twin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawn {
    /// Relative to the make-up.
    pub factors: Factors,
    /// How the surface gathers the light.
    pub gain: f64,
    /// The point whose direction is really seen.
    pub seen_mm: PanelPoint,
    /// Shares of the layers above the horizontal, as in [`Seen`](crate::Seen); `None` if an upright edge runs
    /// through.
    pub layers: Option<[f64; 3]>,
    /// Share of the ground's light.
    pub ground: f64,
}

/// Light that a picture of even glass shows at a point of a piece: linear RGB, cd/m², by the shader's CPU twin.
pub fn light_at(tables: &LightTables, view: &View, piece: usize, point: PanelPoint) -> [f64; 3] {
    let frame = tables.frame(view, 1.0, 0.0, 0.0);
    let (light, _) = glass(&frame, tables, piece, point.vector().as_vec2(), Vec2::ZERO);
    light.as_dvec3().to_array()
}

/// What a picture draws at a point of a piece. `variation` as in [`Look`](crate::Look).
pub fn drawn_at(tables: &LightTables, view: &View, variation: f64, piece: usize, point: PanelPoint) -> Drawn {
    let frame = tables.frame(view, 1.0, variation, 0.0);
    let here = local(&frame, &tables.pieces[piece], point.vector().as_vec2(), Vec2::ZERO);
    let behind = behind(&frame, tables, here.through);
    Drawn {
        factors: Factors {
            thickness: f64::from(here.thickness / here.slanting),
            paint: f64::from(here.paint),
            mix: f64::from(here.mix),
        },
        gain: f64::from(here.gain),
        seen_mm: PanelPoint::from(here.through.seen.as_dvec2()),
        layers: behind.shares.map(|s| s.as_dvec3().to_array()),
        ground: f64::from(behind.ground),
    }
}
