//! Light that a piece scatters forward: the outside, blurred in direction cosines.
//!
//! Seen through a scatterer with a lobe, the light from outside is spread by a bell around every direction
//! ([`glass::Lobe`]). The sun's bell is computed exactly. Sky and ground are blurred once an hour for every width, on a
//! coarse grid of direction cosines along the glass, on which equal cells are equal shares of the light on the glass.
//! What the bell carries beyond grazing leaves evenly spread with the rest, so that no light is lost or gained.
//!
//! In a window with depth ([`crate::walled_light`]) the light that its glass sees in the mean is blurred, stone included, by
//! wavelength; a piece has it as much brighter or darker, direction by direction, as the light that it sees itself is by its
//! blurred luminance, and the sun by the share of it that is lit.
//!
//! What is simplified: widths of sky and ground are rounded to steps of 4.4 %; bells narrower than the grid's cells, below 3°,
//! count as 3°; within a bell, sky and ground light changes with the angle of incidence as it enters the outer face, and what
//! else the pane does to it is taken at the mean angle of the bell, for a piece seen from the place in the mean of the piece; and
//! within the room, the lobe's light comes from the directions of the room's cells. Tests compare all of it with a path tracer
//! that does none of this.

use glass::{Lobe, inner_cosine, reflectance};
use plane::RoomVector;
use spectra::{SAMPLES, Spectrum};

use crate::angular_optics::NODES;
use crate::beam::Beam;
use crate::bell::Bell;
use crate::glazing::Pane;
use crate::outdoors::OutsideCell;
use crate::room_response::COLUMNS;
use crate::sums::add_product;

/// Cells each way of the grid of direction cosines from −1 to 1. No cell crosses the horizon.
const GRID: usize = 24;
const CELL: f64 = 2.0 / GRID as f64;
/// Steps per doubling of the width, by which widths are told apart.
pub(crate) const STEPS: f64 = 16.0;

/// Weight of a cell in a blur below which it is left out.
const FAINT: f64 = 1e-5;

/// Wavelengths that are blurred as one: the light of different directions differs little in shape within 15 nm.
const BAND: usize = 3;
pub(crate) const BANDS: usize = SAMPLES / BAND;
pub(crate) type Bands = [f64; BANDS];

/// Number of angles of incidence by which leaving light is told apart, and the step between them in nodes of the panes'
/// tables. Few are enough: relative to what enters, what a pane scatters changes little with the angle.
const ANGLES: usize = 5;
const ANGLE_NODES: usize = 8;
const ANGLE_DEG: f64 = 90.0 * ANGLE_NODES as f64 / (NODES - 1) as f64;

/// Four cells around a direction, and their weights.
type Around = [(usize, f64); 4];

/// What does not change with the hour.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lobes {
    pub(crate) widths: Vec<Width>,
    /// How the light of every direction of the room falls on the grid: cell, weight.
    onto: Vec<Vec<(usize, f64)>>,
    /// The directions of the room.
    directions: Vec<RoomVector>,
    /// Projected solid angle of each cell of the grid within the hemisphere, sr.
    within: Vec<f64>,
}

/// All panes whose lobes have about one width.
#[derive(Clone, Debug)]
pub(crate) struct Width {
    /// Logarithm to base 2 of the standard deviation of direction cosines, in steps.
    pub(crate) step: i32,
    /// Mean cosine of incidence of the light that leaves toward each cell of the grid.
    pub(crate) incidence: Vec<f64>,
    /// What unit blurred radiance from each direction of the room gives by way of the room, by column.
    pub(crate) rows: Vec<[Spectrum; COLUMNS]>,
}

/// The lobes of an hour.
pub(crate) struct LobesNow<'a> {
    pub(crate) lobes: &'a Lobes,
    /// Blurred radiance of sky and ground on the grid, by width.
    blurred: Vec<Vec<Bands>>,
    /// Of all light, the share that each wavelength has of its band.
    shape: Spectrum,
    /// What of it leaves through unit forward transmittance, by the angle at which it leaves: width, then angle.
    leaving: Vec<[Spectrum; ANGLES]>,
    /// The bell of the sun, by width, and its share within the hemisphere.
    pub(crate) suns: Vec<Option<(Bell, f64)>>,
}

/// The lobe of a pane in an hour.
#[derive(Clone)]
pub(crate) struct LobeOn {
    pub(crate) width: usize,
    /// Exitance of sky and ground light relative to what the blur makes of it; at most 1, so that no light is gained.
    pub(crate) scale: Spectrum,
    /// Exitance of the sun's light that enters the lobe.
    pub(crate) sun: Spectrum,
    /// Bell of the sun.
    pub(crate) bell: Option<Bell>,
}

