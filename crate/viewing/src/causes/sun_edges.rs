//! The sun where something that is not known exactly may hide it: how much of its disc a window sees in a draw.
//!
//! The sun is out, hidden, or partly behind an edge, whatever number of causes move that edge: its share is found anew for what
//! all of them together make of it.

use daylight::{Buildings, Horizon, Outside, Place, Site};
use scene::Resolved;
use uncertainty::{Draw, NumberId};

use super::deviations::{BLOCK_DISTANCE_LN, BLOCK_HEIGHT_LN};
use super::far;

/// Number of causes that can move an edge: height and distance of the buildings opposite, altitude of the skyline; and of those
/// that make trees darker: their density, and when their leaves come and fall.
pub(super) const CAUSES: usize = 5;
/// Standard deviations within which edges are looked for: hardly any draw is further away.
const FURTHEST: i32 = 3;

/// What stands before the sun.
pub(super) struct SunEdges {
    place: Place,
    outside: Outside,
    /// Skyline and trees, and the sun's share past them where no cause changes it.
    far: Horizon,
    past_far: Option<f64>,
    /// Blocks, and the sun's share past them likewise.
    near: Option<Buildings>,
    past_near: Option<f64>,
    moved_by: [Option<NumberId>; CAUSES],
}

impl SunEdges {
    /// `None` if the sun's share is the same whatever the causes are.
    pub(super) fn new(resolved: &Resolved, outside: &Outside) -> Option<Self> {
        let Horizon { points, reflectance, trees, buildings } = &resolved.horizon;
        let far = Horizon {
            points: points.clone(),
            reflectance: *reflectance,
            trees: trees.clone(),
            buildings: None,
        };
        let mut edges = Self {
            place: resolved.place,
            outside: outside.clone(),
            far,
            past_far: None,
            near: buildings.clone(),
            past_near: None,
            moved_by: [None; CAUSES],
        };
        let steps = || (-FURTHEST..=FURTHEST).map(f64::from);
        let now = edges.past_far([0.0; 3]);
        let varies = |z: [f64; 3]| (edges.past_far(z) - now).abs() > 0.0;
        let far_varies = !edges.far.is_open()
            && steps().any(|z| varies([z, 0.0, 0.0]) || varies([0.0, z, 0.0]) || varies([0.0, 0.0, z]));
        edges.past_far = (!far_varies).then_some(now);
        let now = edges.past_near([0.0; 2]);
        let varies = |z: [f64; 2]| (edges.past_near(z) - now).abs() > 0.0;
        let near_varies = edges.near.is_some()
            && edges.past_far.is_none_or(|past| past > 0.0)
            && steps().any(|height| steps().any(|distance| varies([height, distance])));
        edges.past_near = (!near_varies).then_some(now);
        let hidden =
            edges.past_far.is_some_and(|past| past <= 0.0) || edges.past_near.is_some_and(|past| past <= 0.0);
        (!hidden && (far_varies || near_varies)).then_some(edges)
    }

    /// The numbers of those causes, in standard deviations.
    pub(super) fn moved_by(&mut self, causes: [Option<NumberId>; CAUSES]) {
        self.moved_by = causes;
    }

    /// Share of the whole beam that the window gets in a draw.
    pub(super) fn at(&self, draw: &Draw) -> f64 {
        let z = self.moved_by.map(|cause| cause.map_or(0.0, |cause| draw.number(cause)));
        let [height, distance, skyline, denser, later] = z;
        let far = self.past_far.unwrap_or_else(|| self.past_far([skyline, denser, later]));
        if far <= 0.0 {
            return 0.0;
        }
        far * self.past_near.unwrap_or_else(|| self.past_near([height, distance]))
    }

    fn past_far(&self, [skyline, denser, later]: [f64; 3]) -> f64 {
        let mut far = self.far.clone();
        far::raise(&mut far, skyline);
        far::grow(&mut far, &self.place, self.outside.instant(), [denser, later]);
        far.sun_share(&self.place, self.outside.instant().day_of_year(), self.outside.sun())
    }

    fn past_near(&self, z: [f64; 2]) -> f64 {
        self.near
            .as_ref()
            .map_or(1.0, |near| near.sun_share(&measured(near.site(), z), self.outside.sun().direction()))
    }
}

/// The site with heights and distances of its blocks so many standard deviations away.
fn measured(site: &Site, [height, distance]: [f64; 2]) -> Site {
    let mut site = site.clone();
    for block in &mut site.blocks {
        block.height_m *= (BLOCK_HEIGHT_LN * height).exp();
        block.distance_m *= (BLOCK_DISTANCE_LN * distance).exp();
    }
    site.within_limits()
}
