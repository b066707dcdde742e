//! What a ray meets among ground, own wall and block.

use glam::{DVec2, DVec3, dvec2, dvec3};
use plane::RoomVector;

use crate::site::Block;

/// Distance of a ray's beginning from the surface that it leaves, m.
const CLEAR: f64 = 1e-6;

/// A surface that reflects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    Ground,
    Own,
    Front,
    Back,
    Left,
    Right,
}

/// All faces, in the order of their numbers.
pub(super) const FACES: [Face; 6] =
    [Face::Ground, Face::Own, Face::Front, Face::Back, Face::Left, Face::Right];

impl Face {
    /// Outward unit normal.
    pub(super) const fn normal(self) -> DVec3 {
        match self {
            Self::Ground => dvec3(0.0, 1.0, 0.0),
            Self::Own | Self::Back => dvec3(0.0, 0.0, -1.0),
            Self::Front => dvec3(0.0, 0.0, 1.0),
            Self::Left => dvec3(-1.0, 0.0, 0.0),
            Self::Right => dvec3(1.0, 0.0, 0.0),
        }
    }

    /// A direction given beside the normal (x, y on the face, z along its normal) in the axes of the site.
    pub(super) fn turned(self, local: DVec3) -> DVec3 {
        let DVec3 { x, y, z } = local;
        match self {
            Self::Ground => dvec3(x, z, y),
            Self::Own | Self::Back => dvec3(x, y, -z),
            Self::Front => dvec3(x, y, z),
            Self::Left => dvec3(-z, y, x),
            Self::Right => dvec3(z, y, x),
        }
    }

    /// The two coordinates that vary on a face: x and z on the ground, otherwise the one along it and y.
    pub(super) fn place(self, at: DVec3) -> DVec2 {
        match self {
            Self::Ground => dvec2(at.x, at.z),
            Self::Own | Self::Front | Self::Back => dvec2(at.x, at.y),
            Self::Left | Self::Right => dvec2(at.z, at.y),
        }
    }
}

/// What a ray meets first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Hit {
    Sky,
    /// A roof, or ground behind the own building.
    Black(DVec3),
    Face(Face, DVec3),
}

/// Endless ground, the own wall and a block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scene {
    pub(super) own_height: f64,
    pub(super) block: Block,
}

impl Scene {
    /// The lowest and the highest corner of the block.
    pub(super) fn corners(&self) -> [DVec3; 2] {
        let Block { distance_m, x_m, height_m, depth_m } = self.block;
        [dvec3(x_m[0], 0.0, -distance_m - depth_m), dvec3(x_m[1], height_m, -distance_m)]
    }

    /// A place on a face as a point, just before the surface.
    pub(super) fn point(&self, face: Face, place: DVec2) -> DVec3 {
        let [low, high] = self.corners();
        let on = match face {
            Face::Ground => dvec3(place.x, 0.0, place.y),
            Face::Own => dvec3(place.x, place.y, 0.0),
            Face::Front => dvec3(place.x, place.y, high.z),
            Face::Back => dvec3(place.x, place.y, low.z),
            Face::Left => dvec3(low.x, place.y, place.x),
            Face::Right => dvec3(high.x, place.y, place.x),
        };
        on + CLEAR * face.normal()
    }

    /// A point on a face, moved to just before its surface.
    pub(super) fn before(&self, face: Face, at: DVec3) -> DVec3 {
        at + CLEAR * face.normal()
    }

    pub(super) fn cast(&self, from: DVec3, toward: DVec3) -> Hit {
        let mut nearest = f64::INFINITY;
        let mut hit = Hit::Sky;
        if toward.y < 0.0 {
            nearest = -from.y / toward.y;
            let at = from + nearest * toward;
            hit = Hit::Face(Face::Ground, at);
            if self.own_height > 0.0 && at.z > 0.0 {
                hit = Hit::Black(at);
            }
        }
        if self.own_height > 0.0 && toward.z > 0.0 && from.z < 0.0 {
            let t = -from.z / toward.z;
            let at = from + t * toward;
            if (0.0..=self.own_height).contains(&at.y) && t <= nearest {
                nearest = t;
                hit = Hit::Face(Face::Own, at);
            }
        }
        let [low, high] = self.corners();
        // A ray along a face begins at its plane at once, instead of at 0/0.
        let along = toward.to_array().map(|v| if v == 0.0 { f64::MIN_POSITIVE } else { v });
        let (a, b) = ((low - from) / DVec3::from(along), (high - from) / DVec3::from(along));
        let (mut entry, exit) = (a.min(b), a.max(b));
        if toward.y > 0.0 {
            // The ground closes the block from below.
            entry.y = f64::NEG_INFINITY;
        }
        let t = entry.x.max(entry.y).max(entry.z);
        if t > 0.0 && t < exit.x.min(exit.y).min(exit.z) && t < nearest {
            let at = from + t * toward;
            let beside = |forward: bool, first: Face, second: Face| if forward { first } else { second };
            return if entry.y >= t {
                Hit::Black(at)
            } else if entry.x >= t {
                Hit::Face(beside(toward.x > 0.0, Face::Left, Face::Right), at)
            } else {
                Hit::Face(beside(toward.z > 0.0, Face::Back, Face::Front), at)
            };
        }
        hit
    }

    /// Illuminance of a point just before a face by a beam of strength one; 0 in shadow.
    pub(super) fn sunlit(&self, face: Face, at: DVec3, sun: RoomVector) -> f64 {
        let sun = sun.vector();
        let cos = face.normal().dot(sun);
        let lit = cos > 0.0 && sun.y > 0.0 && matches!(self.cast(at, sun), Hit::Sky);
        if lit { cos } else { 0.0 }
    }
}