impl Pane {
    /// Its lobe, if it has one.
    pub(crate) fn forward(&self) -> Option<Lobe> {
        (self.lobe.share > 0.0 && self.optics.scatters()).then_some(self.lobe)
    }

    /// Transmittance into the lobe at a cosine of incidence, relative to the share of light that enters there.
    pub(crate) fn forward_transmittance(&self, cosine: f64) -> Spectrum {
        self.optics.diffuse(cosine) * (self.lobe.share / entering(cosine))
    }
}

/// Share of the light at a cosine of incidence that enters glass of index 1.52; a little remains at grazing.
pub(crate) fn entering(cosine: f64) -> f64 {
    const INDEX: f64 = 1.52;
    let [s, p] =
        reflectance(1.0, INDEX, cosine, inner_cosine(INDEX, (1.0 - cosine * cosine).max(0.0).sqrt()));
    (1.0 - 0.5 * (s + p)).max(0.01)
}

pub(crate) fn step_of(lobe: Lobe) -> i32 {
    (0.5 * STEPS * lobe.variance().log2()).round() as i32
}

/// The cells around a direction, joined evenly.
fn around(direction: RoomVector) -> Around {
    let [x, y] = [0, 1].map(|k| {
        let at = ((direction[k] + 1.0) / CELL - 0.5).clamp(0.0, (GRID - 1) as f64);
        let first = (at as usize).min(GRID - 2);
        (first, at - first as f64)
    });
    std::array::from_fn(|k| {
        let (i, j) = (k / 2, k % 2);
        let weight = |on: usize, t: f64| if on == 1 { t } else { 1.0 - t };
        ((x.0 + i) * GRID + y.0 + j, weight(i, x.1) * weight(j, y.1))
    })
}

pub(crate) fn at<T: Light>(grid: &[T], direction: RoomVector) -> T {
    let mut sum = T::NONE;
    for (cell, weight) in around(direction) {
        sum.add(weight, &grid[cell]);
    }
    sum
}

/// What is blurred: light by band, or a single number.
pub(crate) trait Light: Copy {
    const NONE: Self;

    fn add(&mut self, weight: f64, other: &Self);
}

impl Light for Bands {
    const NONE: Self = [0.0; BANDS];

    fn add(&mut self, weight: f64, other: &Self) {
        for (sum, other) in self.iter_mut().zip(other) {
            *sum += weight * other;
        }
    }
}

/// Sums over each band.
fn bands(light: &Spectrum) -> Bands {
    std::array::from_fn(|b| light.samples()[b * BAND..(b + 1) * BAND].iter().sum())
}

/// Light by band, by wavelength again: within a band it is divided as `shape` says.
fn by_wavelength(light: &Bands, shape: &Spectrum) -> Spectrum {
    Spectrum::new(std::array::from_fn(|i| shape[i] * light[i / BAND]))
}

impl Light for f64 {
    const NONE: Self = 0.0;

    fn add(&mut self, weight: f64, other: &Self) {
        *self += weight * other;
    }
}

