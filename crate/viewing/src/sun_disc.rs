//! How much of the sun's disc a point sees through an opening.

use std::f64::consts::PI;

use daylight::SUN_DIAMETER_DEG;
use glam::DVec2;
use plane::{RoomPoint, RoomVector};

use crate::contour::clip_to_half_space;

/// Angular radius of the disc, rad.
pub(crate) fn disc_radius() -> f64 {
    (0.5 * SUN_DIAMETER_DEG).to_radians()
}

/// Share of the sun's disc, treated as uniform, that `point` sees through a plane polygon: 0 in shade, 1 in full
/// sun, between them in the penumbra. `toward_sun` is a unit vector. Exact in the plane tangent to the sphere of
/// directions at the sun's centre, where the disc is a circle to 1e-5 of its radius.
pub fn share_of_disc(point: RoomPoint, toward_sun: RoomVector, polygon: &[RoomPoint]) -> f64 {
    // Nothing at or behind the plane perpendicular to the sun's direction can be seen in front of the sun.
    let reach = polygon.iter().map(|&v| (v - point).length()).fold(0.0, f64::max);
    let front = clip_to_half_space(polygon, point + toward_sun * (1e-6 * reach), toward_sun);
    if front.len() < 3 {
        return 0.0;
    }
    let (a, b) = across(toward_sun);
    let flat: Vec<DVec2> = front
        .iter()
        .map(|&v| {
            let d = v - point;
            let along = d.dot(toward_sun).max(1e-9 * reach);
            DVec2::new(d.dot(a) / along, d.dot(b) / along)
        })
        .collect();
    let radius = disc_radius().tan();
    (circle_and_polygon_area(radius, &flat) / (PI * radius * radius)).clamp(0.0, 1.0)
}

/// Two unit vectors perpendicular to `direction` and to each other.
fn across(direction: RoomVector) -> (RoomVector, RoomVector) {
    let [x, y] = if direction[1].abs() < 0.9 { [0.0, 1.0] } else { [1.0, 0.0] };
    let a = direction.cross(RoomVector::new(x, y, 0.0)).unit();
    (a, direction.cross(a))
}

/// Area shared by a polygon and the circle of the given radius about the origin: the sum over edges of the signed part
/// of the circle that each edge and the centre span.
fn circle_and_polygon_area(radius: f64, polygon: &[DVec2]) -> f64 {
    let mut area = 0.0;
    for (i, &a) in polygon.iter().enumerate() {
        area += spanned(radius, a, polygon[(i + 1) % polygon.len()]);
    }
    area.abs()
}

fn spanned(radius: f64, a: DVec2, b: DVec2) -> f64 {
    let sector = |p: DVec2, q: DVec2| 0.5 * radius * radius * p.perp_dot(q).atan2(p.dot(q));
    let triangle = |p: DVec2, q: DVec2| 0.5 * p.perp_dot(q);
    let d = b - a;
    let (dd, ad, aa) = (d.length_squared(), a.dot(d), a.length_squared());
    let discriminant = ad * ad - dd * (aa - radius * radius);
    if dd == 0.0 || discriminant <= 0.0 {
        return sector(a, b);
    }
    let root = discriminant.sqrt();
    let (t0, t1) = (((-ad - root) / dd).max(0.0), ((-ad + root) / dd).min(1.0));
    if t0 >= t1 {
        return sector(a, b);
    }
    let at = |t: f64| a + t * d;
    let (enter, leave) = (at(t0), at(t1));
    let before = if t0 > 0.0 { sector(a, enter) } else { 0.0 };
    let after = if t1 < 1.0 { sector(leave, b) } else { 0.0 };
    before + triangle(enter, leave) + after
}

/// The penumbra of one straight edge of an opening, measured along a line in the lit surface.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Penumbra {
    /// Where the first of the disc appears, m from the shadow edge of the sun's centre, positive into the light.
    pub first_light_m: f64,
    /// Where the last of the disc appears, m, as above.
    pub full_light_m: f64,
}

impl Penumbra {
    /// From first to full light, m.
    pub fn width_m(&self) -> f64 {
        self.full_light_m - self.first_light_m
    }
}

/// The penumbra of the edge `from`–`to` of an opening.
///
/// `shadow_edge`: a point lit by exactly half the disc; `into_light`: unit vector in the lit surface, away from the
/// shade; `inside`: any point within the opening. `None` if the sun's direction is along the edge, which then casts
/// no penumbra.
pub fn penumbra(
    shadow_edge: RoomPoint,
    into_light: RoomVector,
    edge: [RoomPoint; 2],
    inside: RoomPoint,
    toward_sun: RoomVector,
) -> Option<Penumbra> {
    let angle = |u: f64| {
        let p = shadow_edge + into_light * u;
        let across = (edge[1] - edge[0]).cross(edge[0] - p);
        let sine = across.unit().dot(toward_sun);
        let sine = if across.dot(inside - p) < 0.0 { -sine } else { sine };
        sine.clamp(-1.0, 1.0).asin()
    };
    let cross_at = |target: f64| {
        // The angle rises with u near the edge; widen the bracket until it contains the target.
        let mut reach = 1e-3;
        while !(angle(-reach) < target && angle(reach) > target) {
            reach *= 2.0;
            if reach > 100.0 {
                return None;
            }
        }
        let (mut low, mut high) = (-reach, reach);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if angle(middle) < target { low = middle } else { high = middle }
        }
        Some(0.5 * (low + high))
    };
    Some(Penumbra { first_light_m: cross_at(-disc_radius())?, full_light_m: cross_at(disc_radius())? })
}
