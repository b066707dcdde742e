//! The ranges of an instant's figures, and what they depend on.

use daylight::Outside;
use scene::Resolved;
use schemars::JsonSchema;
use serde::Serialize;
use spectra::{Observer, Spectrum, TristimulusWeights, luminous};
use uncertainty::{Alone, CauseError, Draw, Origin, Sample, sample_all};

use super::around::{Around, Effect, FIGURES, Levels, in_front};
use super::figure_range::FigureRange;
use super::listed::Listed;
use super::piece::Centre;
use super::window::WindowModel;
use crate::instant::{InstantLight, Irradiance};
use crate::prepared::Prepared;

/// Draws for a window of few pieces, and for one of so many that it would take too long.
pub(super) const DRAWS: [usize; 2] = [512, 256];
/// Pieces times draws that are computed at most before there are fewer draws.
const MOST_WORK: usize = 100_000;
/// Causes with a smaller share of the variance are left out of the list.
const LEAST_SHARE: f64 = 0.005;

/// Ranges of the light at the place.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LightRanges {
    /// On a vertical plane at the eye that faces the window.
    pub vertical_lx: FigureRange,
    /// On a horizontal plane at the eye.
    pub horizontal_lx: FigureRange,
    /// On the working plane, if the place has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub working_plane_lx: Option<FigureRange>,
    /// Share of clear glass, of the figure in front: on the working plane if there is one, otherwise vertical.
    pub share_of_clear: Option<FigureRange>,
    /// CIE 1931 x of the same light.
    pub x: Option<FigureRange>,
    /// CIE 1931 y of it.
    pub y: Option<FigureRange>,
    /// CIE 1976 u′ of it.
    pub u_prime: Option<FigureRange>,
    /// CIE 1976 v′ of it.
    pub v_prime: Option<FigureRange>,
}

/// The range of a piece's luminance.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PieceRange {
    /// Its number.
    pub id: u32,
    /// Toward the place; `None` if the piece cannot be seen.
    pub luminance_cd_m2: Option<FigureRange>,
}

/// One thing that the figure in front depends on.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Dependence {
    /// What it is: "strength of cobalt (Co2+)".
    pub what: String,
    /// One standard deviation of it: "± 22 %".
    pub spread: String,
    /// Where that is from: `measured`, `common practice, no source` or `assumption`.
    pub origin: String,
    /// Share of the variance of the figure's logarithm, 0–1.
    pub share: f64,
}

/// How well the figures are known: in nine cases of ten they lie between `p05` and `p95`.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Ranges {
    /// Share of cases in a range: 0.9.
    pub coverage: f64,
    /// If only the glass were not known exactly: its colour, thickness, flash, streaks and index.
    pub glass_alone: LightRanges,
    /// With everything that is not known exactly: glass, paint, scattering, protective glazing, room, ground and sky.
    pub everything: LightRanges,
    /// What the illuminance in front depends on, the largest share first. Shares below half a per cent are left out.
    pub depends_on: Vec<Dependence>,
    /// Share of the variance that is due to several of these together.
    pub together: f64,
    /// Each piece, in the order of the report.
    pub pieces: Vec<PieceRange>,
}

/// Places of the figures in a sample; the pieces come after them.
mod at {
    use super::FIGURES;
    pub(in crate::causes) const GLASS: usize = 0;
    pub(in crate::causes) const ALL: usize = FIGURES;
    /// Share of clear glass, x, y, u′ and v′: by glass alone, and by everything.
    pub(in crate::causes) const SHARE: [usize; 2] = [2 * FIGURES, 2 * FIGURES + 5];
    pub(in crate::causes) const PIECES: usize = 2 * FIGURES + 10;
}

