//! The light outside as lobes of several widths blur it, in luminance.

use std::collections::BTreeMap;

use glass::Lobe;
use plane::RoomVector;

use crate::lobes::{Lobes, at, blur, step_of};

/// Light on the grid of the lobes, blurred once for each width that is asked for.
pub(crate) struct Blurs {
    light: Vec<f64>,
    by_step: BTreeMap<i32, Vec<f64>>,
}

impl Blurs {
    /// Of the luminance of each of the room's directions.
    pub(crate) fn new(lobes: &Lobes, around_cd_m2: &[f64]) -> Self {
        Self { light: lobes.grid(around_cd_m2), by_step: BTreeMap::new() }
    }

    /// Blurred by each of the lobes, in a direction.
    pub(crate) fn at<const N: usize>(&mut self, lobes: [Lobe; N], direction: RoomVector) -> [f64; N] {
        lobes.map(|lobe| {
            let step = step_of(lobe);
            at(self.by_step.entry(step).or_insert_with(|| blur(&self.light, step)), direction)
        })
    }
}
