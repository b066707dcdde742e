//! The sun where something that is not known exactly may hide it: how much of its disc a window sees in a draw.
//!
//! The sun is out, hidden, or partly behind an edge, whatever number of causes move that edge: its share is found anew for what
//! all of them together make of it.

use daylight::{Horizon, Outside, Place, Site};
use scene::Resolved;
use uncertainty::{Draw, NumberId};

use super::deviations::{BLOCK_DISTANCE_LN, BLOCK_HEIGHT_LN};

/// Number of causes that can move an edge: height and distance of the buildings opposite.
pub(super) const CAUSES: usize = 2;
/// Standard deviations within which edges are looked for: hardly any draw is further away.
const FURTHEST: i32 = 3;

/// What stands before the sun.
pub(super) struct SunEdges {
    place: Place,
    outside: Outside,
    horizon: Horizon,
    moved_by: [Option<NumberId>; CAUSES],
}

impl SunEdges {
    /// `None` if the sun's share is the same whatever the causes are.
    pub(super) fn new(resolved: &Resolved, outside: &Outside) -> Option<Self> {
        let edges = Self {
            place: resolved.place,
            outside: outside.clone(),
            horizon: resolved.horizon.clone(),
            moved_by: [None; CAUSES],
        };
        let steps = || (-FURTHEST..=FURTHEST).map(f64::from);
        let now = edges.share([0.0; 2]);
        let varies = |z: [f64; 2]| (edges.share(z) - now).abs() > 0.0;
        steps().any(|height| steps().any(|distance| varies([height, distance]))).then_some(edges)
    }

    /// The numbers of those causes, in standard deviations.
    pub(super) fn moved_by(&mut self, causes: [Option<NumberId>; CAUSES]) {
        self.moved_by = causes;
    }

    /// Share of the whole beam that the window gets in a draw.
    pub(super) fn at(&self, draw: &Draw) -> f64 {
        self.share(self.moved_by.map(|cause| cause.map_or(0.0, |cause| draw.number(cause))))
    }

    fn share(&self, [height, distance]: [f64; CAUSES]) -> f64 {
        let far = self.horizon.sun_share(&self.place, &self.outside);
        let Some(buildings) = self.horizon.buildings.as_ref().filter(|_| far > 0.0) else { return far };
        let site = measured(buildings.site(), [height, distance]);
        far * buildings.sun_share(&site, self.outside.sun().direction())
    }
}

/// The site with heights and distances of its blocks so many standard deviations away.
fn measured(site: &Site, [height, distance]: [f64; 2]) -> Site {
    let mut site = site.clone();
    for block in &mut site.blocks {
        block.height_m *= (BLOCK_HEIGHT_LN * height).exp();
        block.distance_m *= (BLOCK_DISTANCE_LN * distance).exp();
    }
    site
}
