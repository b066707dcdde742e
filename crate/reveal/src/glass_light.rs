//! The light on glass behind an outer reveal: the fine solution.

use plane::{RoomPoint, RoomVector, WallPoint};

use crate::error::RevealError;
use crate::light::{Light, weighted_sum};
use crate::opening::{Depths, OUTWARD, Opening};
use crate::outer::{OuterSides, sum, to_glass};
use crate::outline::{Outline, hull};
use crate::outside_seen::outside_seen;
use crate::seen::{Directions, Fineness, half_space, through_polygon};
use crate::splay::Reveal;
use crate::tube::{Face, Patches};

/// An opening whose glass lies behind the outer wall face, with a reveal square to the wall.
#[derive(Clone, Debug)]
pub struct OuterReveal {
    opening: Opening,
    sides: OuterSides,
    /// Outside, as the glass sees it in the mean.
    seen_by_glass: Directions,
    /// Light on the glass in the mean for each that a patch sends per area.
    to_glass: Vec<f64>,
}

/// The light of one sky on an opening, before the sides of its reveal pass it on.
#[derive(Clone, Debug, PartialEq)]
pub struct Received<V> {
    /// On the glass, directly, in the mean over its area.
    direct: V,
    /// On each patch, directly.
    on_patches: Vec<V>,
}

/// The light on glass, at a point or in the mean; lx for luminances in cd/m².
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlassLight<V> {
    /// From outside, past the reveal.
    pub direct: V,
    /// By way of the reveal's sides.
    pub reflected: V,
}

impl<V: Light> GlassLight<V> {
    /// Both parts.
    pub fn total(self) -> V {
        let mut sum = self.direct;
        sum += self.reflected;
        sum
    }
}

/// The light on an upright wall without a reveal, lx for luminances in cd/m².
pub fn on_bare_wall<V: Light>(luminance: impl Fn(RoomVector) -> V) -> V {
    sum(&half_space(Fineness::Receiver, |d| d.dot(OUTWARD)), luminance)
}

impl OuterReveal {
    /// `depth_m`: from the outer wall face to the glass, 0 to 1000.
    ///
    /// # Errors
    /// [`RevealError::OutsideRange`], naming `outer_depth_m`.
    pub fn new(outline: Outline, depth_m: f64) -> Result<Self, RevealError> {
        let depths = Depths { outer: Reveal::straight(depth_m), ..Depths::default() };
        let opening = Opening::new(outline, &depths, Patches::Fine)?;
        let sides = opening.outer_sides();
        let seen_by_glass = if sides.is_empty() {
            half_space(Fineness::Receiver, |d| d.dot(OUTWARD))
        } else {
            // All steps from one point of the outline to another: the directions in which some of the glass sees past the
            // reveal, for one depth outward.
            let corners = opening.outline().corners();
            let steps = corners.iter().flat_map(|&a| corners.iter().map(move |&b| (b - a).to_array()));
            let steps: Vec<RoomVector> =
                hull(steps.collect()).into_iter().map(|[x, y]| RoomVector::new(x, y, -depth_m)).collect();
            through_polygon(&steps, Fineness::Receiver, |d| opening.share(d) * d.dot(OUTWARD))
        };
        Ok(Self { to_glass: to_glass(&opening), opening, sides, seen_by_glass })
    }

    /// What the glass and the sides receive from outside, whose luminance by direction is given. Linear in it.
    pub fn received<V: Light>(&self, luminance: impl Fn(RoomVector) -> V) -> Received<V> {
        Received { direct: sum(&self.seen_by_glass, &luminance), on_patches: self.sides.received(&luminance) }
    }

    /// What each patch of the sides sends per area, all reflections included, with their reflectance (0 to 1). Linear in
    /// what they receive.
    pub fn exitance<V: Light>(&self, received: &Received<V>, reflectance: V) -> Vec<V> {
        self.sides.exitance(&received.on_patches, |_: Face| reflectance)
    }

    /// The light on the glass in the mean. `exitance`: as [`OuterReveal::exitance`] gives it.
    pub fn mean<V: Light>(&self, received: &Received<V>, exitance: &[V]) -> GlassLight<V> {
        let reflected = weighted_sum(exitance.iter().copied().zip(self.to_glass.iter().copied()));
        GlassLight { direct: received.direct, reflected }
    }

    /// The light at a point of the glass; `None` for a point beside it. `exitance`: as [`OuterReveal::exitance`] gives it
    /// for the same luminances.
    pub fn at<V: Light>(
        &self,
        point: WallPoint,
        luminance: impl Fn(RoomVector) -> V,
        exitance: &[V],
    ) -> Option<GlassLight<V>> {
        let outline = self.opening.outline();
        if !outline.holds(point) {
            return None;
        }
        if self.sides.is_empty() {
            return Some(GlassLight { direct: on_bare_wall(luminance), reflected: V::default() });
        }
        let at = RoomPoint::new(point.x(), point.y(), 0.0);
        let seen = outside_seen(&self.opening.outer, at, OUTWARD, Fineness::Receiver, &[]);
        let factors = self.opening.outer_factors(point);
        Some(GlassLight {
            direct: sum(&seen, luminance),
            reflected: weighted_sum(exitance.iter().copied().zip(factors)),
        })
    }
}
