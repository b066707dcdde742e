//! Directions toward the outside and how they are weighted.

use std::sync::LazyLock;

use plane::RoomVector;

use crate::angular_optics::{AngularOptics, node_weights};
use crate::cell_directions::around;
use crate::view_edges::ViewEdges;

/// A direction that represents a cell of the outside hemisphere in front of the glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct OutsideCell {
    /// Unit vector toward the cell's middle by flux: of the light that a uniform cell sends through the glass, half
    /// comes from either side of it.
    pub(crate) direction: RoomVector,
    /// Limits of its bearing from the normal, degrees.
    bearings_deg: [f64; 2],
    /// Limits of its altitude, degrees.
    altitudes_deg: [f64; 2],
    /// Directions that divide the cell's flux evenly, for spreading its light.
    spread: [RoomVector; OutsideCell::DIRECTIONS],
    /// Where in [`Self::spread`] the first sample of a piece begins: elsewhere in every cell near grazing, so that no
    /// piece always has the same part of them.
    turn: usize,
    /// Whether the glass changes so quickly across the cell that it matters which part of the cell lands where.
    grazing: bool,
    /// Solid angle weighted by the cosine to the glass normal, sr: exact over the cell.
    pub(crate) projected_sr: f64,
}

/// Altitude limits of the rows of sky cells, degrees: close near the horizon, where skies change most, and close
/// toward grazing, where glass does; no row crosses the horizon.
const SKY_ROWS_DEG: [f64; 18] =
    [0.0, 3.0, 6.0, 10.0, 14.0, 18.0, 23.0, 28.0, 34.0, 40.0, 47.0, 54.0, 60.0, 66.0, 72.0, 78.0, 84.0, 90.0];
/// The same for the ground: depths below the horizon.
const GROUND_ROWS_DEG: [f64; 10] = [0.0, 5.0, 12.0, 20.0, 30.0, 42.0, 54.0, 66.0, 78.0, 90.0];
/// Bearing limits to either side of the normal, degrees.
const SKY_COLUMNS_DEG: [f64; 14] =
    [0.0, 7.5, 15.0, 22.5, 30.0, 37.5, 45.0, 52.5, 60.0, 66.0, 72.0, 78.0, 84.0, 90.0];
/// The same for the ground, whose brightness changes little.
const GROUND_COLUMNS_DEG: [f64; 8] = [0.0, 15.0, 30.0, 45.0, 60.0, 70.0, 80.0, 90.0];

/// The quarter sphere of sky and the quarter sphere of ground in front of an upright window, in cells that do not
/// cross the horizon. `refine` splits every cell that many times each way; a prepared window uses 1.
pub(crate) fn outside_cells(refine: usize) -> Vec<OutsideCell> {
    let mut cells = Vec::new();
    for (rows, columns, up) in [
        (&SKY_ROWS_DEG[..], &SKY_COLUMNS_DEG[..], 1.0),
        (&GROUND_ROWS_DEG[..], &GROUND_COLUMNS_DEG[..], -1.0),
    ] {
        for row in steps(rows, refine) {
            for side in [-1.0, 1.0] {
                for column in steps(columns, refine) {
                    let ordered =
                        |[a, b]: [f64; 2], sign: f64| [(sign * a).min(sign * b), (sign * a).max(sign * b)];
                    cells.push(cell(ordered(column, side), ordered(row, up), cells.len()));
                }
            }
        }
    }
    cells
}

/// The same cells split twice each way, for sums that are not prepared.
pub(crate) fn fine_cells() -> &'static [OutsideCell] {
    static CELLS: LazyLock<Vec<OutsideCell>> = LazyLock::new(|| outside_cells(2));
    &CELLS
}

/// Neighbouring limits, each interval split `refine` times.
fn steps(limits: &[f64], refine: usize) -> Vec<[f64; 2]> {
    let n = refine.max(1);
    let at = |pair: &[f64], k: usize| pair[0] + (pair[1] - pair[0]) * k as f64 / n as f64;
    limits.windows(2).flat_map(|pair| (0..n).map(move |k| [at(pair, k), at(pair, k + 1)])).collect()
}

