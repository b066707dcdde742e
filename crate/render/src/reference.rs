//! The 81-sample path: a piece's light at a point, wavelength by wavelength, without tables or a basis.

use glam::Vec2;
use glass::Lobe;
use plane::{PanelPoint, PanelSpaceVector, contains};
use spectra::Spectrum;

use crate::glazing::optics::{Factors, Transmittance};
use crate::light::field::Eye;
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::shared::frame::Frame;
use crate::software::glass::{glass, local};
use crate::software::stone::behind;
use crate::window::model::WindowModel;

/// The world outside, queried directly.
pub trait Surroundings {
    /// Spectral radiance from a direction (unit vector in the panel's frame, z negative), without the sun's disc.
    fn radiance(&self, direction: PanelSpaceVector) -> Spectrum;
    /// Irradiance on the panel's outer face over π.
    fn glow(&self) -> Spectrum;
    /// The same by the directions, as unit vectors, from which it comes: their parts of the irradiance, the
    /// sun's included.
    fn arriving(&self) -> &[(PanelSpaceVector, Spectrum)];
}

/// How a piece with a lobe scatters light, by the angle at which it arrives.
#[derive(Clone, Debug)]
pub struct Scatters {
    lobe: Lobe,
    /// Diffuse transmittance relative to that at the angle from which the piece is seen.
    by_angle: Vec<Spectrum>,
    /// Share of a bell that stays within the hemisphere, by the distance of its middle from the normal in direction
    /// cosines.
    kept: Vec<f64>,
}

impl Scatters {
    const STEP_DEG: f64 = 5.0;
    /// Steps of that distance.
    const STEPS: usize = 40;

    /// `None` for a piece that spreads all that it scatters evenly. `transmittance`: by angle in degrees.
    /// `angle_deg`: from which it is seen.
    pub fn new(angle_deg: f64, mut transmittance: impl FnMut(f64) -> Transmittance) -> Option<Self> {
        let seen = transmittance(angle_deg);
        let lobe = seen.lobe;
        if lobe.share <= 0.0 || seen.diffuse.max() <= 0.0 {
            return None;
        }
        let ratio = |at: f64, seen: f64| if seen > 0.0 { at / seen } else { 0.0 };
        let by_angle = (0..=18)
            .map(|k| transmittance(Self::STEP_DEG * f64::from(k)).diffuse.zip_map(&seen.diffuse, ratio))
            .collect();
        let kept = (0..=Self::STEPS)
            .map(|k| {
                // Points of the bell by equal shares outward, and evenly around.
                let middle = k as f64 / Self::STEPS as f64;
                let inside = (0..4096).filter(|n| {
                    let out = (-2.0 * lobe.variance() * ((f64::from(*n) + 0.5) / 4096.0).ln()).sqrt();
                    let (sine, cosine) = (f64::from(*n) * 2.399_963).sin_cos();
                    (middle + out * cosine).hypot(out * sine) < 1.0
                });
                inside.count() as f64 / 4096.0
            })
            .collect();
        Some(Self { lobe, by_angle, kept })
    }

    /// Radiance toward the eye of what it scatters of light from all directions, relative to its diffuse transmittance.
    fn radiance(&self, outside: &impl Surroundings, direction: PanelSpaceVector) -> Spectrum {
        let mut sums = vec![Spectrum::ZERO; self.by_angle.len()];
        let between = |at: f64, last: usize| {
            let first = (at as usize).min(last - 1);
            (first, at - first as f64)
        };
        for (from, light) in outside.arriving() {
            let [x, y] = [0, 1].map(|k| from[k] - direction[k]);
            let variance = self.lobe.variance();
            let bell = (-0.5 * (x * x + y * y) / variance).exp() / (std::f64::consts::TAU * variance);
            let (near, t) = between(from[0].hypot(from[1]) * Self::STEPS as f64, Self::STEPS);
            let kept = self.kept[near] * (1.0 - t) + self.kept[near + 1] * t;
            let weight =
                self.lobe.share * bell + (1.0 - self.lobe.share * kept) * std::f64::consts::FRAC_1_PI;
            let angle_deg = (-from[2]).clamp(0.0, 1.0).acos().to_degrees();
            let (node, t) = between(angle_deg / Self::STEP_DEG, self.by_angle.len() - 1);
            sums[node].add_scaled(weight * (1.0 - t), light);
            sums[node + 1].add_scaled(weight * t, light);
        }
        sums.iter().zip(&self.by_angle).map(|(sum, of)| *sum * *of).sum()
    }
}

/// Radiance toward the eye of what a piece scatters, relative to its diffuse transmittance: with a lobe, or evenly.
pub fn scattered(
    scatters: Option<&Scatters>,
    outside: &impl Surroundings,
    direction: PanelSpaceVector,
) -> Spectrum {
    scatters.map_or_else(|| outside.glow(), |scatters| scatters.radiance(outside, direction))
}

/// Number of directions sampled over the square that a pixel covers.
const DIRECTIONS: u32 = 34;
/// They lie on a Fibonacci lattice, so that an edge in any direction is sampled finely; 21 goes with 34.
const LATTICE: u32 = 21;

/// Light from one piece toward the eye, T_reg(λ, θ)·L(direction) + T_dif(λ, θ)·E/π or what its lobe makes of
/// it, over a square of `side_mm` of the panel around a point: the transmittance at its middle times the mean
/// of what is behind it.
fn radiance_at(
    model: &WindowModel,
    piece: usize,
    point: PanelPoint,
    side_mm: f64,
    eye: Eye,
    (outside, scatters): (&impl Surroundings, Option<&Scatters>),
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
    let scattered = scattered(scatters, outside, eye.direction_through(point));
    t.regular * behind * (1.0 / f64::from(DIRECTIONS)) + t.diffuse * scattered
}

/// Mean radiance over pixels of a piece, `side_mm` wide, at those of `points` that lie in its light shape; `None`
/// if there are none. `scatters`: what it scatters, if it has a lobe.
pub fn mean_spectrum(
    model: &WindowModel,
    piece: usize,
    points: impl IntoIterator<Item = PanelPoint>,
    side_mm: f64,
    eye: Eye,
    (outside, scatters): (&impl Surroundings, Option<&Scatters>),
    transmittance: impl Fn(usize, Factors, f64) -> Transmittance,
) -> Option<Spectrum> {
    let (mut sum, mut count) = (Spectrum::ZERO, 0.0);
    for point in points {
        if contains(&model.pieces[piece].light_shape, point) {
            sum += radiance_at(model, piece, point, side_mm, eye, (outside, scatters), &transmittance);
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

/// Light that a picture of even glass shows at a point of a piece, without the sun's disc: linear RGB, cd/m²,
/// by the shader's CPU twin.
pub fn light_at(tables: &LightTables, view: &View, piece: usize, point: PanelPoint) -> [f64; 3] {
    // So that light around the sun fits into a half float, as in a picture.
    const EXPOSURE: f64 = 1.0 / 4096.0;
    let frame = Frame { sun_shines: 0.0, ..tables.frame(view, EXPOSURE, 0.0, 0.0) };
    let (light, _) = glass(&frame, tables, piece, point.vector().as_vec2(), Vec2::ZERO);
    (light.as_dvec3() / EXPOSURE).to_array()
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
