//! What a facet of a reveal sees of the outside, and of the glass.

use std::f64::consts::FRAC_1_PI;

use plane::{RoomPoint, RoomVector, WallPoint};

use crate::cut::{self, anticlockwise};
use crate::facets::Facet;
use crate::outline::hull;
use crate::seen::{Directions, Fineness, through_polygon};
use crate::space::{form_factor, seen_from};
use crate::tube::Tube;

/// The directions in which an element of a surface, within the tube or in its near end, sees past the far end and past
/// `screens`, which are convex, lie beyond that end and hide what is behind them. The weights are projected solid angles,
/// sr.
pub(crate) fn outside_seen(
    tube: &Tube,
    at: RoomPoint,
    normal: RoomVector,
    fineness: Fineness,
    screens: &[Vec<RoomPoint>],
) -> Directions {
    let face = seen_from(at, &tube.far);
    let factor = |d: RoomVector| d.dot(normal);
    if tube.convex && screens.is_empty() {
        return through_polygon(&face, fineness, factor);
    }
    let ring = if tube.convex { slopes(&face) } else { around(&face) };
    let screens: Vec<Vec<WallPoint>> =
        screens.iter().map(|s| anticlockwise(slopes(&seen_from(at, s)))).collect();
    // Where each direction is tried for what hides it, the directions must lie close.
    let fineness = if tube.convex || fineness == Fineness::Receiver { fineness } else { Fineness::Ray };
    let mut directions = Directions::new();
    for part in cut::outside_all(vec![ring], screens.iter().map(Vec::as_slice)) {
        directions.extend(through_polygon(&from_slopes(&part), fineness, factor));
    }
    if !tube.convex {
        directions.retain(|&(d, _)| tube.hit(at, d).is_none());
    }
    directions
}

/// Form factor of an end of the tube from a facet.
pub(crate) fn end_factor(tube: &Tube, facet: &Facet, end: &[RoomPoint]) -> f64 {
    let seen = seen_from(facet.middle, end);
    if tube.convex {
        return form_factor(facet.normal, &seen);
    }
    // The sums run outward; an end on the other side is looked at in a mirror.
    let inward = seen.first().is_some_and(|v| v[2] > 0.0);
    let mirror = |v: RoomVector| if inward { RoomVector::new(v[0], v[1], -v[2]) } else { v };
    let seen: Vec<RoomVector> = seen.into_iter().map(mirror).collect();
    let normal = mirror(facet.normal);
    let rays = through_polygon(&from_slopes(&around(&seen)), Fineness::Ray, |d| d.dot(normal));
    let open = rays.into_iter().filter(|&(d, _)| tube.hit(facet.middle, mirror(d)).is_none());
    FRAC_1_PI * open.map(|(_, weight)| weight).sum::<f64>()
}

/// Slopes sideways and upward of corners outside, for one step outward, as points of a plane.
fn slopes(polygon: &[RoomVector]) -> Vec<WallPoint> {
    polygon.iter().map(|v| v.to_array()).map(|[x, y, z]| WallPoint::new(x / -z, y / -z)).collect()
}

fn from_slopes(ring: &[WallPoint]) -> Vec<RoomVector> {
    ring.iter().map(|p| RoomVector::new(p.x(), p.y(), -1.0)).collect()
}

/// The convex ring around a polygon, as slopes.
fn around(polygon: &[RoomVector]) -> Vec<WallPoint> {
    hull(slopes(polygon).into_iter().map(WallPoint::to_array).collect())
        .into_iter()
        .map(WallPoint::from)
        .collect()
}
