//! What stands outside, in measurements, and how much of the light each surface reflects.

use std::ops::RangeInclusive;

use crate::fault::{Fault, within};

/// The window and what stands around it.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Height of the window's middle above the ground, m, 0.01–10 000.
    pub window_middle_height_m: f64,
    /// Height of the own building's upright wall, endless to both sides, m, 0–10 000. At 0 there is none: the window's
    /// plane floats, and the ground goes on behind it.
    pub own_height_m: f64,
    /// What stands before the window, at most [`MOST_BLOCKS`].
    pub blocks: Vec<Block>,
}

/// The largest number of blocks.
pub const MOST_BLOCKS: usize = 64;

/// A box on the ground with its front parallel to the own wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Distance of its front from the own wall, m, 0.1–100 000.
    pub distance_m: f64,
    /// Where its front begins and ends, m along x from the window's middle, first less than second, ±100 000; for the
    /// facade of an endless street, minus and plus infinity.
    pub x_m: [f64; 2],
    /// Its height above the ground, m, 0–10 000.
    pub height_m: f64,
    /// How far it goes back, m, 0.01–100 000, or endlessly.
    pub depth_m: f64,
}

impl Block {
    /// The other side of a street: a facade endless to both sides, of a building that goes back endlessly.
    pub const fn street(distance_m: f64, height_m: f64) -> Self {
        Self { distance_m, x_m: [f64::NEG_INFINITY, f64::INFINITY], height_m, depth_m: f64::INFINITY }
    }

    /// Whether its front has no ends.
    fn is_endless(&self) -> bool {
        self.x_m.iter().all(|x| x.is_infinite())
    }

    fn check(&self) -> Result<(), Fault> {
        let [from, to] = self.x_m;
        within("block.distance_m", self.distance_m, &DISTANCES_M, "metres from 0.1 to 100000")?;
        within("block.height_m", self.height_m, &HEIGHTS_M, HEIGHT)?;
        if !(self.depth_m > 0.0 && self.depth_m.is_infinite()) {
            within("block.depth_m", self.depth_m, &(0.01..=1e5), "metres from 0.01 to 100000")?;
        }
        if from == f64::NEG_INFINITY && to == f64::INFINITY {
            return Ok(());
        }
        within("block.x0_m", from, &(-1e5..=1e5), "metres from -100000 to 100000")?;
        within("block.x1_m", to, &(-1e5..=1e5), "metres from -100000 to 100000")?;
        if to - from < 0.01 - 1e-9 {
            let expected = "a place at least 0.01 m to the right of block.x0_m";
            return Err(Fault { field: "block.x1_m", expected, found: format!("{to} beside {from}") });
        }
        Ok(())
    }
}

/// Share of the light that each kind of surface reflects, 0–1, at each of `N` wavelengths.
#[derive(Clone, Debug, PartialEq)]
pub struct Reflectances<const N: usize> {
    /// The ground.
    pub ground: [f64; N],
    /// The own building's wall.
    pub own_building: [f64; N],
    /// The blocks, in their order.
    pub blocks: Vec<[f64; N]>,
}

/// Heights above the ground, m.
const HEIGHTS_M: RangeInclusive<f64> = 0.0..=1e4;
/// Distances of blocks from the own wall, m.
const DISTANCES_M: RangeInclusive<f64> = 0.1..=1e5;
const HEIGHT: &str = "metres from 0 to 10000";

impl Site {
    /// The same with each height and distance that is out of its range at the nearest end of it.
    #[must_use]
    pub fn within_limits(&self) -> Self {
        let nearest = |value: f64, range: &RangeInclusive<f64>| value.clamp(*range.start(), *range.end());
        let block = |block: &Block| Block {
            distance_m: nearest(block.distance_m, &DISTANCES_M),
            height_m: nearest(block.height_m, &HEIGHTS_M),
            ..*block
        };
        Self {
            own_height_m: nearest(self.own_height_m, &HEIGHTS_M),
            blocks: self.blocks.iter().map(block).collect(),
            ..*self
        }
    }

    /// Refuses measurements outside the ranges that the fields state.
    ///
    /// # Errors
    /// [`Fault`], naming the first.
    pub fn check(&self) -> Result<(), Fault> {
        let window = self.window_middle_height_m;
        within("window_middle_height_m", window, &(0.01..=1e4), "metres from 0.01 to 10000")?;
        within("own_building.height_m", self.own_height_m, &HEIGHTS_M, HEIGHT)?;
        if self.blocks.len() > MOST_BLOCKS {
            let found = self.blocks.len().to_string();
            return Err(Fault { field: "blocks", expected: "at most 64 blocks", found });
        }
        self.blocks.iter().try_for_each(Block::check)
    }

    /// Whether nothing that stands here ends along the wall.
    pub(crate) fn is_endless(&self) -> bool {
        self.blocks.iter().all(Block::is_endless)
    }

    /// The largest height, at least 1 m: what the fineness of a mesh goes by.
    pub(crate) fn scale_m(&self) -> f64 {
        let blocks = self.blocks.iter().map(|block| block.height_m).fold(0.0, f64::max);
        blocks.max(self.own_height_m).max(self.window_middle_height_m).max(1.0)
    }
}

impl<const N: usize> Reflectances<N> {
    pub(crate) fn check(&self, blocks: usize) -> Result<(), Fault> {
        const SHARE: &str = "a reflectance from 0 to 1";
        let all = |field, shares: &[f64; N]| {
            shares.iter().try_for_each(|share| within(field, *share, &(0.0..=1.0), SHARE))
        };
        all("ground_reflectance", &self.ground)?;
        all("own_building.reflectance", &self.own_building)?;
        if self.blocks.len() != blocks {
            let found = self.blocks.len().to_string();
            return Err(Fault { field: "block.reflectance", expected: "one reflectance a block", found });
        }
        self.blocks.iter().try_for_each(|shares| all("block.reflectance", shares))
    }
}
