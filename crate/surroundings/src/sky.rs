//! The sky in cells, as the patches of a mesh get it.

use std::f64::consts::{FRAC_PI_2, TAU};

use glam::{DVec3, dvec3};
use plane::RoomVector;

use crate::fineness::Fineness;
use crate::light::add_scaled;

/// Places of a cell, each way, whose mean stands for it; as many again in each part above and below an edge.
const WITHIN: usize = 2;

/// Rows of equal altitude with equal bearings.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SkyCells {
    rows: usize,
    columns: usize,
}

impl SkyCells {
    pub(crate) const fn new(fineness: Fineness) -> Self {
        let [rows, columns] = fineness.sky();
        Self { rows, columns }
    }

    pub(crate) const fn len(self) -> usize {
        self.rows * self.columns
    }

    /// Number of the cell in which a direction lies.
    pub(crate) fn number(self, toward: DVec3) -> usize {
        let up = toward.y.clamp(0.0, 1.0).asin() / FRAC_PI_2;
        let around = (toward.x.atan2(-toward.z) / TAU).rem_euclid(1.0);
        let row = ((up * self.rows as f64) as usize).min(self.rows - 1);
        row * self.columns + ((around * self.columns as f64) as usize).min(self.columns - 1)
    }

    /// Mean luminance of each cell, each place in it cut at the edges of its bearing.
    pub(crate) fn means<const N: usize>(
        self,
        luminance: &(dyn Fn(RoomVector) -> [f64; N] + Sync),
        edges: &(dyn Fn(f64) -> Vec<f64> + Sync),
    ) -> Vec<[f64; N]> {
        let part = |k: usize| (k as f64 + 0.5) / WITHIN as f64;
        let mut means = vec![[0.0; N]; self.len()];
        for bearing in 0..self.columns * WITHIN {
            let column = bearing / WITHIN;
            let bearing = TAU * (column as f64 + part(bearing % WITHIN)) / self.columns as f64;
            let (sin, cos) = bearing.sin_cos();
            let mut cuts: Vec<f64> = edges(bearing).into_iter().map(f64::sin).collect();
            sorting::numbers(&mut cuts);
            for row in 0..self.rows {
                let [low, high] =
                    [row, row + 1].map(|limit| (FRAC_PI_2 * limit as f64 / self.rows as f64).sin());
                let mean = &mut means[row * self.columns + column];
                let inside = cuts.iter().copied().filter(|cut| (low..high).contains(cut));
                let mut from = low;
                for to in inside.chain([high]) {
                    let share = (to - from) / ((high - low) * (WITHIN * WITHIN) as f64);
                    for k in 0..WITHIN {
                        let up = from + (to - from) * part(k);
                        let level = (1.0 - up * up).max(0.0).sqrt();
                        add_scaled(mean, share, &luminance(dvec3(level * sin, up, -level * cos).into()));
                    }
                    from = to;
                }
            }
        }
        means
    }
}
