//! What stands outside, in measurements, and how much of the light each surface reflects.

use crate::fault::{Fault, within};

/// The window and what stands around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Height of the window's middle above the ground, m, 0.01–10 000.
    pub window_middle_height_m: f64,
    /// Height of the own building's upright wall, endless to both sides, m, 0–10 000. At 0 there is none: the window's
    /// plane floats, and the ground goes on behind it.
    pub own_height_m: f64,
    /// What stands opposite.
    pub opposite: Opposite,
}

/// What stands opposite the window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opposite {
    /// Nothing: a free horizon.
    Nothing,
    /// A parallel facade, endless to both sides.
    Street(Street),
    /// A single block.
    Block(Block),
}

/// A facade parallel to the own wall; the building goes back endlessly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Street {
    /// Distance of the facade from the own wall, m, 0.1–100 000.
    pub distance_m: f64,
    /// Its height above the ground, m, 0–10 000.
    pub height_m: f64,
}

/// A box on the ground with its front parallel to the own wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Block {
    /// Distance of its front from the own wall, m, 0.1–100 000.
    pub distance_m: f64,
    /// Where its front begins and ends, m along x from the window's middle, first less than second, ±100 000.
    pub x_m: [f64; 2],
    /// Its height above the ground, m, 0.01–10 000.
    pub height_m: f64,
    /// How far it goes back, m, 0.01–100 000.
    pub depth_m: f64,
}

/// Share of the light that each kind of surface reflects, 0–1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reflectances {
    /// The ground.
    pub ground: f64,
    /// The own building's wall.
    pub own_building: f64,
    /// The facade or the block opposite.
    pub opposite: f64,
}

const HEIGHT: &str = "metres from 0 to 10000";
const DISTANCE: &str = "metres from 0.1 to 100000";

impl Site {
    /// Refuses measurements outside the ranges that the fields state.
    pub(crate) fn check(&self) -> Result<(), Fault> {
        within(
            "window_middle_height_m",
            self.window_middle_height_m,
            &(0.01..=1e4),
            "metres from 0.01 to 10000",
        )?;
        within("own_building.height_m", self.own_height_m, &(0.0..=1e4), HEIGHT)?;
        match self.opposite {
            Opposite::Nothing => Ok(()),
            Opposite::Street(street) => {
                within("street.distance_m", street.distance_m, &(0.1..=1e5), DISTANCE)?;
                within("street.height_m", street.height_m, &(0.0..=1e4), HEIGHT)
            }
            Opposite::Block(block) => block.check(),
        }
    }

    /// The largest height, at least 1 m: what the fineness of a mesh goes by.
    pub(crate) fn scale_m(&self) -> f64 {
        let opposite = match self.opposite {
            Opposite::Nothing => 0.0,
            Opposite::Street(street) => street.height_m,
            Opposite::Block(block) => block.height_m,
        };
        opposite.max(self.own_height_m).max(self.window_middle_height_m).max(1.0)
    }
}

impl Block {
    fn check(&self) -> Result<(), Fault> {
        let [from, to] = self.x_m;
        within("block.distance_m", self.distance_m, &(0.1..=1e5), DISTANCE)?;
        within("block.x0_m", from, &(-1e5..=1e5), "metres from -100000 to 100000")?;
        within("block.x1_m", to, &(-1e5..=1e5), "metres from -100000 to 100000")?;
        within("block.height_m", self.height_m, &(0.01..=1e4), "metres from 0.01 to 10000")?;
        within("block.depth_m", self.depth_m, &(0.01..=1e5), "metres from 0.01 to 100000")?;
        if to - from < 0.01 {
            let expected = "a place at least 0.01 m to the right of block.x0_m";
            return Err(Fault { field: "block.x1_m", expected, found: format!("{to} beside {from}") });
        }
        Ok(())
    }
}

impl Reflectances {
    pub(crate) fn check(&self) -> Result<(), Fault> {
        const SHARE: &str = "a reflectance from 0 to 1";
        within("ground_reflectance", self.ground, &(0.0..=1.0), SHARE)?;
        within("own_building.reflectance", self.own_building, &(0.0..=1.0), SHARE)?;
        within("opposite.reflectance", self.opposite, &(0.0..=1.0), SHARE)
    }
}