/// How the light of a cell near grazing is divided among the directions of its spread.
#[derive(Clone, Debug)]
pub(crate) struct Grazing {
    /// Light that passes from each direction, relative to their mean: one factor for all wavelengths, since near grazing
    /// the faces decide, and the paths in the glass differ by less than 4 %.
    pub(crate) passed: [f64; OutsideCell::DIRECTIONS],
    /// Places of the cell's middle and of the directions in a table of optics by angle.
    middle: [(usize, f64); 4],
    spread: [[(usize, f64); 4]; OutsideCell::DIRECTIONS],
}

impl Grazing {
    /// What passes through a pane from all directions of the cell, relative to what would pass if all were its middle.
    pub(crate) fn mean_to_middle(&self, pane: &AngularOptics) -> f64 {
        let middle = pane.level(&self.middle);
        let mean = self.spread.iter().map(|nodes| pane.level(nodes)).sum::<f64>() / self.spread.len() as f64;
        if middle > 0.0 { mean / middle } else { 1.0 }
    }
}

impl OutsideCell {
    /// Number of spread directions each way.
    const SPREAD: usize = 4;
    /// Number of spread directions.
    pub(crate) const DIRECTIONS: usize = Self::SPREAD * Self::SPREAD;
    /// Cosine of incidence below which a cell is near grazing. Above it the transmittance at the middle of a cell is that
    /// of the cell to 0.3 %.
    const GRAZING: f64 = 0.42;
    /// Widest part in which a sloping edge is taken at its middle, degrees.
    const EDGE_STEP_DEG: f64 = 2.0;

    /// The direction that sample `k` of all pieces takes, and its number.
    pub(crate) fn spread_direction(&self, k: usize) -> (RoomVector, usize) {
        // Steps of seven modulo sixteen: neighbours land far apart, and all sixteen directions are used in turn.
        let at = (7 * k + self.turn) % Self::DIRECTIONS;
        (self.spread[at], at)
    }

    /// Directions that divide the cell's flux evenly, each with a bearing and an altitude of its own.
    pub(crate) fn around(&self) -> Vec<RoomVector> {
        let [west, east] = self.bearings_deg.map(|deg| deg.to_radians().sin());
        let [low, high] = self.altitudes_deg.map(f64::to_radians);
        // Of the flux by altitude, cos², a straight line.
        let [at_low, at_high] = [low, high].map(|h| h.cos().powi(2));
        around(|[across, up]| {
            let root = (at_low * at_low + up * (at_high * at_high - at_low * at_low)).sqrt();
            let (sin_h, cos_h) = (low + (high - low) * up * (at_low + at_high) / (at_low + root)).sin_cos();
            let sin_b = west + across * (east - west);
            RoomVector::new(cos_h * sin_b, sin_h, -cos_h * (1.0 - sin_b * sin_b).max(0.0).sqrt())
        })
    }

    /// How light through a pane is divided among the spread, if the cell is near grazing.
    pub(crate) fn grazing(&self, pane: &AngularOptics) -> Option<Grazing> {
        self.grazing.then(|| {
            let spread = self.spread.map(|d| node_weights(-d[2]));
            let levels = spread.map(|nodes| pane.level(&nodes));
            let mean = levels.iter().sum::<f64>() / levels.len() as f64;
            let passed = levels.map(|level| if mean > 0.0 { level / mean } else { 1.0 });
            Grazing { passed, middle: node_weights(-self.direction[2]), spread }
        })
    }