/// A scene's causes, and what it takes to compute its figures in a draw.
pub(super) struct Model<'a> {
    pub window: WindowModel,
    pub effects: Vec<Effect>,
    levels: &'a Levels,
    /// Weights of each piece by wavelength, for X, Y, Z in front and both illuminances at the eye.
    weights: Vec<[Spectrum; FIGURES]>,
    /// The same for its luminance.
    luminance: Vec<Spectrum>,
    /// Share of its luminance that it scatters, for X, Y and Z: what it scatters has the colour of sun and whole sky, what
    /// it does not that of the sky behind it.
    scattered: Vec<[f64; 3]>,
    /// Share of each figure's light that comes straight from the window.
    straight: [f64; FIGURES],
    centres: Vec<Centre>,
    /// What each piece gave to the illuminance in front in the last draw, without what is around the window.
    through: Vec<f64>,
}

impl<'a> Model<'a> {
    pub(super) fn new(
        prepared: &Prepared,
        resolved: &Resolved,
        outside: &Outside,
        light: &InstantLight,
        levels: &'a Levels,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let panes = || prepared.glazing.of_piece.iter().map(|&pane| &prepared.glazing.panes[pane]);
        let paths = prepared.pieces.iter().map(|piece| piece.path);
        let window = WindowModel::new(resolved, panes().zip(paths), listed)?;
        let around = Around::new(prepared, resolved, outside, light, levels, listed)?;
        let observer = TristimulusWeights::absolute(Observer::Cie1931);
        let [x, y, z] = *observer.spectra();
        let (front, receiver) = in_front(prepared, light);
        let weights = light.pieces.iter().zip(&front.pieces).map(|(piece, front)| {
            let received = front.received[receiver];
            [received * x, received * y, received * z, piece.received[0] * y, piece.received[1] * y]
        });
        let (beam, sky) = outside.irradiance_on(prepared.wall.facing_deg, 90.0);
        let cosine = outside.sun_cosine(prepared.wall.facing_deg, 90.0);
        let scattered = panes().zip(&light.pieces).map(|(pane, piece)| {
            // Diffuse light falls on the pane at 50 to 60° for the most part.
            let scattered = pane.optics.diffuse(0.6) * sky + pane.optics.diffuse(cosine) * beam;
            let [scattered, seen] =
                [scattered * std::f64::consts::FRAC_1_PI, piece.radiance.unwrap_or_default()]
                    .map(|radiance| [x, y, z].map(|weight| radiance.dot(&weight)));
            std::array::from_fn(|k| if seen[k] > 0.0 { (scattered[k] / seen[k]).min(1.0) } else { 0.0 })
        });
        let straight = |on: &Irradiance| {
            let total = luminous(&on.total());
            if total > 0.0 { 1.0 - luminous(&on.room) / total } else { 0.0 }
        };
        let at_front = straight(front.on(receiver));
        let straight = [at_front, at_front, at_front, straight(&light.vertical), straight(&light.horizontal)];
        Ok(Self {
            window,
            levels,
            weights: weights.collect(),
            luminance: light
                .pieces
                .iter()
                .map(|piece| piece.radiance.map_or(Spectrum::ZERO, |radiance| radiance * y))
                .collect(),
            scattered: scattered.collect(),
            straight,
            centres: Vec::new(),
            through: vec![0.0; light.pieces.len()],
            effects: around.effects,
        })
    }

    /// Number of figures.
    pub(super) fn count(&self) -> usize {
        at::PIECES + self.window.pieces.len()
    }

