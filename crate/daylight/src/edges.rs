//! The edges of the surroundings, for those who cut the view along them.

use crate::buildings::Buildings;
use crate::horizon::{Horizon, Skyline};

/// Where the view changes abruptly from one direction to the next: the edges of skyline, trees and blocks, the same at
/// every instant. Shadows on the ground depend on the hour: [`crate::Outside::edges_deg`].
///
/// Between two of its bearings the edges run on without a jump; across one of them they may begin, end or turn.
#[derive(Clone, Debug)]
pub struct Edges {
    skyline: Option<Skyline>,
    buildings: Option<Buildings>,
}

impl Edges {
    /// A horizon without edges.
    pub const NONE: Self = Self { skyline: None, buildings: None };

    /// The edges of a horizon.
    pub fn of(horizon: &Horizon) -> Self {
        Self {
            // Season and latitude decide how much light trees transmit, not where they stand.
            skyline: (!horizon.is_open()).then(|| Skyline::new(horizon, 0.0, 1.0)),
            // An own building alone shows no edge.
            buildings: horizon.buildings.clone().filter(|buildings| !buildings.site().blocks.is_empty()),
        }
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.skyline.is_none() && self.buildings.is_none()
    }

    /// Bearings at which edges begin, end or turn: bends of the skyline, ends of trees, upright edges of blocks; degrees
    /// clockwise from true north, in any order and any full turn.
    pub fn bearings_deg(&self) -> Vec<f64> {
        let mut bearings: Vec<f64> = self.skyline.iter().flat_map(Skyline::bearings_deg).collect();
        bearings.extend(self.buildings.iter().flat_map(Buildings::bearings_deg));
        bearings
    }

    /// Altitudes of the edges at a bearing, degrees: skyline and tops of trees, feet and tops of blocks, in any order; as
    /// many everywhere between two of the [`Edges::bearings_deg`].
    pub fn altitudes_deg(&self, bearing_deg: f64) -> Vec<f64> {
        let mut edges: Vec<f64> =
            self.skyline.iter().flat_map(|skyline| skyline.edges_deg(bearing_deg)).collect();
        edges.extend(self.buildings.iter().flat_map(|buildings| buildings.edges_deg(bearing_deg)));
        edges
    }
}
