//! How much of its light a piece passes when its causes are not at their centre.
//!
//! The light through a piece at an instant is known (`PieceLight`); it is multiplied by what the piece would pass over
//! what it passes at the centre. Absorption counts along the mean path toward the eye, paint as a layer that lets
//! through 10^−D where it lies, whose scattered share grows with its density; what was scattered and what was not change each
//! for itself. Reflections between faces and the cone of scattered light are not followed again.

#![allow(
    clippy::needless_range_loop,
    reason = "loops by index over fixed lengths become vector instructions"
)]

use std::f32::consts::LN_10;

use uncertainty::{Draw, NumberId};

use super::bands::{BANDS, Bands, LANES, Weights, add_scaled, exp, exp_all, figures};
use super::forward::Turned;
use super::plates::{GlassDrawn, GlassModel, PlateModel};

/// Coats denser than this everywhere pass so little that their tint does not matter beside bare glass: one number stands for
/// all wavelengths.
const OPAQUE_DENSITY: f64 = 1.5;
/// Most that a dirty face may take.
const MOST_LOST: f64 = 0.95;

/// Place of Y in front among the figures.
const FRONT: usize = 1;

/// A fired coat.
pub(super) struct CoatModel {
    /// Density by band for a density of 1.
    pub shape: Bands,
    pub density: f64,
    /// Factors of the density: of the firing, and of the piece.
    pub density_factors: [NumberId; 2],
    pub coverage: f64,
    /// Factors of the coverage, where it is partial.
    pub coverage_factors: Option<[NumberId; 2]>,
    /// How it scatters, among [`Shared::scatter`].
    pub scatter: usize,
    /// Whether one number stands for all wavelengths.
    pub grey: bool,
}

/// How paints of one kind scatter.
#[derive(Clone, Copy, PartialEq)]
pub(super) struct PaintScatter {
    /// Share of what passes at its usual density.
    pub share: f64,
    pub usual_density: f64,
    /// Factor of its depth.
    pub factor: NumberId,
}

/// Scattering depth of what scatters this share: −ln of what keeps its direction. Finite, as the optics have it.
fn depth(share: f64) -> f64 {
    -(-share.min(0.999_999)).ln_1p()
}

/// Share that is scattered at so many times the depth: of little, as many times as much, and never more than all.
pub(super) fn scattered_by(share: f64, times: f64) -> f64 {
    -(-depth(share) * times).exp_m1()
}

impl PaintScatter {
    pub(super) fn share_at(&self, draw: &Draw) -> f64 {
        scattered_by(self.share, draw.number(self.factor))
    }

    /// −ln of what keeps its direction, for a density of 1: two layers scatter like one of both densities.
    fn depth_at(&self, draw: &Draw) -> f32 {
        (depth(self.share_at(draw)) / self.usual_density.max(0.01)) as f32
    }
}

/// What pieces have in common in a draw.
pub(super) struct Shared {
    pub glasses: Vec<GlassDrawn>,
    /// Of each way that paint scatters.
    scatter: Vec<f32>,
}

impl Shared {
    pub(super) fn at(glasses: &[GlassModel], scatter: &[PaintScatter], draw: &Draw) -> Self {
        Self {
            glasses: glasses.iter().map(|glass| glass.at(draw)).collect(),
            scatter: scatter.iter().map(|scatter| scatter.depth_at(draw)).collect(),
        }
    }
}

impl CoatModel {
    pub(super) fn density_at(&self, draw: &Draw) -> f64 {
        self.density_factors.iter().fold(self.density, |density, id| density * draw.number(*id))
    }

    pub(super) fn coverage_at(&self, draw: &Draw) -> f64 {
        let factors = self.coverage_factors.iter().flatten();
        factors.fold(self.coverage, |coverage, id| coverage * draw.number(*id)).min(1.0)
    }

    /// Whether it hides what it covers, and covers a part only. The density of a stain or an enamel is that at one
    /// wavelength: elsewhere it may be clear.
    pub(super) fn is_grey(shape: &Bands, density: f64, partial: bool) -> bool {
        // The last band is empty.
        let least = shape[..BANDS - 1].iter().copied().fold(f32::INFINITY, f32::min);
        partial && f64::from(least) * density >= OPAQUE_DENSITY
    }