    /// All figures of a draw. The first call must be at the centre.
    pub(super) fn figures(&mut self, draw: &Draw, into: &mut [f64]) {
        let glasses = self.window.glasses_at(draw);
        if self.centres.is_empty() {
            let centre = |piece| Centre::of(piece, &glasses, draw);
            self.centres = self.window.pieces.iter().map(centre).collect();
        }
        let front = self.window.front.as_ref().map_or(1.0, |pane| pane.passed(draw));
        into.fill(0.0);
        let (sums, pieces) = into.split_at_mut(at::PIECES);
        for (p, (piece, centre)) in self.window.pieces.iter().zip(&self.centres).enumerate() {
            let passed = piece.passed(centre, &glasses, draw);
            let (straight, looks) = match &piece.scatter {
                Some(scatter) => self.scatter_factors(p, scatter.share, scatter.back, scatter.factor(draw)),
                None => ([1.0; FIGURES], 1.0),
            };
            let rest = passed.rest * front;
            let mut alone = [0.0; FIGURES];
            for (sum, weight) in alone.iter_mut().zip(&self.weights[p]) {
                *sum = passed.glass.dot(weight);
            }
            let all = passed.coats.map(|coats| passed.glass * coats);
            for k in 0..FIGURES {
                sums[at::GLASS + k] += alone[k];
                let through = all.as_ref().map_or(alone[k], |all| all.dot(&self.weights[p][k]));
                sums[at::ALL + k] += through * rest * straight[k];
                if k == 1 {
                    self.through[p] = through * rest * straight[k];
                }
            }
            let seen = all.as_ref().unwrap_or(&passed.glass).dot(&self.luminance[p]);
            pieces[p] = seen * rest * looks;
        }
        let mut logs = [0.0; FIGURES];
        let mut clear = 0.0;
        let mut by_piece = vec![0.0; pieces.len()];
        for effect in &self.effects {
            let z = draw.number(effect.cause);
            let bend = effect.bend.as_ref().map(|bend| (z * z, bend));
            for (factor, of) in std::iter::once((z, &effect.straight)).chain(bend) {
                for (log, one) in logs.iter_mut().zip(&of.figures) {
                    *log += factor * one;
                }
                clear += factor * of.clear;
                for (log, one) in by_piece.iter_mut().zip(&of.pieces) {
                    *log += factor * one;
                }
            }
        }
        for (k, log) in logs.into_iter().enumerate() {
            sums[at::ALL + k] *= log.exp();
        }
        for (piece, log) in pieces.iter_mut().zip(by_piece) {
            *piece *= log.exp();
        }
        for (from, to, clear) in [(at::GLASS, at::SHARE[0], 0.0), (at::ALL, at::SHARE[1], clear)] {
            let [x, y, z] = [sums[from], sums[from + 1], sums[from + 2]];
            let clear = self.levels.clear * f64::exp(clear);
            sums[to] = if clear > 0.0 { y / clear } else { 0.0 };
            let all = x + y + z;
            if all > 0.0 {
                sums[to + 1] = x / all;
                sums[to + 2] = y / all;
                let d = x + 15.0 * y + 3.0 * z;
                sums[to + 3] = 4.0 * x / d;
                sums[to + 4] = 9.0 * y / d;
            }
        }
    }

    /// What the illuminance in front depends on, and the share of what several causes do together.
    fn dependences(&mut self, listed: &Listed, sample: &Sample) -> (Vec<Dependence>, f64) {
        let alone = Alone::new(&listed.causes);
        let mut figures = vec![0.0; self.count()];
        let mut figure = |draw: &Draw| {
            self.figures(draw, &mut figures);
            (figures[at::ALL + 1], self.through.clone())
        };
        let (centre, _) = figure(&alone.centre());
        let variance = |cause: usize| -> f64 {
            if alone.values(cause) == 1 {
                return (0..alone.normals(cause))
                    .map(|k| alone.variance(cause, k, |draw| (figure(draw).0 / centre).ln()))
                    .sum();
            }
            // Each number moves one piece, so that all can be moved at once.
            let [(_, less), (_, more)] = [-1.0, 1.0].map(|z| figure(&alone.all(cause, z)));
            less.iter().zip(&more).map(|(less, more)| (0.5 * (more - less) / centre).powi(2)).sum()
        };
        let variances: Vec<f64> = (0..listed.causes.list().len()).map(variance).collect();
        let apart: f64 = variances.iter().sum();
        let logs: Vec<f64> = sample.values(at::ALL + 1).iter().map(|value| (value / centre).ln()).collect();
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        let all = logs.iter().map(|log| (log - mean).powi(2)).sum::<f64>() / logs.len() as f64;
        let whole = all.max(apart).max(f64::MIN_POSITIVE);
        let mut found: Vec<Dependence> = listed
            .causes
            .list()
            .iter()
            .zip(&listed.spreads)
            .zip(variances)
            .map(|((cause, spread), variance)| Dependence {
                what: cause.name.clone(),
                spread: spread.clone(),
                origin: origin(cause.origin).to_owned(),
                share: variance / whole,
            })
            .filter(|found| found.share >= LEAST_SHARE)
            .collect();
        found.sort_by(|a, b| b.share.total_cmp(&a.share));
        (found, 1.0 - apart / whole)
    }