impl Lobes {
    /// Nothing yet through the panes, whose lobes look out in these directions.
    pub(crate) fn new<'c>(room: impl Iterator<Item = &'c OutsideCell> + Clone) -> Self {
        let onto = room
            .clone()
            .map(|cell_of_room| {
                let mut cells: Vec<(usize, f64)> = Vec::new();
                for k in 0..OutsideCell::DIRECTIONS {
                    let (direction, _) = cell_of_room.spread_direction(k);
                    let taken = entering(-direction[2]);
                    let flux = taken * cell_of_room.projected_sr / OutsideCell::DIRECTIONS as f64;
                    for (cell, weight) in around(direction) {
                        match cells.iter_mut().find(|c| c.0 == cell) {
                            Some(known) => known.1 += weight * flux,
                            None => cells.push((cell, weight * flux)),
                        }
                    }
                }
                cells
            })
            .collect();
        const FINE: usize = 8;
        let middle = |k: usize| (k as f64 + 0.5) * CELL / FINE as f64 - 1.0;
        let within = (0..GRID * GRID)
            .map(|cell| {
                let (i, j) = (FINE * (cell / GRID), FINE * (cell % GRID));
                let inside = |k: &usize| middle(i + k / FINE).hypot(middle(j + k % FINE)) < 1.0;
                (0..FINE * FINE).filter(inside).count() as f64 * (CELL / FINE as f64).powi(2)
            })
            .collect();
        Self { widths: Vec::new(), onto, directions: room.map(|cell| cell.direction).collect(), within }
    }

    /// Adds a piece, or with a negative `weight` takes it away, for one of the room's directions. `landed`: what unit
    /// radiance across it from there gives by way of the room. `weight`: projected solid angle of the direction, sr.
    pub(crate) fn add_landed(
        &mut self,
        pane: &Pane,
        row: usize,
        direction: RoomVector,
        weight: f64,
        landed: &[Spectrum; COLUMNS],
    ) {
        if let Some(width) = self.width(pane) {
            let cosine = at(&self.widths[width].incidence, direction);
            let through = pane.forward_transmittance(cosine) * weight;
            for (sum, h) in self.widths[width].rows[row].iter_mut().zip(landed) {
                add_product(sum, h, &through);
            }
        }
    }

    /// The width of a pane's lobe, with an empty one if it is new.
    fn width(&mut self, pane: &Pane) -> Option<usize> {
        let step = step_of(pane.forward()?);
        Some(self.widths.iter().position(|w| w.step == step).unwrap_or_else(|| {
            let rows = vec![[Spectrum::ZERO; COLUMNS]; self.onto.len()];
            let incidence = self.incidence(step);
            self.widths.push(Width { step, incidence, rows });
            self.widths.len() - 1
        }))
    }

    /// Forgets the widths that none of these panes has.
    pub(crate) fn keep<'p>(&mut self, panes: impl Iterator<Item = &'p Pane>) {
        let steps: Vec<i32> = panes.filter_map(Pane::forward).map(step_of).collect();
        self.widths.retain(|width| steps.contains(&width.step));
    }

    /// Mean cosine of incidence of the light that a bell turns toward each cell of the grid, for an even sky and ground.
    fn incidence(&self, step: i32) -> Vec<f64> {
        let (mut flux, mut cosines) = (vec![0.0; GRID * GRID], vec![0.0; GRID * GRID]);
        for (cells, direction) in self.onto.iter().zip(&self.directions) {
            for &(cell, weight) in cells {
                flux[cell] += weight;
                cosines[cell] -= weight * direction[2];
            }
        }
        let [flux, cosines] = [flux, cosines].map(|grid| blur(&grid, step));
        flux.iter().zip(&cosines).map(|(flux, cosines)| cosines / flux.max(1e-300)).collect()
    }

    /// The light from each of the room's directions on the grid.
    pub(crate) fn grid<T: Light>(&self, outside: &[T]) -> Vec<T> {
        let mut grid = vec![T::NONE; GRID * GRID];
        for (cells, light) in self.onto.iter().zip(outside) {
            for &(cell, flux) in cells {
                grid[cell].add(flux, light);
            }
        }
        grid
    }

    /// The lobes under the light from each of the room's directions and the sun's.
    pub(crate) fn now(&self, outside: &[Spectrum], beam: Option<&Beam>) -> LobesNow<'_> {
        let (mut grid, mut shape) = (Vec::new(), Spectrum::ZERO);
        if !self.widths.is_empty() {
            let all: Spectrum = outside.iter().copied().sum();
            let whole = bands(&all);
            shape = Spectrum::new(std::array::from_fn(|i| {
                if whole[i / BAND] > 0.0 { all[i] / whole[i / BAND] } else { 0.0 }
            }));
            grid = self.grid(&outside.iter().map(bands).collect::<Vec<_>>());
        }
        let blurred: Vec<Vec<Bands>> = self.widths.iter().map(|w| blur(&grid, w.step)).collect();
        let leaving = blurred
            .iter()
            .zip(&self.widths)
            .map(|(grid, width)| {
                let mut by_angle = [[0.0; BANDS]; ANGLES];
                for ((light, within), cosine) in grid.iter().zip(&self.within).zip(&width.incidence) {
                    let at = cosine.clamp(0.0, 1.0).acos().to_degrees() / ANGLE_DEG;
                    let first = (at as usize).min(ANGLES - 2);
                    let beyond = (at - first as f64).min(1.0);
                    by_angle[first].add((1.0 - beyond) * within, light);
                    by_angle[first + 1].add(beyond * within, light);
                }
                by_angle.map(|light| by_wavelength(&light, &shape))
            })
            .collect();
        let sun = |width: &Width| {
            let beam = beam?;
            let middle = [beam.toward[0], beam.toward[1]];
            let bell = Bell { middle, variance: 2f64.powf(2.0 * f64::from(width.step) / STEPS) };
            Some((bell, bell.kept()))
        };
        LobesNow { lobes: self, blurred, shape, leaving, suns: self.widths.iter().map(sun).collect() }
    }
}

