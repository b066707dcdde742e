//! What a ray meets among ground, own wall and blocks.

use glam::{DVec2, DVec3, dvec2, dvec3};

use crate::site::{Block, Site};

/// Distance of a ray's beginning from the surface that it leaves, m.
const CLEAR: f64 = 1e-6;

/// A surface that reflects.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Face {
    Ground,
    Own,
    /// An upright side of the block with this number.
    Block(usize, Side),
}

/// An upright side of a block, as seen from the window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Front,
    Back,
    Left,
    Right,
}

/// All sides, in the order of their numbers.
pub(crate) const SIDES: [Side; 4] = [Side::Front, Side::Back, Side::Left, Side::Right];

impl Face {
    /// Its number among all faces of a scene.
    pub(crate) const fn index(self) -> usize {
        match self {
            Self::Ground => 0,
            Self::Own => 1,
            Self::Block(block, side) => 2 + SIDES.len() * block + side as usize,
        }
    }

    /// Outward unit normal.
    pub(crate) const fn normal(self) -> DVec3 {
        match self {
            Self::Ground => dvec3(0.0, 1.0, 0.0),
            Self::Own | Self::Block(_, Side::Back) => dvec3(0.0, 0.0, -1.0),
            Self::Block(_, Side::Front) => dvec3(0.0, 0.0, 1.0),
            Self::Block(_, Side::Left) => dvec3(-1.0, 0.0, 0.0),
            Self::Block(_, Side::Right) => dvec3(1.0, 0.0, 0.0),
        }
    }

    /// A direction given beside the normal (x, y on the face, z along its normal) in the axes of the site.
    pub(crate) fn turned(self, local: DVec3) -> DVec3 {
        let DVec3 { x, y, z } = local;
        match self {
            Self::Ground => dvec3(x, z, y),
            Self::Own | Self::Block(_, Side::Back) => dvec3(x, y, -z),
            Self::Block(_, Side::Front) => dvec3(x, y, z),
            Self::Block(_, Side::Left) => dvec3(-z, y, x),
            Self::Block(_, Side::Right) => dvec3(z, y, x),
        }
    }

    /// The two coordinates that vary on a face: x and z on the ground, otherwise the one along it and y.
    pub(crate) fn place(self, at: DVec3) -> DVec2 {
        match self {
            Self::Ground => dvec2(at.x, at.z),
            Self::Own | Self::Block(_, Side::Front | Side::Back) => dvec2(at.x, at.y),
            Self::Block(_, Side::Left | Side::Right) => dvec2(at.z, at.y),
        }
    }
}

/// What a ray meets first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Hit {
    Sky,
    /// A roof, or ground behind the own building.
    Black(DVec3),
    Face(Face, DVec3),
}

/// A block by its lowest and its highest corner; endless ones have infinite coordinates.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corners {
    pub(crate) low: DVec3,
    pub(crate) high: DVec3,
}

impl Corners {
    const fn of(block: &Block) -> Self {
        let Block { distance_m, x_m, height_m, depth_m } = *block;
        Self { low: dvec3(x_m[0], 0.0, -distance_m - depth_m), high: dvec3(x_m[1], height_m, -distance_m) }
    }

    /// How far along a ray it enters the block, and by which side; `None` for the side by the roof.
    fn entered(&self, from: DVec3, toward: DVec3) -> Option<(f64, Option<Side>)> {
        // A ray along a face begins at its plane at once, instead of at 0/0.
        let along = DVec3::from(toward.to_array().map(|v| if v == 0.0 { f64::MIN_POSITIVE } else { v }));
        let (a, b) = ((self.low - from) / along, (self.high - from) / along);
        let (mut entry, exit) = (a.min(b), a.max(b));
        if toward.y > 0.0 {
            // The ground closes the block from below.
            entry.y = f64::NEG_INFINITY;
        }
        let t = entry.x.max(entry.y).max(entry.z);
        if !(t > 0.0 && t < exit.x.min(exit.y).min(exit.z)) {
            return None;
        }
        let beside = |forward: bool, first: Side, second: Side| if forward { first } else { second };
        let side = if entry.y >= t {
            None
        } else if entry.x >= t {
            Some(beside(toward.x > 0.0, Side::Left, Side::Right))
        } else {
            Some(beside(toward.z > 0.0, Side::Back, Side::Front))
        };
        Some((t, side))
    }

    /// Whether the plan covers a place on the ground.
    pub(crate) fn covers(&self, x: f64, z: f64) -> bool {
        x > self.low.x && x < self.high.x && z > self.low.z && z < self.high.z
    }
}

/// Endless ground, the own wall and the blocks.
#[derive(Clone, Debug)]
pub(crate) struct Scene {
    pub(crate) own_height: f64,
    pub(crate) blocks: Vec<Corners>,
}

impl Scene {
    pub(crate) fn of(site: &Site) -> Self {
        Self { own_height: site.own_height_m, blocks: site.blocks.iter().map(Corners::of).collect() }
    }

    /// A place on a face as a point, just before the surface.
    pub(crate) fn point(&self, face: Face, place: DVec2) -> DVec3 {
        let on = match face {
            Face::Ground => dvec3(place.x, 0.0, place.y),
            Face::Own => dvec3(place.x, place.y, 0.0),
            Face::Block(number, side) => {
                let Corners { low, high } = self.blocks[number];
                match side {
                    Side::Front => dvec3(place.x, place.y, high.z),
                    Side::Back => dvec3(place.x, place.y, low.z),
                    Side::Left => dvec3(low.x, place.y, place.x),
                    Side::Right => dvec3(high.x, place.y, place.x),
                }
            }
        };
        before(face, on)
    }

    /// Whether a point lies within a block: ground under it, or a face inside another block.
    pub(crate) fn buries(&self, at: DVec3) -> bool {
        self.blocks.iter().any(|block| block.covers(at.x, at.z) && at.y < block.high.y)
    }

    pub(crate) fn cast(&self, from: DVec3, toward: DVec3) -> Hit {
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
        for (number, block) in self.blocks.iter().enumerate() {
            if let Some((t, side)) = block.entered(from, toward)
                && t < nearest
            {
                nearest = t;
                let at = from + t * toward;
                hit = side.map_or(Hit::Black(at), |side| Hit::Face(Face::Block(number, side), at));
            }
        }
        hit
    }

    /// Whether a block stands between a point and a place far away.
    pub(crate) fn blocks_hide(&self, from: DVec3, toward: DVec3) -> bool {
        self.blocks.iter().any(|block| block.entered(from, toward).is_some())
    }

    /// Whether anything stands between a point and a place far away.
    pub(crate) fn hides(&self, from: DVec3, toward: DVec3) -> bool {
        !matches!(self.cast(from, toward), Hit::Sky)
    }

    /// Illuminance of a point just before a face by a beam of strength one; 0 in shadow.
    pub(crate) fn sunlit(&self, face: Face, at: DVec3, sun: DVec3) -> f64 {
        let cos = face.normal().dot(sun);
        if cos > 0.0 && sun.y > 0.0 && !self.hides(at, sun) { cos } else { 0.0 }
    }
}

/// A point on a face, moved to just before its surface.
pub(crate) fn before(face: Face, at: DVec3) -> DVec3 {
    at + CLEAR * face.normal()
}
