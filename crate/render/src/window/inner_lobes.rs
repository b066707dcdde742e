//! How light that pieces scatter forward spreads over directions: the same at every hour.
//!
//! Physics and words are those of the figures (`viewing`, lobes). Directions are cells of the disc of direction cosines
//! along the glass, toward the outside: those from which light comes, and those along which stone sees the glass.

use std::f64::consts::TAU;

use plane::RoomVector;

use crate::glazing::forward::{STEPS, entering};

/// Cells across the disc; an even number, so that none crosses the horizon.
const ACROSS: usize = 18;
/// Width of a cell, and the area that is its projected solid angle, sr.
const CELL: f64 = 2.0 / ACROSS as f64;
pub(crate) const CELL_SR: f64 = CELL * CELL;
/// Narrower bells than this standard deviation, in direction cosines, are as wide for sky and ground.
const NARROWEST: f64 = 0.06;

/// The lobe of a piece, all of its parts together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct PieceLobe {
    /// Share of the scattered light in it.
    pub(crate) share: f64,
    /// Variance of each direction cosine.
    pub(crate) variance: f64,
}

/// Bells of one width.
#[derive(Clone, Debug)]
pub(crate) struct Blur {
    /// Logarithm of the standard deviation, in steps.
    pub(crate) step: i32,
    /// For every cell that is looked to, the weight of light from each cell of [`arriving`], per sr.
    weights: Vec<f32>,
    /// Share of the light from each of those that stays within the hemisphere.
    kept: Vec<f32>,
}

/// A cell from which light comes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arriving {
    pub(crate) cell: usize,
    pub(crate) toward: RoomVector,
    /// Share of its light that enters glass.
    pub(crate) entering: f64,
}

/// The cell of a direction.
pub(crate) fn cell_of(toward: RoomVector) -> usize {
    let at = |k: usize| (((toward[k] + 1.0) / CELL).max(0.0) as usize).min(ACROSS - 1);
    at(1) * ACROSS + at(0)
}

/// Their number.
pub(crate) const fn cells() -> usize {
    ACROSS * ACROSS
}

fn middle(cell: usize) -> [f64; 2] {
    [cell % ACROSS, cell / ACROSS].map(|k| (k as f64 + 0.5) * CELL - 1.0)
}

/// The cells with their middles in the disc.
pub(crate) fn arriving() -> Vec<Arriving> {
    let of = |cell: usize| {
        let [x, y] = middle(cell);
        let cosine = (1.0 - x * x - y * y).max(0.0).sqrt();
        (cosine > 0.0).then(|| Arriving {
            cell,
            toward: RoomVector::new(x, y, -cosine),
            entering: entering(cosine),
        })
    };
    (0..ACROSS * ACROSS).filter_map(of).collect()
}

/// Share of a bell per sr of projected solid angle.
pub(crate) fn bell(from: [f64; 2], to: [f64; 2], variance: f64) -> f64 {
    let [x, y] = [0, 1].map(|k| to[k] - from[k]);
    (-(x * x + y * y) / (2.0 * variance)).exp() / (TAU * variance)
}

/// Share of a bell around a direction that stays within the hemisphere.
pub(crate) fn kept(around: [f64; 2], variance: f64) -> f64 {
    let variance = variance.max(NARROWEST * NARROWEST);
    let inside = (0..ACROSS * ACROSS).map(middle).filter(|[x, y]| x.hypot(*y) < 1.0);
    (inside.map(|to| bell(around, to, variance)).sum::<f64>() * CELL_SR).min(1.0)
}

impl Blur {
    /// The width of bells of a variance.
    pub(crate) fn step_of(variance: f64) -> i32 {
        (0.5 * STEPS * variance.log2()).round() as i32
    }

    pub(crate) fn new(step: i32) -> Self {
        let variance = (2.0 * f64::from(step) / STEPS).exp2().max(NARROWEST * NARROWEST);
        let from = arriving();
        let weight = |to: usize, from: &Arriving| bell(middle(from.cell), middle(to), variance) as f32;
        let weights = (0..ACROSS * ACROSS).flat_map(|to| from.iter().map(move |from| weight(to, from)));
        Self {
            step,
            weights: weights.collect(),
            kept: from.iter().map(|from| kept(middle(from.cell), variance) as f32).collect(),
        }
    }

    /// The weights toward a cell.
    pub(crate) fn toward(&self, cell: usize) -> &[f32] {
        &self.weights[cell * self.kept.len()..(cell + 1) * self.kept.len()]
    }

    pub(crate) fn kept(&self) -> &[f32] {
        &self.kept
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bell_is_kept_whole_in_the_middle_and_by_half_at_the_rim() {
        for variance in [0.004, 0.02] {
            assert!((kept([0.0, 0.0], variance) - 1.0).abs() < 0.02);
            assert!((kept([0.999, 0.0], variance) - 0.5).abs() < 0.12);
        }
        let [step, wider, same] = [0.02, 0.1, 0.0201].map(Blur::step_of);
        assert!(step == same && step < wider);
        let straight = RoomVector::new(0.01, 0.01, -1.0);
        let sum: f32 = Blur::new(step).toward(cell_of(straight)).iter().sum();
        assert!((f64::from(sum) * CELL_SR - 1.0).abs() < 0.02, "{sum}");
    }
}
