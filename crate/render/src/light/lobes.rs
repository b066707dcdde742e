//! Light that pieces scatter forward: the outside, blurred in direction cosines.
//!
//! Physics and words are those of the figures (`viewing`, lobes): a bell around every direction, exact for
//! the sun; sky and ground blurred once an hour for every width. What a bell carries beyond grazing leaves
//! evenly spread with the rest, so that no light is lost or gained. Within a bell, light changes with its own
//! angle as it enters the outer face; what else the piece does to it is taken at the bell's mean angle in the
//! middle of the piece.
//!
//! Blurred light varies little, so three spectra make up all of it: their weights lie on a grid over the
//! panel, for every width. Bells narrower than the cells of the grid of direction cosines, below 2°, count as
//! 2° for sky and ground.

use std::f64::consts::{FRAC_1_PI, TAU};

use daylight::SkyBasis;
use glam::Vec3;
use plane::{PanelPoint, PanelSpaceVector};
use spectra::Spectrum;

use crate::glazing::forward::{ANGLES, ForwardOptics, angle_weights, entering};
use crate::light::field::{DirectionField, Eye, SKY_COLUMNS};
use crate::light::horizon::Edges;
use crate::light::lobe_grid::{
    Blurred, CELL, GRID, GROUND, SORTS, Sorts, direction, entering_light, kept, within,
};
use crate::light::lobe_shade::{Shade, in_grid};
use crate::light::wall::{Around, Shaded};
use crate::rgb::observer_response;
use crate::shared::constants::{FIELD_WIDTH, FORWARD_COLUMNS, FORWARD_ROWS};
use crate::shared::records::FieldForward;
use crate::window::region::Bounds;

/// Spectra of which blurred light is made.
pub(crate) const SPECTRA: usize = 3;
/// Those of sky and ground, of the sun's disc, and the stone's own.
const KNOWN: usize = SKY_COLUMNS + 3;
const DISC: usize = SKY_COLUMNS + 1;
const OWN: usize = SKY_COLUMNS + 2;
/// Widths for which there is room.
const WIDTHS: usize = (FIELD_WIDTH / FORWARD_COLUMNS) as usize;

/// The light of an instant that pieces scatter, as the renderer takes it.
#[derive(Clone, Debug, PartialEq)]
pub struct LobeLight {
    pub(crate) spectra: [Spectrum; SPECTRA],
    pub(crate) widths: Vec<LobeWidth>,
    /// Irradiance by sky and ground, by cosine of incidence: of what enters the outer face.
    by_angle: [Spectrum; ANGLES],
    /// The same in a wall with depth, as luminous shares of all that reaches the glass.
    behind_wall: Option<[f64; ANGLES]>,
    sun: Option<Sun>,
    bounds: Bounds,
}

/// The light of all lobes of about one width.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct LobeWidth {
    /// Logarithm of the standard deviation of direction cosines, in steps.
    step: i32,
    /// Radiance that enters, on a grid over the panel, row by row from the lowest.
    pub(crate) nodes: Vec<FieldForward>,
    /// Mean cosine of its incidence, at the same nodes.
    incidence: Vec<f32>,
    /// Of [`LobeLight::by_angle`], what stays within the hemisphere.
    kept: [Spectrum; ANGLES],
    kept_behind_wall: Option<[f64; ANGLES]>,
    /// Share of the sun's bell that does.
    sun_kept: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Sun {
    cosine: f64,
    /// On a plane facing it.
    normal: Spectrum,
}

/// A piece in this light.
pub(crate) struct Scattered {
    /// What takes the place of irradiance over π for what it spreads evenly.
    pub(crate) even: Spectrum,
    /// Radiance for unit weights of the three spectra and of the sun's bell, relative to its diffuse transmittance.
    pub(crate) forward: [Spectrum; SPECTRA + 1],
    /// Number of its width.
    pub(crate) width: usize,
    /// Variance of its direction cosines.
    pub(crate) variance: f64,
}