    /// Of what passes a face with it, the share that keeps its direction, when a share `painted` of it passes the paint.
    fn regular(&self, shared: &Shared, density: f32, painted: f32) -> f32 {
        let depth = shared.scatter.get(self.scatter).copied().unwrap_or_default() * density;
        1.0 - painted * (1.0 - exp(-depth))
    }
}

/// A scattering glass in the piece.
pub(super) struct GlassScatter {
    /// Share scattered, and the factor of its depth.
    pub share: f64,
    pub factor: NumberId,
    /// How many times that thickness it has.
    pub times: f64,
    /// Share of what is scattered that goes back.
    pub back: f64,
}

impl GlassScatter {
    fn share_at(&self, draw: &Draw) -> f64 {
        scattered_by(self.share, draw.number(self.factor))
    }
}

/// Dirt or corrosion on a face.
#[derive(Clone, Copy)]
pub(super) struct DirtModel {
    pub loss: f64,
    /// What is added to the loss.
    pub added: NumberId,
    /// Share of the passing light that it scatters.
    pub scattered: f64,
}

impl DirtModel {
    /// Share of the light that it takes, in a draw.
    pub(super) fn loss_at(&self, draw: &Draw) -> f64 {
        (self.loss + draw.number(self.added)).clamp(0.0, MOST_LOST)
    }

    /// What it scatters in a draw: more dirt scatters more, like more layers of it.
    pub(super) fn scattered_at(&self, draw: &Draw) -> f64 {
        let layers = (-self.loss_at(draw)).ln_1p() / (-self.loss).ln_1p();
        if self.loss > 0.0 { scattered_by(self.scattered, layers) } else { self.scattered }
    }

    fn passed(&self, draw: &Draw) -> f64 {
        (1.0 - self.loss_at(draw)) / (1.0 - self.loss.min(MOST_LOST))
    }
}

/// A piece.
pub(super) struct PieceModel {
    pub plates: Vec<PlateModel>,
    pub coats: Vec<CoatModel>,
    pub scatter: Vec<GlassScatter>,
    /// On the pane in front, on the weather face, on the room face.
    pub dirt: [Option<DirtModel>; 3],
    /// The pane in front: absorbance at 560 nm per mm, and what is added to its thickness, mm. It is clear, so that one
    /// number stands for all wavelengths.
    pub front: Option<(f64, NumberId)>,
    /// Length of the path in the glass over its thickness.
    pub path: f64,
    /// Of all figures by band, with every cause at its centre.
    pub weights: Weights,
    /// Share of each that was scattered in it.
    pub scattered: [f32; LANES],
    /// Its light without the sun's beam and what the whole beam adds, where that is followed apart.
    pub parts: Option<[Part; 2]>,
    /// What is not known of how it scatters forwards.
    pub turned: Vec<Turned>,
}

/// What a piece is in a draw, as far as its light depends on it.
pub(super) struct PieceDrawn {
    /// Absorbance of the glass along the path, and density of whole coats.
    glass: Bands,
    coats: Bands,
    /// What coats on parts let through.
    parts: Option<Bands>,
    /// The same where it does not differ by wavelength, with dirt and the pane in front.
    grey: f32,
    faces: f32,
    /// Of what passes, the share that keeps its direction.
    regular: f32,
    /// Share that does not go back.
    forward: f32,
}

/// A part of a piece's light.
pub(super) struct Part {
    /// What it is of each figure, relative.
    pub share: [f32; LANES],
    /// Share of it that was scattered in the piece.
    pub scattered: [f32; LANES],
}

/// The light of a piece in a draw, figure by figure.
pub(super) struct PieceFigures {
    pub glass_alone: [f32; LANES],
    /// All of it; without the sun's beam where that is followed apart.
    pub all: [f32; LANES],
    /// What the sun's whole beam adds then.
    pub of_sun: [f32; LANES],
}

