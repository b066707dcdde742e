//! The ranges of an instant's figures, and what they depend on.

use daylight::Outside;
use scene::Resolved;
use schemars::JsonSchema;
use serde::Serialize;
use uncertainty::{Alone, Draw, Origin, Sample, sample_all};

use super::around::{self, names};
use super::effect::{Effect, Factors};
use super::error::RangesError;
use super::levels::{FIGURES, Levels};
use super::listed::Listed;
use super::piece::PieceDrawn;
use super::sun_apart::SunApart;
use super::walls;
use super::window::WindowModel;
use crate::figure_range::FigureRange;
use crate::instant::InstantLight;
use crate::prepared::Prepared;

/// Draws for a window of few pieces, and for one of so many that it would take too long.
pub(super) const DRAWS: [usize; 2] = [512, 256];
/// Pieces times draws that are computed at most before there are fewer draws.
const MOST_WORK: usize = 100_000;
/// Share of its centre below which a figure counts as this in the variance of its logarithm, as a figure of 0 has none. Our
/// choice.
const LEAST_OF_CENTRE: f64 = 1e-3;
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
    /// With everything that is not known exactly: glass, paint, scattering, protective glazing, the wall around a window,
    /// room, ground and sky.
    pub everything: LightRanges,
    /// What the illuminance in front depends on, the largest share first. Shares below half a per cent are left out.
    pub depends_on: Vec<Dependence>,
    /// Share of the variance that is due to several of these together.
    pub together: f64,
    /// Of the daylight glare probability, as the level of the light at the eye leaves it; `None` where there is none.
    pub dgp: Option<FigureRange>,
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
pub(super) struct Model {
    pub window: WindowModel,
    pub effects: Vec<Effect>,
    /// At the figure in front with clear glass, lx.
    clear: f64,
    centres: Vec<PieceDrawn>,
    factors: Factors,
    /// The sun's beam, where a cause may switch it on or off.
    apart: Option<SunApart>,
    /// What it adds to the luminance of each piece.
    on_pieces: Vec<f64>,
    /// What each piece gave to the illuminance in front in the last draw, without what is around the window.
    through: Vec<f64>,
}

impl Model {
    pub(super) fn new(
        prepared: &Prepared,
        resolved: &Resolved,
        outside: &Outside,
        light: &InstantLight,
        levels: &Levels,
        listed: &mut Listed,
    ) -> Result<Self, RangesError> {
        let mut apart = SunApart::new(prepared, resolved, outside);
        let sun = apart.as_ref();
        let window = WindowModel::new(prepared, resolved, light, prepared.beam(outside), sun, listed)?;
        let mut effects = around::effects(prepared, resolved, outside, light, levels, sun, listed)?;
        effects.extend(walls::effects(prepared, resolved, outside, light, levels, listed)?);
        let pieces = light.pieces.len();
        let mut factors = Factors::new(pieces);
        if let Some(apart) = &mut apart {
            factors = factors.with_sun(pieces);
            // The effects belong to the last causes, one each.
            let around = listed.causes.list().iter().skip(listed.causes.list().len() - effects.len());
            let numbers: Vec<_> = around.map(|cause| &cause.name[..]).zip(&effects).collect();
            apart.moved_by(names::SUN_EDGES.map(|name| {
                numbers.iter().find(|(known, _)| *known == name).map(|(_, effect)| effect.cause)
            }));
        }
        Ok(Self {
            window,
            effects,
            clear: levels.clear,
            centres: Vec::new(),
            factors,
            apart,
            on_pieces: vec![0.0; pieces],
            through: vec![0.0; pieces],
        })
    }

    /// Number of figures.
    pub(super) fn count(&self) -> usize {
        at::PIECES + self.window.pieces.len()
    }