impl LobeLight {
    /// The light for pieces that scatter so; `None` if none of them has a lobe. `toward_sun`: unit vector in
    /// the panel's frame if it shines.
    pub(crate) fn new<'a>(
        pieces: impl Iterator<Item = &'a ForwardOptics>,
        around: &Around<'_>,
        edges: &Edges,
        (eye, panel): (Eye, Bounds),
        toward_sun: Option<PanelSpaceVector>,
        shade: Option<Shade<'_>>,
    ) -> Option<Self> {
        let steps = steps(pieces);
        if steps.is_empty() {
            return None;
        }
        let &Around { outside, basis, facing_deg, .. } = around;
        let known = known(basis, shade.as_ref());
        let within = within();
        let light = entering_light(basis, edges, facing_deg, &within);
        let sum_by_angle = |share: &dyn Fn(usize) -> f64| by_angle(&known, &light, &within, share);
        let bounds = DirectionField::bounds_around(panel);
        let toward: Vec<PanelSpaceVector> = nodes(bounds).map(|at| eye.direction_through(at)).collect();
        let blurred: Vec<Vec<Node>> =
            steps.iter().map(|step| at_nodes(&light, *step, bounds, &toward, shade)).collect();
        let sunlit: Option<Vec<f32>> = shade.map(|shade| {
            let [width, height] = bounds.size();
            let cell = [width / f64::from(FORWARD_COLUMNS - 1), height / f64::from(FORWARD_ROWS - 1)];
            nodes(bounds).map(|point| shade.sunlit(point, cell) as f32).collect()
        });
        let few = Few::new(&known, blurred.iter().flatten().step_by(7).map(|(weights, _)| weights));
        let sun =
            toward_sun.filter(|d| d[2] < 0.0).map(|d| Sun { cosine: -d[2], normal: outside.beam_normal() });
        let widths = steps
            .iter()
            .zip(blurred)
            .map(|(&step, blurred)| {
                let kept = kept(&within, step);
                let node = |(k, (weights, _)): (usize, &Node)| FieldForward {
                    weights: Vec3::from_array(few.weights(weights).map(|w| w as f32)),
                    sunlit: sunlit.as_ref().map_or(1.0, |sunlit| sunlit[k]),
                };
                LobeWidth {
                    step,
                    nodes: blurred.iter().enumerate().map(node).collect(),
                    incidence: blurred.iter().map(|(_, incidence)| *incidence as f32).collect(),
                    kept: sum_by_angle(&|cell| kept[cell]),
                    kept_behind_wall: shade.map(|shade| shade.by_angle(|d| in_grid(&kept, GRID, d).min(1.0))),
                    sun_kept: toward_sun.map_or(0.0, |d| in_grid(&kept, GRID, d).min(1.0)),
                }
            })
            .collect();
        Some(Self {
            spectra: few.spectra,
            widths,
            by_angle: sum_by_angle(&|_| 1.0),
            behind_wall: shade.map(|shade| shade.by_angle(|_| 1.0)),
            sun,
            bounds,
        })
    }

    /// What a piece makes of it. `middle`: of the piece.
    pub(crate) fn on(
        &self,
        of: &ForwardOptics,
        middle: PanelPoint,
        shaded: Option<&Shaded>,
    ) -> Option<Scattered> {
        let step = of.step();
        let (width, light) = self.widths.iter().enumerate().min_by_key(|(_, w)| w.step.abs_diff(step))?;
        let share = of.lobe.share.min(1.0);
        let mut even = match (shaded, self.behind_wall, light.kept_behind_wall) {
            (Some(shaded), Some(all), Some(kept)) => {
                let left = std::array::from_fn(|k| Spectrum::splat(all[k] - share * kept[k]));
                of.through(&left) * shaded.sky
            }
            _ => {
                let left = std::array::from_fn(|k| self.by_angle[k] - light.kept[k] * share);
                of.through(&left) * FRAC_1_PI
            }
        }
        .map(|v| if v > 0.0 { v } else { 0.0 });
        let across = of.at(f64::from(light.incidence[self.nearest(middle)])) * share;
        let variance = of.lobe.variance();
        let from_sun = self.sun.map_or(Spectrum::ZERO, |sun| {
            of.at(sun.cosine) * sun.normal * (entering(sun.cosine) * sun.cosine)
        });
        let in_sun = shaded.map_or(1.0, |shaded| shaded.sun);
        even.add_scaled(in_sun * (1.0 - share * light.sun_kept) * FRAC_1_PI, &from_sun);
        let [a, b, c] = self.spectra.map(|spectrum| spectrum * across);
        Some(Scattered { even, forward: [a, b, c, from_sun * (share / (TAU * variance))], width, variance })
    }

    /// The node nearest to a point of the panel.
    fn nearest(&self, point: PanelPoint) -> usize {
        let size = self.bounds.size();
        let [x, y] = [FORWARD_COLUMNS, FORWARD_ROWS].map(|n| f64::from(n - 1));
        let x = ((point[0] - self.bounds.min[0]) / size[0] * x).round().clamp(0.0, x) as usize;
        let y = ((point[1] - self.bounds.min[1]) / size[1] * y).round().clamp(0.0, y) as usize;
        y * FORWARD_COLUMNS as usize + x
    }
}

