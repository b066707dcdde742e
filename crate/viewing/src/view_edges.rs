//! Where the view outside changes its kind, as a window sees it.

use daylight::{Edges, Horizon};

/// The edges of skyline, trees and buildings by bearing from the outward normal of the window, degrees, clockwise.
#[derive(Clone, Debug)]
pub(crate) struct ViewEdges {
    edges: Edges,
    /// Bearings at which edges begin, end or turn: −180 to 180, ascending.
    bearings_deg: Vec<f64>,
    facing_deg: f64,
}

/// How far beside a bearing its two sides are looked at, degrees.
const BESIDE_DEG: f64 = 1e-6;
/// Edges that move less than this across a bearing run on there, degrees.
const RUNS_ON_DEG: f64 = 1e-3;

impl ViewEdges {
    pub(crate) fn new(horizon: &Horizon, facing_deg: f64) -> Self {
        let edges = Edges::of(horizon);
        let mut bearings_deg: Vec<f64> = edges
            .bearings_deg()
            .into_iter()
            .map(|bearing| (bearing - facing_deg + 180.0).rem_euclid(360.0) - 180.0)
            .collect();
        sorting::numbers(&mut bearings_deg);
        bearings_deg.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        Self { edges, bearings_deg, facing_deg }
    }

    /// A view without edges.
    pub(crate) fn none() -> Self {
        Self { edges: Edges::NONE, bearings_deg: Vec::new(), facing_deg: 0.0 }
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.edges.is_empty()
    }

    /// The bearings strictly between two at which edges begin, end or turn.
    pub(crate) fn bearings_between(&self, west_deg: f64, east_deg: f64) -> &[f64] {
        let from = self.bearings_deg.partition_point(|&b| b <= west_deg + BESIDE_DEG);
        let to = self.bearings_deg.partition_point(|&b| b < east_deg - BESIDE_DEG);
        &self.bearings_deg[from..to.max(from)]
    }

    /// Altitudes of the edges at a bearing, degrees.
    pub(crate) fn altitudes_deg(&self, bearing_deg: f64) -> Vec<f64> {
        self.edges.altitudes_deg(self.facing_deg + bearing_deg)
    }

    /// The edges, from below, between two bearings with none of [`Self::bearings_between`] in between: altitude at either side, degrees.
    pub(crate) fn across(&self, west_deg: f64, east_deg: f64) -> Vec<[f64; 2]> {
        let [mut west, mut east] =
            [west_deg + BESIDE_DEG, east_deg - BESIDE_DEG].map(|b| self.altitudes_deg(b));
        sorting::numbers(&mut west);
        sorting::numbers(&mut east);
        if west.len() == east.len() {
            west.into_iter().zip(east).map(|(a, b)| [a, b]).collect()
        } else {
            self.altitudes_deg(0.5 * (west_deg + east_deg)).into_iter().map(|h| [h, h]).collect()
        }
    }

    /// The altitude up to which an upright edge stands at a bearing, degrees; `None` if all edges run on there.
    pub(crate) fn upright_to_deg(&self, bearing_deg: f64) -> Option<f64> {
        let [mut west, mut east] =
            [-BESIDE_DEG, BESIDE_DEG].map(|aside| self.altitudes_deg(bearing_deg + aside));
        sorting::numbers(&mut west);
        sorting::numbers(&mut east);
        let same =
            west.len() == east.len() && west.iter().zip(&east).all(|(a, b)| (a - b).abs() < RUNS_ON_DEG);
        if same { None } else { west.into_iter().chain(east).max_by(f64::total_cmp) }
    }
}
