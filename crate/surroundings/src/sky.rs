//! The sky in cells, as the patches of a mesh get it.

use std::f64::consts::{FRAC_PI_2, TAU};

use glam::{DVec3, dvec3};
use plane::RoomVector;

use crate::fineness::Fineness;
use crate::light::add_scaled;

/// Places of a cell, each way, whose mean stands for it.
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

    /// Mean luminance of each cell.
    pub(crate) fn means<const N: usize>(
        self,
        luminance: &(dyn Fn(RoomVector) -> [f64; N] + Sync),
    ) -> Vec<[f64; N]> {
        let share = 1.0 / (WITHIN * WITHIN) as f64;
        let part = |k: usize| (k as f64 + 0.5) / WITHIN as f64;
        let mut means = Vec::with_capacity(self.len());
        for row in 0..self.rows {
            let [low, high] = [row, row + 1].map(|limit| (FRAC_PI_2 * limit as f64 / self.rows as f64).sin());
            for column in 0..self.columns {
                let mut mean = [0.0; N];
                for k in 0..WITHIN * WITHIN {
                    let up: f64 = low + (high - low) * part(k / WITHIN);
                    let level = (1.0 - up * up).max(0.0).sqrt();
                    let bearing = TAU * (column as f64 + part(k % WITHIN)) / self.columns as f64;
                    let toward = dvec3(level * bearing.sin(), up, -level * bearing.cos());
                    add_scaled(&mut mean, share, &luminance(toward.into()));
                }
                means.push(mean);
            }
        }
        means
    }
}