    /// All figures of a draw. The first call must be at the centre.
    pub(super) fn figures(&mut self, draw: &Draw, into: &mut [f64]) {
        let shared = self.window.shared_at(draw);
        if self.centres.is_empty() {
            self.centres = self.window.pieces.iter().map(|piece| piece.at(&shared, draw)).collect();
        }
        into.fill(0.0);
        let (sums, pieces) = into.split_at_mut(at::PIECES);
        let share_of_sun = self.apart.as_ref().map_or(0.0, |apart| apart.share_at(draw));
        let mut of_sun = [0.0; FIGURES];
        for (p, (piece, centre)) in self.window.pieces.iter().zip(&self.centres).enumerate() {
            let found = piece.figures(&piece.at(&shared, draw), centre, draw);
            for k in 0..FIGURES {
                sums[at::GLASS + k] += f64::from(found.glass_alone[k]);
                sums[at::ALL + k] += f64::from(found.all[k]);
                of_sun[k] += share_of_sun * f64::from(found.of_sun[k]);
            }
            self.through[p] = f64::from(found.all[1]) + share_of_sun * f64::from(found.of_sun[1]);
            pieces[p] = f64::from(found.all[FIGURES]);
            self.on_pieces[p] = share_of_sun * f64::from(found.of_sun[FIGURES]);
        }
        self.factors.reset();
        for effect in &self.effects {
            effect.apply(draw.number(effect.cause), &mut self.factors);
        }
        let (factors, sun) = self.factors.take_both();
        let of_pieces = pieces.iter_mut().zip(&factors.pieces);
        for (figure, factor) in sums[at::ALL..].iter_mut().zip(&factors.figures).chain(of_pieces) {
            *figure *= factor;
        }
        let mut clear = self.clear * factors.clear;
        if let (Some(apart), Some(sun)) = (&self.apart, sun) {
            for (figure, (light, factor)) in sums[at::ALL..].iter_mut().zip(of_sun.iter().zip(&sun.figures)) {
                *figure += light * factor;
            }
            for (figure, (light, factor)) in pieces.iter_mut().zip(self.on_pieces.iter().zip(&sun.pieces)) {
                *figure += light * factor;
            }
            clear =
                apart.rest_levels.clear * factors.clear + share_of_sun * apart.sun_levels.clear * sun.clear;
        }
        for (from, to, clear) in [(at::GLASS, at::SHARE[0], self.clear), (at::ALL, at::SHARE[1], clear)] {
            let [x, y, z] = [sums[from], sums[from + 1], sums[from + 2]];
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
    pub(super) fn dependences(&mut self, listed: &Listed, sample: &Sample) -> (Vec<Dependence>, f64) {
        let alone = Alone::new(&listed.causes);
        let mut figures = vec![0.0; self.count()];
        let mut figure = |model: &mut Self, draw: &Draw| {
            model.figures(draw, &mut figures);
            figures[at::ALL + 1]
        };
        let centre = figure(self, &alone.centre());
        let mut variance = |cause: usize| -> f64 {
            let name = listed.causes.list().get(cause).map_or("", |cause| &cause.name[..]);
            if self.apart.is_some() && (names::SUN_EDGES.contains(&name) || name == names::CLOUD) {
                return alone.variance_with_jumps(cause, 0, |draw| (figure(self, draw) / centre).ln());
            }
            if alone.values(cause) == 1 {
                return (0..alone.normals(cause))
                    .map(|k| alone.variance(cause, k, 0.0, |draw| log_over(figure(self, draw), centre)))
                    .sum();
            }
            // Each number moves the light of its own pieces, so that all can be moved at once.
            let [less, more] = [-1.0, 1.0].map(|z| {
                figure(self, &alone.all(cause, z));
                self.through.clone()
            });
            let moved = less.iter().zip(&more).map(|(less, more)| 0.5 * (more - less) / centre);
            self.window.sum_of_squares(cause, moved)
        };
        let variances: Vec<f64> = (0..listed.causes.list().len()).map(&mut variance).collect();
        let apart: f64 = variances.iter().sum();
        let logs: Vec<f64> =
            sample.values(at::ALL + 1).iter().map(|value| log_over(*value, centre)).collect();
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
        sorting::by(&mut found, |a, b| b.share.total_cmp(&a.share));
        (found, 1.0 - apart / whole)
    }
}

impl Prepared {
    /// How well the figures of an instant are known, and what they depend on. `light` is [`Self::light`] of `outside`,
    /// `resolved` the scene from which this was prepared. `None` in the dark.
    ///
    /// Work: some hundred draws, each of which passes through every piece, and one to two further skies for each cause
    /// outside; a few ten milliseconds for 165 pieces. In a wall with depth about half as much again, and at the first hour
    /// what its depth hides.
    ///
    /// # Errors
    /// [`RangesError`]: figures that are not finite, or a scene so near the limits of what can be computed that it lies
    /// beyond them when something is a little larger or smaller.
    pub fn ranges(
        &self,
        resolved: &Resolved,
        outside: &Outside,
        light: &InstantLight,
    ) -> Result<Option<Ranges>, RangesError> {
        let levels = Levels::of(self, light);
        if levels.figures[1] <= 0.0 {
            return Ok(None);
        }
        let mut listed = Listed::default();
        let mut model = Model::new(self, resolved, outside, light, &levels, &mut listed)?;
        let draws = (MOST_WORK / model.window.pieces.len().max(1)).clamp(DRAWS[1], DRAWS[0]);
        let count = model.count();
        let sample = sample_all(&listed.causes, draws, count, |draw, into| model.figures(draw, into))?;
        let (depends_on, together) = model.dependences(&listed, &sample);
        let ids = self.wall.pieces.iter().map(|shape| {
            resolved.windows.get(shape.window).and_then(|w| w.pieces.get(shape.piece)).map_or(0, |p| p.id)
        });
        let everything = self.light_ranges(&sample, at::ALL, at::SHARE[1]);
        Ok(Some(Ranges {
            coverage: 0.9,
            glass_alone: self.light_ranges(&sample, at::GLASS, at::SHARE[0]),
            dgp: self.dazzle(outside, light).map(|dazzle| dazzle.range(&everything.vertical_lx)),
            everything,
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
        }))
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

/// The logarithm of a figure over its centre.
fn log_over(figure: f64, centre: f64) -> f64 {
    (figure / centre).max(LEAST_OF_CENTRE).ln()
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
