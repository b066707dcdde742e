//! Glare of the view from a place, straight at the window.

use daylight::{Outside, SUN_DIAMETER_DEG};
use schemars::JsonSchema;
use serde::Serialize;
use spectra::luminous;

use crate::beam::Beam;
use crate::figure_range::FigureRange;
use crate::glare::{GlareSource, contrast, contrast_at_level, dgp, position_index};
use crate::instant::InstantLight;
use crate::lobes_seen::sun_spot;
use crate::prepared::Prepared;

/// Light at the eye below which the daylight glare probability was not established, lx (Wienold & Christoffersen 2006, from
/// memory).
const LEAST_LX: f64 = 380.0;
/// How many times as bright as the mean of the view a piece must be to count as a source: common practice of tools that
/// measure glare in pictures, no source.
const TIMES_THE_MEAN: f64 = 5.0;
/// From which probability glare is noticed, disturbs, and cannot be borne: J. Wienold, Dynamic daylight glare evaluation,
/// Building Simulation 2009; from memory.
const CLASSES: [(f64, &str); 3] = [(0.45, "intolerable"), (0.40, "disturbing"), (0.35, "noticeable")];

/// Glare of the view from a place, straight at the window.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Glare {
    /// Daylight glare probability, 0–1, by Wienold & Christoffersen 2006: the share of people whom such a view disturbed at
    /// desks in offices; `None` in light too low for it, below 380 lx at the eye.
    pub dgp: Option<f64>,
    /// The lower end of the range that the level of the light leaves it in nine cases of ten; `None` without ranges.
    pub dgp_p05: Option<f64>,
    /// Its upper end.
    pub dgp_p95: Option<f64>,
    /// What that means: not noticed, noticeable, disturbing, intolerable; in lower light that it is not known.
    pub words: String,
    /// Share of the sun's disc that stands in the eyes, 0–1: above skyline and blocks, though perhaps behind trees.
    pub sun_share: f64,
    /// Numbers of the pieces through which it does.
    pub sun_through: Vec<u32>,
}

/// Of what the daylight glare probability is made.
pub(crate) struct Dazzle {
    /// Light at the eye, lx.
    vertical_lx: f64,
    /// What the sources add up to against it.
    contrast: f64,
}

impl Prepared {
    /// `ids`: the numbers of the pieces, in the order of the wall's.
    pub(crate) fn glare(&self, outside: &Outside, light: &InstantLight, ids: &[u32]) -> Glare {
        let through = light.pieces.iter().zip(ids).filter(|(piece, _)| piece.sun_share > 0.0);
        // A sum of nothing is −0.
        let through_glass = light.pieces.iter().map(|piece| piece.sun_share).sum::<f64>() + 0.0;
        let dgp = self.dazzle(outside, light).map(|dazzle| dazzle.probability(dazzle.vertical_lx));
        Glare {
            dgp,
            dgp_p05: None,
            dgp_p95: None,
            words: words(dgp),
            sun_share: outside.sun_seen().disc * through_glass.min(1.0),
            sun_through: through.map(|(_, id)| *id).collect(),
        }
    }

    /// `None` in light too low for a daylight glare probability.
    pub(crate) fn dazzle(&self, outside: &Outside, light: &InstantLight) -> Option<Dazzle> {
        let vertical_lx = luminous(&light.vertical.total());
        (vertical_lx >= LEAST_LX).then(|| {
            let contrast = contrast(vertical_lx, &self.glare_sources(outside, light, vertical_lx));
            Dazzle { vertical_lx, contrast }
        })
    }