    /// What a factor of the scattered share does to a piece's part of each figure, and to its luminance.
    fn scatter_factors(&self, piece: usize, share: f64, back: f64, factor: f64) -> ([f64; FIGURES], f64) {
        let more = (share * factor).min(1.0);
        let regular = if share < 1.0 { (1.0 - more) / (1.0 - share) } else { 1.0 };
        let scattered = if share > 0.0 { more / share } else { 1.0 };
        let lost = (1.0 - (back * factor).min(0.95)) / (1.0 - back);
        let looks = self.scattered[piece].map(|glows| lost * (glows * scattered + (1.0 - glows) * regular));
        let [x, y, z] = looks;
        let mut light = [x, y, z, y, y];
        for (factor, straight) in light.iter_mut().zip(self.straight) {
            *factor = straight * *factor + (1.0 - straight) * lost;
        }
        (light, y)
    }
}

impl Prepared {
    /// How well the figures of an instant are known, and what they depend on. `light` is [`Self::light`] of `outside`,
    /// `resolved` the scene from which this was prepared. `None` in the dark.
    ///
    /// Work: some hundred draws, each of which passes through every piece; a few ten milliseconds for 165 pieces.
    pub fn ranges(&self, resolved: &Resolved, outside: &Outside, light: &InstantLight) -> Option<Ranges> {
        let levels = Levels::of(self, light);
        if levels.figures[1] <= 0.0 {
            return None;
        }
        let mut listed = Listed::default();
        let mut model = Model::new(self, resolved, outside, light, &levels, &mut listed).ok()?;
        let draws = (MOST_WORK / model.window.pieces.len().max(1)).clamp(DRAWS[1], DRAWS[0]);
        let count = model.count();
        let sample = sample_all(&listed.causes, draws, count, |draw, into| model.figures(draw, into)).ok()?;
        let (depends_on, together) = model.dependences(&listed, &sample);
        let ids = self.wall.pieces.iter().map(|shape| {
            resolved.windows.get(shape.window).and_then(|w| w.pieces.get(shape.piece)).map_or(0, |p| p.id)
        });
        Some(Ranges {
            coverage: 0.9,
            glass_alone: self.light_ranges(&sample, at::GLASS, at::SHARE[0]),
            everything: self.light_ranges(&sample, at::ALL, at::SHARE[1]),
            depends_on,
            together,
            pieces: ids
                .zip(&light.pieces)
                .enumerate()
                .map(|(p, (id, seen))| PieceRange {
                    id,
                    luminance_cd_m2: seen.radiance.map(|_| range(&sample, at::PIECES + p)),
                })
                .collect(),
        })
    }

    fn light_ranges(&self, sample: &Sample, figures: usize, share: usize) -> LightRanges {
        let some = |figure: usize| (sample.centre(figure) > 0.0).then(|| range(sample, figure));
        LightRanges {
            vertical_lx: range(sample, figures + 3),
            horizontal_lx: range(sample, figures + 4),
            working_plane_lx: self.plane.as_ref().map(|_| range(sample, figures + 1)),
            share_of_clear: some(share),
            x: some(share + 1),
            y: some(share + 2),
            u_prime: some(share + 3),
            v_prime: some(share + 4),
        }
    }
}

/// The words of an origin.
fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Measured => "measured",
        Origin::CommonPractice => "common practice, no source",
        Origin::Assumption => "assumption",
    }
}

fn range(sample: &Sample, figure: usize) -> FigureRange {
    let uncertainty::Range { median, p05, p95 } = sample.range(figure);
    FigureRange::new(sample.centre(figure), median, p05, p95)
}
