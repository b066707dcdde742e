//! Where the sun through an opening falls in the room.

use crate::box_room::{BoxRoom, Surface};
use crate::contour::{clip_to_half_space, polygon_area};
use crate::plane::P2;
use crate::vector::{V3, add_scaled};

/// One sunlit polygon on one surface.
#[derive(Clone, Debug, PartialEq)]
pub struct SunPatch {
    /// The surface it lies on.
    pub surface: Surface,
    /// Corners, m, in the room frame.
    pub polygon: Vec<V3>,
    /// Area, m².
    pub area_m2: f64,
    /// Cosine of the angle between the beam and the surface's normal.
    pub cos_incidence: f64,
}

/// Where parallel light from the unit direction `toward_sun` through a polygon of the window wall lands: exact, each
/// surface in turn. Nothing when the sun is behind the window wall. Glass moves no ray sideways here (3 mm of glass
/// shifts it by less than 2 mm).
pub fn sun_patches(room: &BoxRoom, opening: &[P2], toward_sun: V3) -> Vec<SunPatch> {
    let mut patches = Vec::new();
    if toward_sun[2] >= 0.0 {
        return patches;
    }
    for surface in Surface::ALL {
        let axis = surface.axis();
        if surface == Surface::WindowWall
            || toward_sun[axis].abs() < 1e-12
            || (toward_sun[axis] < 0.0) != surface.is_far()
        {
            continue;
        }
        let mut polygon: Vec<V3> = opening
            .iter()
            .map(|p| {
                let v = [p[0], p[1], 0.0];
                add_scaled(v, -(v[axis] - room.offset(surface)) / toward_sun[axis], toward_sun)
            })
            .collect();
        for k in surface.in_plane_axes() {
            for (side, limit) in [(1.0, 0.0), (-1.0, room.size_m[k])] {
                let (mut origin, mut normal) = ([0.0; 3], [0.0; 3]);
                origin[k] = limit;
                normal[k] = side;
                polygon = clip_to_half_space(&polygon, origin, normal);
            }
        }
        let area_m2 = polygon_area(&polygon);
        if polygon.len() >= 3 && area_m2 > 1e-12 {
            patches.push(SunPatch { surface, polygon, area_m2, cos_incidence: toward_sun[axis].abs() });
        }
    }
    patches
}
