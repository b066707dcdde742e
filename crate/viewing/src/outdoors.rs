//! Directions toward the outside and how they are weighted.

use crate::box_room::toward_sky;
use crate::vector::V3;

/// A direction standing for a cell of the outside hemisphere in front of the glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutsideCell {
    /// Unit vector toward the cell's middle by flux: half the light a uniform cell sends through the glass comes from
    /// either side of it.
    pub direction: V3,
    /// Directions that share the cell's flux evenly, for spreading its light.
    pub spread: [V3; OutsideCell::SPREAD * OutsideCell::SPREAD],
    /// Solid angle, sr.
    pub solid_angle_sr: f64,
    /// Solid angle weighted by the cosine to the glass normal, sr: exact over the cell.
    pub projected_sr: f64,
}

/// Altitude limits of the rows of sky cells, degrees; close near the horizon, where skies change most, and never
/// across it.
const SKY_ROWS_DEG: [f64; 15] =
    [0.0, 3.0, 6.0, 10.0, 14.0, 18.0, 23.0, 28.0, 34.0, 40.0, 47.0, 54.0, 62.0, 72.0, 90.0];
/// The same for the ground, depths below the horizon.
const GROUND_ROWS_DEG: [f64; 7] = [0.0, 4.0, 10.0, 18.0, 30.0, 50.0, 90.0];
/// Cells a row over the 180° of bearing: sky, ground.
const COLUMNS: [usize; 2] = [24, 12];

/// The quarter sphere of sky and the quarter sphere of ground in front of an upright window, in cells that do not
/// cross the horizon. `refine` splits every cell that many times each way; 1 is the set for a prepared window.
pub fn outside_cells(refine: usize) -> Vec<OutsideCell> {
    let mut cells = Vec::new();
    let refine = refine.max(1);
    for (rows, columns, side) in
        [(&SKY_ROWS_DEG[..], COLUMNS[0], 1.0), (&GROUND_ROWS_DEG[..], COLUMNS[1], -1.0)]
    {
        let columns = columns * refine;
        for pair in rows.windows(2) {
            for k in 0..refine {
                let at = |k: usize| side * (pair[0] + (pair[1] - pair[0]) * k as f64 / refine as f64);
                let (low, high) = (at(k).min(at(k + 1)), at(k).max(at(k + 1)));
                for column in 0..columns {
                    let west = -90.0 + 180.0 * column as f64 / columns as f64;
                    cells.push(cell(west, west + 180.0 / columns as f64, low, high));
                }
            }
        }
    }
    cells
}

impl OutsideCell {
    /// Directions of the spread each way.
    pub const SPREAD: usize = 4;
}

fn cell(west_deg: f64, east_deg: f64, low_deg: f64, high_deg: f64) -> OutsideCell {
    let (west, east) = (west_deg.to_radians(), east_deg.to_radians());
    let (low, high) = (low_deg.to_radians(), high_deg.to_radians());
    // The flux through upright glass goes as cos²h dh · cos d dd.
    let across =
        |share: f64| (west.sin() + share * (east.sin() - west.sin())).clamp(-1.0, 1.0).asin().to_degrees();
    let up = |share: f64| {
        let target = squared_cosine(low) + share * (squared_cosine(high) - squared_cosine(low));
        let (mut a, mut b) = (low, high);
        for _ in 0..40 {
            let middle = 0.5 * (a + b);
            if squared_cosine(middle) < target { a = middle } else { b = middle }
        }
        (0.5 * (a + b)).to_degrees()
    };
    let n = OutsideCell::SPREAD;
    let share = |k: usize| (k as f64 + 0.5) / n as f64;
    let (bearings, altitudes): (Vec<_>, Vec<_>) = (0..n).map(|k| (across(share(k)), up(share(k)))).unzip();
    OutsideCell {
        direction: toward_sky(across(0.5), up(0.5)),
        spread: std::array::from_fn(|k| toward_sky(bearings[k % n], altitudes[k / n])),
        solid_angle_sr: (east - west) * (high.sin() - low.sin()),
        projected_sr: (east.sin() - west.sin()) * (squared_cosine(high) - squared_cosine(low)),
    }
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
    fn the_cells_fill_the_hemisphere_before_the_glass() {
        for refine in [1, 2] {
            let cells = outside_cells(refine);
            let solid: f64 = cells.iter().map(|c| c.solid_angle_sr).sum();
            let projected: f64 = cells.iter().map(|c| c.projected_sr).sum();
            assert!((solid - 2.0 * PI).abs() < 1e-12);
            assert!((projected - PI).abs() < 1e-12);
            assert!(cells.iter().all(|c| c.direction[2] < 0.0 && c.direction[1] != 0.0));
        }
    }
}
