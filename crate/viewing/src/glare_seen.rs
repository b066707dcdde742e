//! Glare of the view from a place, straight at the window.

use daylight::{Outside, SUN_DIAMETER_DEG};
use schemars::JsonSchema;
use serde::Serialize;
use spectra::luminous;

use crate::beam::Beam;
use crate::causes::Ranges;
use crate::glare::{GlareSource, daylight_glare_probability, position_index};
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
    /// Share of the sun's disc that stands in the eyes, 0–1.
    pub sun_share: f64,
    /// Numbers of the pieces through which it does.
    pub sun_through: Vec<u32>,
}

impl Prepared {
    /// `ids`: the numbers of the pieces, in the order of the wall's.
    pub(crate) fn glare(&self, outside: &Outside, light: &InstantLight, ids: &[u32]) -> Glare {
        let vertical_lx = luminous(&light.vertical.total());
        let through = light.pieces.iter().zip(ids).filter(|(piece, _)| piece.sun_share > 0.0);
        let mut glare = Glare {
            dgp: None,
            dgp_p05: None,
            dgp_p95: None,
            words: String::new(),
            sun_share: light.pieces.iter().map(|piece| piece.sun_share).sum::<f64>().min(1.0),
            sun_through: through.map(|(_, id)| *id).collect(),
        };
        if vertical_lx >= LEAST_LX {
            let sources = self.glare_sources(outside, light, vertical_lx);
            // More than everybody cannot be disturbed; the formula has no such limit.
            glare.dgp = daylight_glare_probability(vertical_lx, &sources).map(|dgp| dgp.min(1.0));
        }
        glare.words = words(glare.dgp);
        glare
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
        if let Some(Beam { toward, normal, cosine }) = beam {
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

impl Glare {
    /// Adds the range that follows from that of the light at the eye: more light outside makes everything seen brighter
    /// alike.
    pub(crate) fn set_range(&mut self, vertical_lx: f64, ranges: &Ranges) {
        let (Some(dgp), true) = (self.dgp, vertical_lx > 0.0) else { return };
        let of_sources = 10f64.powf((dgp - 0.16 - 5.87e-5 * vertical_lx) / 9.18e-2) - 1.0;
        let range = ranges.everything.vertical_lx;
        let at = |lx: f64| {
            // Squared luminances over the light at the eye to the power of 1.87.
            let sum = of_sources * (lx / vertical_lx).powf(0.13);
            (5.87e-5 * lx + 9.18e-2 * (1.0 + sum.max(0.0)).log10() + 0.16).min(1.0)
        };
        (self.dgp_p05, self.dgp_p95) = (Some(at(range.p05)), Some(at(range.p95)));
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
