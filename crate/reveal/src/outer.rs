//! Light on the glass behind an outer reveal.

use plane::{RoomPoint, RoomVector, WallPoint};

use crate::error::{RevealError, within};
use crate::exchange::Exchange;
use crate::light::{Light, weighted_sum};
use crate::outline::Outline;
use crate::patches::{Cell, Patch, sides};
use crate::seen::{Directions, Fineness, half_space, through_polygon};
use crate::space::{form_factor, seen_from};

/// A reveal shallower than this takes no light.
pub(crate) const FLUSH_M: f64 = 1e-9;
/// Out of the glass, toward the light.
const OUTWARD: RoomVector = RoomVector::new(0.0, 0.0, -1.0);

/// An opening whose glass lies behind the outer wall face, the reveal square to the wall.
#[derive(Clone, Debug)]
pub struct OuterReveal {
    outline: Outline,
    depth_m: f64,
    patches: Vec<Patch>,
    exchange: Exchange,
    /// Outside, as each patch sees it.
    seen: Vec<Directions>,
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
        within("outer_depth_m", depth_m, 0.0..=1000.0, "metres from 0 to 1000")?;
        let (face, glass) = (ring_at(&outline, -depth_m), ring_at(&outline, 0.0));
        let flush = depth_m < FLUSH_M;
        let patches =
            if flush { Vec::new() } else { sides(Cell::Outer, &face, &glass, outline.perimeter_m()) };
        let seen = patches
            .iter()
            .map(|p| through_polygon(&seen_from(p.middle, &face), Fineness::Patch, |d| d.dot(p.normal)))
            .collect();
        let seen_by_glass = if flush {
            half_space(Fineness::Receiver, |d| d.dot(OUTWARD))
        } else {
            let steps: Vec<RoomVector> =
                outline.steps_within().into_iter().map(|[x, y]| RoomVector::new(x, y, -depth_m)).collect();
            through_polygon(&steps, Fineness::Receiver, |d| outline.share(d, depth_m) * d.dot(OUTWARD))
        };
        // By reciprocity: what the glass gets of a patch is what the patch would get of the glass.
        let to_glass = patches
            .iter()
            .map(|p| p.area_m2 * form_factor(p.normal, &seen_from(p.middle, &glass)) / outline.area_m2())
            .collect();
        let exchange = Exchange::among(&patches, &glass);
        Ok(Self { outline, depth_m, patches, exchange, seen, seen_by_glass, to_glass })
    }

    /// What the glass and the sides receive from outside, whose luminance by direction is given. Linear in it.
    pub fn received<V: Light>(&self, luminance: impl Fn(RoomVector) -> V) -> Received<V> {
        Received {
            direct: sum(&self.seen_by_glass, &luminance),
            on_patches: self.seen.iter().map(|seen| sum(seen, &luminance)).collect(),
        }
    }

    /// What each patch of the sides sends per area, all reflections included, with their reflectance (0 to 1). Linear in
    /// what they receive.
    pub fn exitance<V: Light>(&self, received: &Received<V>, reflectance: V) -> Vec<V> {
        self.exchange.exitance(&received.on_patches, |_| reflectance)
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
        if !self.outline.holds(point) {
            return None;
        }
        if self.patches.is_empty() {
            return Some(GlassLight { direct: on_bare_wall(luminance), reflected: V::default() });
        }
        let point = RoomPoint::new(point.x(), point.y(), 0.0);
        let face = seen_from(point, &ring_at(&self.outline, -self.depth_m));
        let factors = self.patches.iter().map(|p| form_factor(OUTWARD, &seen_from(point, &p.corners)));
        Some(GlassLight {
            direct: sum(&through_polygon(&face, Fineness::Receiver, |d| d.dot(OUTWARD)), luminance),
            reflected: weighted_sum(exitance.iter().copied().zip(factors)),
        })
    }
}

/// The light of directions with their weights.
pub(crate) fn sum<V: Light>(directions: &Directions, luminance: impl Fn(RoomVector) -> V) -> V {
    weighted_sum(directions.iter().map(|&(direction, weight)| (luminance(direction), weight)))
}

/// The outline in a plane z.
pub(crate) fn ring_at(outline: &Outline, z: f64) -> Vec<RoomPoint> {
    outline.corners().iter().map(|c| RoomPoint::new(c.x(), c.y(), z)).collect()
}