/// Blurred light at a node: weights of the known spectra, and the mean cosine of incidence.
type Node = ([f64; KNOWN], f64);

/// The widths of lobes of pieces, as steps in ascending order: as many as there is room for.
fn steps<'a>(pieces: impl Iterator<Item = &'a ForwardOptics>) -> Vec<i32> {
    let mut steps: Vec<i32> = pieces.map(ForwardOptics::step).collect();
    sorting::values(&mut steps);
    steps.dedup();
    let every = steps.len().div_ceil(WIDTHS).max(1);
    steps.into_iter().step_by(every).collect()
}

/// The spectra of which light is made before it is blurred; zero where there is none.
fn known(basis: &SkyBasis, shade: Option<&Shade<'_>>) -> [Spectrum; KNOWN] {
    std::array::from_fn(|k| {
        let found = match k {
            GROUND => basis.spectra.get(1),
            DISC => shade.map(|shade| &shade.light.disc),
            OWN => shade.and_then(|shade| shade.light.own.as_ref()),
            k => basis.spectra.get(k + 2),
        };
        found.copied().unwrap_or(Spectrum::ZERO)
    })
}

/// Irradiance by a share of the light of each cell, by cosine of incidence.
fn by_angle(
    known: &[Spectrum; KNOWN],
    light: &[Sorts],
    within: &[f64],
    share: &dyn Fn(usize) -> f64,
) -> [Spectrum; ANGLES] {
    let mut sums = [[0.0; SORTS]; ANGLES];
    for (cell, light) in light.iter().enumerate().filter(|(cell, _)| within[*cell] > 0.0) {
        for (node, weight) in angle_weights(-direction(cell)[2]) {
            let weight = weight * share(cell) * CELL * CELL;
            sums[node].iter_mut().zip(light).for_each(|(sum, light)| *sum += weight * light);
        }
    }
    sums.map(|sums| mixture(known, &sums[..=GROUND]))
}

/// Light blurred for one width at the nodes of the grid over the panel, which are seen in the directions `toward`.
fn at_nodes(
    light: &[Sorts],
    step: i32,
    bounds: Bounds,
    toward: &[PanelSpaceVector],
    shade: Option<Shade<'_>>,
) -> Vec<Node> {
    let along = |k: usize| toward.iter().map(move |d| d[k]);
    let low = [0, 1].map(|k| along(k).fold(1.0, f64::min));
    let high = [0, 1].map(|k| along(k).fold(-1.0, f64::max));
    let blurred = Blurred::new(light, step, low, high);
    let places = shade.map(|shade| (shade, shade.places(step)));
    let node = |(point, d): (PanelPoint, &PanelSpaceVector)| {
        let (open, incidence) = blurred.at(*d);
        let mut weights = [0.0; KNOWN];
        weights[..open.len()].copy_from_slice(&open);
        if let Some((shade, places)) = &places {
            let at = shade.between(places, point);
            weights.iter_mut().for_each(|weight| *weight *= at.open);
            for (known, weight) in [0, 1, 2, 3, GROUND, DISC, OWN].into_iter().zip(at.stone) {
                weights[known] += weight;
            }
        }
        (weights, incidence)
    };
    nodes(bounds).zip(toward).map(node).collect()
}

