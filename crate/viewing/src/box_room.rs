//! A box-shaped room and its six surfaces.

use plane::{RoomPoint, RoomVector};

/// One of the six surfaces, named as seen from inside, facing the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Surface {
    /// z = 0; contains the window.
    WindowWall,
    /// z = depth.
    BackWall,
    /// x = 0.
    LeftWall,
    /// x = width.
    RightWall,
    /// y = 0.
    Floor,
    /// y = height.
    Ceiling,
}

impl Surface {
    /// All six, in the order of every six-element array here.
    pub const ALL: [Self; 6] =
        [Self::WindowWall, Self::BackWall, Self::LeftWall, Self::RightWall, Self::Floor, Self::Ceiling];

    /// Index in [`Surface::ALL`].
    pub const fn index(self) -> usize {
        self as usize
    }

    /// The name used in files and on the command line.
    pub const fn name(self) -> &'static str {
        match self {
            Self::WindowWall => "window_wall",
            Self::BackWall => "back_wall",
            Self::LeftWall => "left_wall",
            Self::RightWall => "right_wall",
            Self::Floor => "floor",
            Self::Ceiling => "ceiling",
        }
    }

    /// The axis normal to it: 0 x, 1 y, 2 z.
    pub const fn axis(self) -> usize {
        match self {
            Self::WindowWall | Self::BackWall => 2,
            Self::LeftWall | Self::RightWall => 0,
            Self::Floor | Self::Ceiling => 1,
        }
    }

    /// Whether it is at the far end of its axis.
    pub const fn is_far(self) -> bool {
        matches!(self, Self::BackWall | Self::RightWall | Self::Ceiling)
    }

    /// The two axes in its plane.
    pub const fn in_plane_axes(self) -> [usize; 2] {
        match self.axis() {
            0 => [1, 2],
            1 => [0, 2],
            _ => [0, 1],
        }
    }

    /// Unit normal into the room.
    pub fn inward(self) -> RoomVector {
        let mut n = RoomVector::ZERO;
        n[self.axis()] = if self.is_far() { -1.0 } else { 1.0 };
        n
    }
}

/// A box room: the window wall is z = 0, its lower-left inside corner the origin, x right as seen from inside facing
/// the window, y up, z into the room. Walls have no thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxRoom {
    /// Width, height, depth, m.
    pub size_m: [f64; 3],
}

impl BoxRoom {
    /// Coordinate of a surface on its own axis, m.
    pub fn offset(&self, surface: Surface) -> f64 {
        if surface.is_far() { self.size_m[surface.axis()] } else { 0.0 }
    }

    /// The point (u, v) of a surface, u and v on its two in-plane axes.
    pub fn point_on(&self, surface: Surface, u: f64, v: f64) -> RoomPoint {
        let [a, b] = surface.in_plane_axes();
        let mut p = RoomPoint::new(0.0, 0.0, 0.0);
        p[surface.axis()] = self.offset(surface);
        p[a] = u;
        p[b] = v;
        p
    }

    /// Whether a point lies in the plane of a surface, to a nanometre.
    pub fn lies_in(&self, surface: Surface, point: RoomPoint) -> bool {
        (point[surface.axis()] - self.offset(surface)).abs() < 1e-9
    }

    /// Where a ray from a point in or on the box along `direction` meets it: the surface and the point. `None` for
    /// a zero direction.
    pub(crate) fn hit(&self, from: RoomPoint, direction: RoomVector) -> Option<(Surface, RoomPoint)> {
        let mut best: Option<(f64, Surface)> = None;
        for axis in 0..3 {
            let d = direction[axis];
            if d == 0.0 {
                continue;
            }
            let surface = match (axis, d > 0.0) {
                (0, false) => Surface::LeftWall,
                (0, true) => Surface::RightWall,
                (1, false) => Surface::Floor,
                (1, true) => Surface::Ceiling,
                (_, false) => Surface::WindowWall,
                (_, true) => Surface::BackWall,
            };
            let t = (self.offset(surface) - from[axis]) / d;
            if best.is_none_or(|(b, _)| t < b) {
                best = Some((t, surface));
            }
        }
        best.map(|(t, surface)| {
            let mut p = from + direction * t;
            for (axis, &limit) in self.size_m.iter().enumerate() {
                p[axis] = p[axis].clamp(0.0, limit);
            }
            (surface, p)
        })
    }
}

/// Bearing from the outward normal and altitude, degrees, of a room-frame vector: the inverse of [`RoomVector::toward_sky`].
pub fn bearing_and_altitude_deg(direction: RoomVector) -> (f64, f64) {
    let [x, y, z] = direction.to_array();
    (x.atan2(-z).to_degrees(), y.atan2(x.hypot(z)).to_degrees())
}