    /// The bright pieces, each in the parts that the view divides it into, with the spot that the sun makes on pieces that
    /// scatter forward, and the sun's disc behind them.
    fn glare_sources(&self, outside: &Outside, light: &InstantLight, vertical_lx: f64) -> Vec<GlareSource> {
        let least = TIMES_THE_MEAN * vertical_lx * std::f64::consts::FRAC_1_PI;
        let mut sources = Vec::new();
        let beam = self.beam(outside);
        for (p, (piece, seen)) in self.pieces.iter().zip(&light.pieces).enumerate() {
            let mean = seen.radiance.map_or(0.0, |radiance| luminous(&radiance));
            let pane = &self.glazing.panes[self.glazing.of_piece[p]];
            let spot = beam.as_ref().and_then(|beam| sun_spot(pane, piece, &self.view, beam));
            for (k, entry) in piece.entries.iter().enumerate() {
                let luminance_cd_m2 =
                    mean + spot.as_ref().map_or(0.0, |spot| seen.ways.sunlit * luminous(&spot[k]));
                if luminance_cd_m2 > least {
                    sources.push(GlareSource {
                        luminance_cd_m2,
                        solid_angle_sr: entry.solid_angle,
                        position_index: position_index(self.view[entry.cell].direction),
                    });
                }
            }
        }
        let disc_sr = std::f64::consts::TAU * (1.0 - (0.5 * SUN_DIAMETER_DEG).to_radians().cos());
        // The part of the disc that stands above skyline and blocks is as bright as the whole.
        let disc_sr = disc_sr * outside.sun_seen().disc;
        if let Some(Beam { toward, normal, cosine }) = beam.filter(|_| disc_sr > 0.0) {
            let position_index = position_index(toward);
            for (p, seen) in light.pieces.iter().enumerate().filter(|(_, seen)| seen.sun_share > 0.0) {
                let passed = self.glazing.panes[self.glazing.of_piece[p]].optics.regular(cosine) * normal;
                sources.push(GlareSource {
                    luminance_cd_m2: luminous(&passed) / disc_sr,
                    solid_angle_sr: disc_sr * seen.sun_share,
                    position_index,
                });
            }
        }
        sources
    }
}

impl Dazzle {
    /// The daylight glare probability with so much light at the eye: more light outside makes everything seen brighter
    /// alike. More than everybody cannot be disturbed; the formula has no such limit.
    fn probability(&self, lx: f64) -> f64 {
        dgp(lx, contrast_at_level(self.contrast, lx / self.vertical_lx)).min(1.0)
    }

    /// Its range, from that of the light at the eye.
    pub(crate) fn range(&self, lx: &FigureRange) -> FigureRange {
        let [figure, median, p05, p95] =
            [self.vertical_lx, lx.median, lx.p05, lx.p95].map(|lx| self.probability(lx));
        FigureRange::new(figure, median, p05, p95)
    }
}

fn words(dgp: Option<f64>) -> String {
    match dgp {
        None => format!("not known in light below {LEAST_LX:.0} lx at the eye"),
        Some(dgp) => {
            let class = CLASSES.iter().find(|(least, _)| dgp >= *least);
            class.map_or("not noticed", |(_, words)| words).to_owned()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Half and twice the light: luminances with it, and with them the sources' sum, as the formula itself has it.
    #[test]
    fn both_ends_are_those_of_the_formula_and_are_capped_last() {
        let (lx, luminance) = (3000.0, 4e4);
        let source = |times: f64, solid_angle_sr: f64| GlareSource {
            luminance_cd_m2: times * luminance,
            solid_angle_sr,
            position_index: 1.5,
        };
        // In the second view the sun stands, so that the figure itself would lie above 1.
        for solid_angle_sr in [0.05, 3e5] {
            let of = |times: f64| {
                let sources = [source(times, solid_angle_sr)];
                crate::glare::daylight_glare_probability(times * lx, &sources).unwrap().min(1.0)
            };
            let dazzle = Dazzle { vertical_lx: lx, contrast: contrast(lx, &[source(1.0, solid_angle_sr)]) };
            assert!(dazzle.probability(lx) < 1.0 || solid_angle_sr > 1.0);
            let range = dazzle.range(&FigureRange::new(lx, lx, 0.5 * lx, 2.0 * lx));
            for (found, expected) in [(range.p05, of(0.5)), (range.median, of(1.0)), (range.p95, of(2.0))] {
                assert!((found - expected).abs() < 1e-12, "{range:?} {expected}");
            }
        }
    }
}