/// Light by cell → radiance spread by a bell: along one direction cosine, then along the other.
pub(crate) fn blur<T: Light>(light: &[T], step: i32) -> Vec<T> {
    let variance = 2f64.powf(2.0 * f64::from(step) / STEPS);
    // Sharing light among cells and joining them have each spread it by a sixth of a cell squared.
    let variance = (variance / (CELL * CELL) - 1.0 / 3.0).max(0.01);
    let bell = |k: f64| (-0.5 * k * k / variance).exp();
    let whole = bell(0.0) + 2.0 * (1..8 * GRID).map(|k| bell(k as f64)).sum::<f64>();
    let weights: Vec<f64> = (0..GRID).map(|k| bell(k as f64) / (whole * CELL)).collect();
    let along = |from: &[T], cell: fn(usize, usize) -> usize| {
        let mut out = vec![T::NONE; GRID * GRID];
        for line in 0..GRID {
            for to in 0..GRID {
                let sum = &mut out[cell(line, to)];
                for k in 0..GRID {
                    let weight = weights[k.abs_diff(to)];
                    if weight > FAINT {
                        sum.add(weight, &from[cell(line, k)]);
                    }
                }
            }
        }
        out
    };
    along(&along(light, |line, k| line * GRID + k), |line, k| k * GRID + line)
}

/// Light on two grids, blurred by a bell, in one direction.
pub(crate) fn blurred_at(grids: [&[f64]; 2], direction: RoomVector, variance: f64) -> [f64; 2] {
    // Sharing light among cells has spread it by a sixth of a cell squared.
    let variance = (variance / (CELL * CELL) - 1.0 / 6.0).max(0.01);
    let [x, y] = [0, 1].map(|k| {
        let at = (direction[k] + 1.0) / CELL - 0.5;
        std::array::from_fn::<f64, GRID, _>(|cell| (-0.5 * (cell as f64 - at).powi(2) / variance).exp())
    });
    grids.map(|grid| {
        let lines = grid.chunks_exact(GRID).zip(x).filter(|(_, weight)| *weight > 1e-7);
        lines.map(|(line, weight)| weight * line.iter().zip(y).map(|(l, w)| l * w).sum::<f64>()).sum()
    })
}

impl LobesNow<'_> {
    /// Blurred radiance of sky and ground in a direction, by band.
    pub(crate) fn blurred(&self, width: usize, direction: RoomVector) -> Bands {
        at(&self.blurred[width], direction)
    }

    /// The same kind of light by wavelength.
    pub(crate) fn by_wavelength(&self, light: &Bands) -> Spectrum {
        by_wavelength(light, &self.shape)
    }

    /// The lobe of a pane that scatters this exitance of sky and ground light and of sunlight, from which it takes its part:
    /// what is left is spread evenly.
    pub(crate) fn on(
        &self,
        pane: &Pane,
        beam: Option<&Beam>,
        [sky, sun]: [&mut Spectrum; 2],
    ) -> Option<LobeOn> {
        let lobe = pane.forward()?;
        let step = step_of(lobe);
        let width = self.lobes.widths.iter().position(|w| w.step == step)?;
        let mut leaving = Spectrum::ZERO;
        for (k, light) in self.leaving[width].iter().enumerate() {
            let cosine = (k as f64 * ANGLE_DEG).to_radians().cos();
            if let Some(diffuse) = pane.optics.diffuse_node(k * ANGLE_NODES) {
                add_product(&mut leaving, diffuse, &(*light * (1.0 / entering(cosine))));
            }
        }
        let (into, from_sun) = (*sky * lobe.share, *sun * lobe.share);
        let leaving = leaving * lobe.share;
        let scale = into.zip_map(&leaving, |into, leaving| if leaving > into { into / leaving } else { 1.0 });
        *sky = (*sky - leaving * scale).map(|v| if v > 0.0 { v } else { 0.0 });
        let bell = beam.map(|beam| Bell::new(lobe, beam));
        *sun -= from_sun * self.suns[width].map_or(0.0, |(_, kept)| kept);
        Some(LobeOn { width, scale, sun: from_sun, bell })
    }
}