    /// The directions that stand for the cell's light and their shares of its flux: its middle, or if edges cross it,
    /// the middle of every part that they leave.
    pub(crate) fn seen(&self, edges: &ViewEdges) -> Vec<(RoomVector, f64)> {
        let whole = vec![(self.direction, 1.0)];
        if edges.is_empty() {
            return whole;
        }
        let [low, high] = self.altitudes_deg;
        let turns = edges.bearings_between(self.bearings_deg[0], self.bearings_deg[1]);
        let mut crossed = turns.iter().any(|&b| edges.upright_to_deg(b).is_some_and(|top| top > low));
        let mut parts = Vec::new();
        let mut stops = vec![self.bearings_deg[0]];
        stops.extend_from_slice(turns);
        stops.push(self.bearings_deg[1]);
        for pair in stops.windows(2) {
            let n = ((pair[1] - pair[0]) / Self::EDGE_STEP_DEG - 1e-9).ceil().max(1.0);
            for k in 0..n as usize {
                let at = |k: usize| pair[0] + (pair[1] - pair[0]) * k as f64 / n;
                let bearings = [at(k), at(k + 1)];
                let mut levels = edges.altitudes_deg(bearing_at(bearings, 0.5));
                levels.retain(|&h| h > low + 1e-9 && h < high - 1e-9);
                crossed |= !levels.is_empty();
                levels.extend([low, high]);
                sorting::numbers(&mut levels);
                parts.extend(levels.windows(2).map(|h| (bearings, [h[0], h[1]])));
            }
        }
        if !crossed {
            return whole;
        }
        parts
            .into_iter()
            .map(|(b, h)| (middle(b, h), projected_sr(b, h) / self.projected_sr))
            .filter(|part| part.1 > 1e-12)
            .collect()
    }
}

fn cell(bearings_deg: [f64; 2], altitudes_deg: [f64; 2], number: usize) -> OutsideCell {
    let n = OutsideCell::SPREAD;
    let share = |k: usize| (k as f64 + 0.5) / n as f64;
    let (bearings, altitudes): (Vec<_>, Vec<_>) =
        (0..n).map(|k| (bearing_at(bearings_deg, share(k)), altitude_at(altitudes_deg, share(k)))).unzip();
    let direction = middle(bearings_deg, altitudes_deg);
    let grazing = -direction[2] < OutsideCell::GRAZING;
    OutsideCell {
        direction,
        turn: if grazing { 5 * number } else { 0 },
        grazing,
        bearings_deg,
        altitudes_deg,
        spread: std::array::from_fn(|k| RoomVector::toward_sky(bearings[k % n], altitudes[k / n])),
        projected_sr: projected_sr(bearings_deg, altitudes_deg),
    }
}

/// The middle by flux of a cell.
fn middle(bearings_deg: [f64; 2], altitudes_deg: [f64; 2]) -> RoomVector {
    RoomVector::toward_sky(bearing_at(bearings_deg, 0.5), altitude_at(altitudes_deg, 0.5))
}

/// Solid angle of a cell weighted by the cosine to the glass normal: the flux through upright glass is proportional to
/// cos²h dh · cos d dd.
fn projected_sr(bearings_deg: [f64; 2], altitudes_deg: [f64; 2]) -> f64 {
    let [west, east] = bearings_deg.map(f64::to_radians);
    let [low, high] = altitudes_deg.map(f64::to_radians);
    (east.sin() - west.sin()) * (squared_cosine(high) - squared_cosine(low))
}

/// The bearing below which `share` of a cell's flux comes, degrees.
fn bearing_at(limits_deg: [f64; 2], share: f64) -> f64 {
    let [west, east] = limits_deg.map(f64::to_radians);
    (west.sin() + share * (east.sin() - west.sin())).clamp(-1.0, 1.0).asin().to_degrees()
}

/// The altitude below which `share` of a cell's flux comes, degrees.
fn altitude_at(limits_deg: [f64; 2], share: f64) -> f64 {
    let [low, high] = limits_deg.map(f64::to_radians);
    let target = squared_cosine(low) + share * (squared_cosine(high) - squared_cosine(low));
    let (mut a, mut b) = (low, high);
    for _ in 0..40 {
        let middle = 0.5 * (a + b);
        if squared_cosine(middle) < target { a = middle } else { b = middle }
    }
    (0.5 * (a + b)).to_degrees()
}

/// ∫cos²h dh.
fn squared_cosine(h: f64) -> f64 {
    0.5 * (h + h.sin() * h.cos())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    #[test]
    fn the_cells_fill_the_hemisphere_in_front_of_the_glass() {
        for refine in [1, 2] {
            let cells = outside_cells(refine);
            let projected: f64 = cells.iter().map(|c| c.projected_sr).sum();
            assert!((projected - PI).abs() < 1e-12);
            assert!(cells.iter().all(|c| c.direction[2] < 0.0 && c.direction[1] != 0.0));
        }
    }
}
