//! Parallel light on an opening.

use plane::{RoomVector, WallPoint};

use crate::cut::{self, Ring};
use crate::opening::Opening;
use crate::projected::{Projected, Sight, Split};
use crate::tube::FLUSH_M;

/// Parallel light from outside: where it reaches the glass, the sides of the reveals and the room. Exact, from the middle
/// of its source: the sun's disc makes every edge fade over 0.0093 of the distance from what casts it (0.533°), across the
/// beam; 2 mm behind a reveal 0.2 m deep.
#[derive(Clone, Debug)]
pub struct Beam<'a> {
    opening: &'a Opening,
    toward: RoomVector,
    outer: Projected,
    inner: Projected,
    /// Shade of the overhang on the plane of the glass.
    shade: Option<Ring>,
}

impl Opening {
    /// Parallel light from a direction outside, a unit vector; `None` if it comes from behind the wall or along it.
    pub fn beam(&self, toward: RoomVector) -> Option<Beam<'_>> {
        (toward[2] < -1e-9).then(|| Beam::new(self, toward))
    }

    /// Share of the glass that sees a direction outside.
    pub(crate) fn share(&self, toward: RoomVector) -> f64 {
        match self.straight_m {
            Some(depth) if self.outline.is_convex() || depth < FLUSH_M => self.outline.share(toward, depth),
            _ => self.beam(toward).map_or(0.0, |beam| {
                let lit = beam.lit(self.outline.corners());
                (crate::cut::area_m2(&lit) / self.outline.area_m2()).clamp(0.0, 1.0)
            }),
        }
    }
}

impl<'a> Beam<'a> {
    pub(crate) fn new(opening: &'a Opening, toward: RoomVector) -> Self {
        let sight = Sight::Along(toward);
        Self {
            outer: Projected::new(&opening.outer, &opening.outer.far, sight, 0.0),
            inner: Projected::new(&opening.inner, &opening.inner.near, Sight::Along(-toward), 0.0),
            shade: opening.canopy.as_ref().map(|c| sight.draw(&c.corners, 0.0)),
            opening,
            toward,
        }
    }

    /// The direction that it comes from.
    pub fn toward(&self) -> RoomVector {
        self.toward
    }

    /// The parts of a polygon on the glass that the beam reaches.
    pub fn lit(&self, part: &[WallPoint]) -> Vec<Ring> {
        cut::outside_all(self.outer.open(part), self.shade.iter().map(Vec::as_slice))
    }

    /// Share of the whole glass that the beam reaches, 0 to 1.
    pub fn lit_share(&self) -> f64 {
        self.opening.share(self.toward)
    }

    /// Light on each outer patch, in the mean over it, for each unit on a plane that faces the beam.
    pub fn on_outer(&self) -> Vec<f64> {
        let opening = self.opening;
        let tube = &opening.outer;
        let mut light = vec![0.0; opening.outer_patches()];
        let (sight, z) = (Sight::Along(-self.toward), tube.far[0][2]);
        let entering: Vec<Ring> = vec![tube.far.iter().map(|&p| sight.onto(p, z)).collect()];
        let shade = opening.canopy.as_ref().map(|c| sight.draw(&c.corners, z));
        let from_source = Projected::new(tube, &tube.near, sight, z);
        for part in cut::outside_all(entering, shade.iter().map(Vec::as_slice)) {
            for (patch, ring) in from_source.split(&part).patches {
                light[patch] += plane::signed_area(&ring) * -self.toward[2] / tube.patches[patch].area_m2;
            }
        }
        for (i, facet) in opening.canopy.iter().flat_map(|c| c.facets.iter().enumerate()) {
            light[tube.patches.len() + i] = facet.normal.dot(self.toward).max(0.0);
        }
        light
    }

    /// What the beam meets once it has passed a polygon of the glass straight on: patches of the inner reveal, or the room.
    /// The light on such a patch is that across the glass times the part's area over the patch's.
    pub fn inside(&self, part: &[WallPoint]) -> Split {
        self.inner.split(part)
    }
}