/// The nodes of the grid over the panel.
fn nodes(bounds: Bounds) -> impl Iterator<Item = PanelPoint> {
    let [width, height] = bounds.size();
    let share = |k: u32, of: u32| f64::from(k) / f64::from(of - 1);
    (0..FORWARD_COLUMNS * FORWARD_ROWS).map(move |k| {
        PanelPoint::new(
            bounds.min[0] + width * share(k % FORWARD_COLUMNS, FORWARD_COLUMNS),
            bounds.min[1] + height * share(k / FORWARD_COLUMNS, FORWARD_ROWS),
        )
    })
}

fn mixture(known: &[Spectrum; KNOWN], weights: &[f64]) -> Spectrum {
    let mut sum = Spectrum::ZERO;
    for (spectrum, weight) in known.iter().zip(weights) {
        sum.add_scaled(*weight, spectrum);
    }
    sum
}

/// Few spectra that make up mixtures of the known ones.
struct Few {
    spectra: [Spectrum; SPECTRA],
    /// The products of a mixture's weights with these are its weights of the few.
    duals: [[f64; KNOWN]; SPECTRA],
}

impl Few {
    /// For mixtures like these. One after the other, the mixture that those before it miss most joins them
    /// (Gram–Schmidt), as the observer sees it.
    fn new<'a>(known: &[Spectrum; KNOWN], mixtures: impl Iterator<Item = &'a [f64; KNOWN]>) -> Self {
        let response = observer_response();
        let weighted = known.map(|spectrum| {
            let mut out = spectrum;
            out.samples_mut().iter_mut().zip(response).for_each(|(s, r)| *s *= r);
            out
        });
        let products: [[f64; KNOWN]; KNOWN] =
            std::array::from_fn(|i| std::array::from_fn(|j| weighted[i].dot(&weighted[j])));
        let dual = |of: &[f64; KNOWN]| -> [f64; KNOWN] {
            std::array::from_fn(|i| products[i].iter().zip(of).map(|(p, w)| p * w).sum())
        };
        let dot = |a: &[f64; KNOWN], b: &[f64; KNOWN]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let mut left: Vec<[f64; KNOWN]> = mixtures.copied().collect();
        let first = left.iter().map(|of| dot(of, &dual(of))).fold(0.0, f64::max);
        let mut few = Self { spectra: [Spectrum::ZERO; SPECTRA], duals: [[0.0; KNOWN]; SPECTRA] };
        for k in 0..SPECTRA {
            let squares = left.iter().map(|of| dot(of, &dual(of)));
            let Some((worst, square)) = squares.enumerate().max_by(|a, b| a.1.total_cmp(&b.1)) else { break };
            // The spectra found so far make up all mixtures; what is left is rounding error.
            if square <= 1e-12 * first {
                break;
            }
            let unit = left[worst].map(|w| w / square.sqrt());
            few.spectra[k] = mixture(known, &unit);
            few.duals[k] = dual(&unit);
            for of in &mut left {
                let along = dot(of, &few.duals[k]);
                of.iter_mut().zip(unit).for_each(|(w, u)| *w -= along * u);
            }
        }
        few
    }

    fn weights(&self, of: &[f64; KNOWN]) -> [f64; SPECTRA] {
        self.duals.map(|dual| dual.iter().zip(of).map(|(d, w)| d * w).sum())
    }
}
