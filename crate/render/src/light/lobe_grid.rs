//! The outside on a grid of direction cosines, blurred.

use daylight::{Direction, SkyBasis};
use plane::PanelSpaceVector;

use crate::glazing::forward::{STEPS, entering};
use crate::light::field::SKY_COLUMNS;
use crate::light::horizon::{Edges, seen};
use crate::light::outside::{Weights, compass};

/// Cells each way of the grid of direction cosines along the glass from −1 to 1, on which equal cells are equal shares
/// of the light on the glass. None crosses the horizontal.
pub(crate) const GRID: usize = 48;
pub(crate) const CELL: f64 = 2.0 / GRID as f64;
/// Parts of a cell across in which edges outside are found.
const PARTS: usize = 4;
/// Bearings per degree at which the edges are known.
const BEARINGS_PER_DEG: f64 = 2.0;
/// Within each direction: the sky's spectra, the ground, all light that enters, and the same times its cosine of
/// incidence.
pub(crate) const SORTS: usize = SKY_COLUMNS + 3;
pub(crate) const GROUND: usize = SKY_COLUMNS;
const ENTERING: usize = SKY_COLUMNS + 1;
const COSINES: usize = SKY_COLUMNS + 2;

/// What is known of a cell: weights of spectra, and the like.
pub(crate) type Sorts = [f64; SORTS];

/// Share of each cell that lies within the hemisphere.
pub(crate) fn within() -> Vec<f64> {
    const FINE: usize = 8;
    let fine = |k: usize| (k as f64 + 0.5) * CELL / FINE as f64 - 1.0;
    (0..GRID * GRID)
        .map(|cell| {
            let (i, j) = (FINE * (cell % GRID), FINE * (cell / GRID));
            let inside = |k: &usize| fine(i + k % FINE).hypot(fine(j + k / FINE)) < 1.0;
            (0..FINE * FINE).filter(inside).count() as f64 / (FINE * FINE) as f64
        })
        .collect()
}

/// The direction of the middle of a cell, or the nearest one above grazing.
pub(crate) fn direction(cell: usize) -> PanelSpaceVector {
    let middle = |k: usize| (k as f64 + 0.5) * CELL - 1.0;
    outward(middle(cell % GRID), middle(cell / GRID))
}

fn outward(x: f64, y: f64) -> PanelSpaceVector {
    let scale = (0.999 / x.hypot(y)).min(1.0);
    let (x, y) = (x * scale, y * scale);
    PanelSpaceVector::new(x, y, -(1.0 - x * x - y * y).sqrt())
}

/// Sky, ground and what stands before them that enters the glass, per cell of the grid that lies in the hemisphere.
pub(crate) fn entering_light(basis: &SkyBasis, edges: &Edges, facing_deg: f64, within: &[f64]) -> Vec<Sorts> {
    let half = (90.0 * BEARINGS_PER_DEG) as i32;
    // The sines of the upper and the lower edge.
    let tops: Vec<[f64; 2]> = (-half..=half)
        .map(|k| {
            let [lower, upper] = edges.at(facing_deg + f64::from(k) / BEARINGS_PER_DEG);
            [upper, lower].map(|edge| edge.to_radians().sin())
        })
        .collect();
    let mut weights = Weights { basis, columns: SKY_COLUMNS, found: [0.0; SKY_COLUMNS + 2] };
    within
        .iter()
        .enumerate()
        .map(|(cell, inside)| {
            let mut sorts = [0.0; SORTS];
            if *inside <= 0.0 {
                return sorts;
            }
            let middle = direction(cell);
            let enters = entering(-middle[2]) * inside;
            sorts[ENTERING] = enters;
            sorts[COSINES] = enters * -middle[2];
            if middle[1] <= 0.0 {
                sorts[GROUND] = enters;
                return sorts;
            }
            let left = (cell % GRID) as f64 * CELL - 1.0;
            let y = (cell / GRID) as f64 * CELL + 0.5 * CELL - 1.0;
            let parts: [(PanelSpaceVector, [f64; 3]); PARTS] = std::array::from_fn(|k| {
                let d = outward(left + (k as f64 + 0.5) * CELL / PARTS as f64, y);
                let bearing = d[0].atan2(-d[2]).to_degrees() * BEARINGS_PER_DEG;
                let top = tops[((bearing.round() as i32 + half).max(0) as usize).min(tops.len() - 1)];
                let [sky, above] = top.map(|top| ((d[1] - top) / CELL + 0.5).clamp(0.0, 1.0));
                (d, [sky, (above - sky).max(0.0), (1.0 - above).max(0.0)])
            });
            let alone = |shares: &[f64; 3]| shares.iter().position(|share| *share >= 1.0);
            let first = alone(&parts[0].1);
            let mut add = |d: Direction, shares: [f64; 3], of_cell: f64| {
                let layers = if alone(&shares).is_some() {
                    let mut found = [0.0; SKY_COLUMNS + 2];
                    basis.weights_into(d, &mut found);
                    let seen = std::array::from_fn(|k| found[k + 2] as f32);
                    [seen; 3]
                } else {
                    seen(&mut weights, edges, d)
                };
                for (share, layer) in shares.iter().zip(&layers) {
                    for (sum, weight) in sorts.iter_mut().zip(layer) {
                        *sum += of_cell * share * f64::from(*weight);
                    }
                }
            };
            if first.is_some() && parts.iter().all(|(_, shares)| alone(shares) == first) {
                add(compass(facing_deg, middle), parts[0].1, enters);
            } else {
                for (d, shares) in parts {
                    add(compass(facing_deg, d), shares, enters / PARTS as f64);
                }
            }
            sorts
        })
        .collect()
}

