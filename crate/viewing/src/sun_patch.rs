//! Where sunlight through an opening falls in the room.

use plane::{RoomPoint, RoomVector, WallPoint, room_from_wall};

use crate::box_room::{BoxRoom, Surface};
use crate::contour::{clip_to_half_space, polygon_area};

/// One sunlit polygon on one surface.
#[derive(Clone, Debug, PartialEq)]
pub struct SunPatch {
    /// The surface it lies on.
    pub surface: Surface,
    /// Corners, m, in the room frame.
    pub polygon: Vec<RoomPoint>,
    /// Area, m².
    pub area_m2: f64,
    /// Cosine of the angle between the beam and the surface's normal.
    pub cos_incidence: f64,
}

/// Where parallel light from the unit direction `toward_sun` through a polygon of the window wall lands: exact,
/// each surface in turn. Empty if the sun is behind the window wall. Glass does not shift rays sideways here (3 mm
/// of glass shifts them by less than 2 mm).
pub fn sun_patches(room: &BoxRoom, opening: &[WallPoint], toward_sun: RoomVector) -> Vec<SunPatch> {
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
        let mut polygon: Vec<RoomPoint> = opening
            .iter()
            .map(|&corner| {
                let v = room_from_wall(corner);
                v + toward_sun * (-(v[axis] - room.offset(surface)) / toward_sun[axis])
            })
            .collect();
        for k in surface.in_plane_axes() {
            for (side, limit) in [(1.0, 0.0), (-1.0, room.size_m[k])] {
                let (mut origin, mut normal) = (RoomPoint::new(0.0, 0.0, 0.0), RoomVector::ZERO);
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