impl PieceModel {
    pub(super) fn at(&self, shared: &Shared, draw: &Draw) -> PieceDrawn {
        let glasses = &shared.glasses[..];
        let mut glass = [0.0; BANDS];
        for plate in &self.plates {
            plate.add_to(&mut glass, glasses, draw);
        }
        let path = self.path as f32;
        glass.iter_mut().for_each(|absorbance| *absorbance *= path);
        let (mut whole, mut parts, mut grey, mut regular) = ([0.0; BANDS], None::<Bands>, 1.0, 1.0);
        for coat in &self.coats {
            let (density, coverage) = (coat.density_at(draw) as f32, coat.coverage_at(draw) as f32);
            let mut painted = 1.0;
            if coat.grey {
                let passed = coverage * exp(-LN_10 * density);
                let all = 1.0 - coverage + passed;
                painted = passed / all.max(f32::MIN_POSITIVE);
                grey *= all;
            } else if coat.coverage_factors.is_none() {
                add_scaled(&mut whole, density, &coat.shape);
            } else {
                let parts = parts.get_or_insert([1.0; BANDS]);
                let mut through = coat.shape.map(|shape| -LN_10 * density * shape);
                exp_all(&mut through);
                let (mut by_paint, mut light) = (0.0, 0.0);
                for b in 0..BANDS {
                    let passed = coverage * through[b];
                    let all = 1.0 - coverage + passed;
                    parts[b] *= all;
                    by_paint += self.weights[b][FRONT] * passed / all.max(f32::MIN_POSITIVE);
                    light += self.weights[b][FRONT];
                }
                if light > 0.0 {
                    painted = by_paint / light;
                }
            }
            regular *= coat.regular(shared, density, painted);
        }
        let mut back = 0.0;
        for scatter in &self.scatter {
            let depth = depth(scatter.share_at(draw)) * scatter.times;
            regular *= exp(-depth as f32);
            back += scatter.back * -(-depth).exp_m1();
        }
        let mut rest = 1.0;
        for dirt in self.dirt.iter().flatten() {
            rest *= dirt.passed(draw);
            regular *= 1.0 - dirt.scattered_at(draw) as f32;
        }
        if let Some((per_mm, thickness)) = self.front {
            rest *= 10f64.powf(-per_mm * draw.number(thickness));
        }
        let faces =
            self.plates.iter().filter_map(|plate| glasses.get(plate.glass)).map(|g| g.faces).product();
        let forward = 1.0 - back.min(0.9) as f32;
        PieceDrawn { glass, coats: whole, parts, grey: grey * rest as f32, faces, regular, forward }
    }

    /// Its light in a draw, when it is `centre` with every cause at its centre.
    pub(super) fn figures(&self, drawn: &PieceDrawn, centre: &PieceDrawn, draw: &Draw) -> PieceFigures {
        let faces = drawn.faces / centre.faces;
        let mut more = [0.0; BANDS];
        for b in 0..BANDS {
            more[b] = LN_10 * (centre.glass[b] - drawn.glass[b]);
        }
        let mut passed = more;
        exp_all(&mut passed);
        let alone = figures(&passed, &self.weights).map(|figure| figure * faces);
        let mut all = alone;
        if !self.coats.is_empty() {
            for b in 0..BANDS {
                passed[b] = more[b] + LN_10 * (centre.coats[b] - drawn.coats[b]);
            }
            exp_all(&mut passed);
            if let (Some(drawn), Some(centre)) = (&drawn.parts, &centre.parts) {
                for b in 0..BANDS {
                    passed[b] *= drawn[b] / centre[b].max(f32::MIN_POSITIVE);
                }
            }
            all = figures(&passed, &self.weights).map(|figure| figure * faces);
        }
        let rest = drawn.grey / centre.grey.max(f32::MIN_POSITIVE) * (drawn.forward / centre.forward);
        let ratio = |drawn: f32, centre: f32| if centre > 1e-6 { drawn / centre } else { 1.0 };
        let regular = ratio(drawn.regular, centre.regular);
        let scattered = ratio(1.0 - drawn.regular, 1.0 - centre.regular);
        let mut of_sun = [0.0; LANES];
        match &self.parts {
            None => {
                for k in 0..LANES {
                    all[k] *= rest * (regular + self.scattered[k] * (scattered - regular));
                }
            }
            Some(parts) => {
                for k in 0..LANES {
                    let [rest, sun] = parts.each_ref().map(|part| {
                        rest * part.share[k] * (regular + part.scattered[k] * (scattered - regular))
                    });
                    of_sun[k] = all[k] * sun;
                    all[k] *= rest;
                }
            }
        }
        for turned in &self.turned {
            turned.apply(draw, &mut all);
            if self.parts.is_some() {
                turned.apply(draw, &mut of_sun);
            }
        }
        PieceFigures { glass_alone: alone, all, of_sun }
    }
}