/// Standard deviation of direction cosines at a step.
pub(crate) fn deviation(step: i32) -> f64 {
    (f64::from(step) / STEPS).exp2()
}

/// Shares of a bell by distance in cells, along one direction cosine. `joined`: variance, in squares of a cell, that
/// sharing and joining cells give besides.
fn bell(step: i32, joined: f64) -> Vec<f64> {
    let variance = ((deviation(step) / CELL).powi(2) - joined).max(0.01);
    let at = |k: f64| (-0.5 * k * k / variance).exp();
    let whole = at(0.0) + 2.0 * (1..8 * GRID).map(|k| at(k as f64)).sum::<f64>();
    (0..GRID).map(|k| at(k as f64) / whole).collect()
}

/// Distance beyond which a bell's shares count as nothing.
fn reach(bell: &[f64]) -> usize {
    bell.iter().rposition(|share| *share > 1e-6).unwrap_or(0)
}

/// For each cell, the share of a bell around it that stays within the hemisphere.
pub(crate) fn kept(within: &[f64], step: i32) -> Vec<f64> {
    let bell = bell(step, 0.0);
    let reach = reach(&bell);
    let along = |from: &[f64], stride: [usize; 2]| {
        let mut out = vec![0.0; GRID * GRID];
        for line in 0..GRID {
            for to in 0..GRID {
                let near = to.saturating_sub(reach)..(to + reach + 1).min(GRID);
                let place = |k: usize| line * stride[0] + k * stride[1];
                out[place(to)] = near.map(|k| bell[k.abs_diff(to)] * from[place(k)]).sum();
            }
        }
        out
    };
    along(&along(within, [GRID, 1]), [1, GRID])
}

/// Light blurred by a bell, in the cells around some directions.
pub(crate) struct Blurred {
    cells: Vec<Sorts>,
}

impl Blurred {
    /// Of the light that enters, in the cells from `low` to `high`, x and y, and those beside them.
    pub(crate) fn new(light: &[Sorts], step: i32, low: [f64; 2], high: [f64; 2]) -> Self {
        // Cells are even within, and joined by cubic splines.
        let bell = bell(step, 1.0 / 12.0 + 1.0 / 3.0);
        let reach = reach(&bell);
        let [columns, rows] = [0, 1].map(|k| {
            let [low, high] = [low[k], high[k]].map(|at| (at + 1.0) / CELL - 0.5);
            (low.floor() - 1.0).max(0.0) as usize..((high.floor() + 3.0).max(1.0) as usize).min(GRID)
        });
        let mut across = vec![[0.0; SORTS]; GRID * GRID];
        for row in rows.start.saturating_sub(reach)..(rows.end + reach).min(GRID) {
            for to in columns.clone() {
                let sum = &mut across[row * GRID + to];
                for from in to.saturating_sub(reach)..(to + reach + 1).min(GRID) {
                    add(sum, bell[from.abs_diff(to)], &light[row * GRID + from]);
                }
            }
        }
        let mut cells = vec![[0.0; SORTS]; GRID * GRID];
        for to in rows {
            for column in columns.clone() {
                let sum = &mut cells[to * GRID + column];
                for from in to.saturating_sub(reach)..(to + reach + 1).min(GRID) {
                    add(sum, bell[from.abs_diff(to)], &across[from * GRID + column]);
                }
            }
        }
        Self { cells }
    }

    /// Toward a direction between `low` and `high`: weights of the spectra of sky and ground, and the mean cosine of
    /// incidence.
    pub(crate) fn at(&self, direction: PanelSpaceVector) -> ([f64; SKY_COLUMNS + 1], f64) {
        let [x, y] = [0, 1].map(|k| spline((direction[k] + 1.0) / CELL - 0.5));
        let mut sum = [0.0; SORTS];
        for (j, by_y) in y.1.into_iter().enumerate() {
            for (i, by_x) in x.1.into_iter().enumerate() {
                let cell = |first: isize, k: usize| (first + k as isize).clamp(0, GRID as isize - 1) as usize;
                add(&mut sum, by_x * by_y, &self.cells[cell(y.0, j) * GRID + cell(x.0, i)]);
            }
        }
        (std::array::from_fn(|k| sum[k]), sum[COSINES] / sum[ENTERING].max(1e-300))
    }
}

/// The first of four cells around a place, and their weights in the cubic spline.
fn spline(at: f64) -> (isize, [f64; 4]) {
    let t = at - at.floor();
    let s = 1.0 - t;
    let near = |t: f64| (4.0 - 6.0 * t * t + 3.0 * t * t * t) / 6.0;
    (at.floor() as isize - 1, [s * s * s / 6.0, near(t), near(s), t * t * t / 6.0])
}

fn add(sum: &mut Sorts, weight: f64, light: &Sorts) {
    for (sum, light) in sum.iter_mut().zip(light) {
        *sum += weight * light;
    }
}
