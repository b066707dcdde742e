//! The sides of a reveal drawn on a plane along lines of sight, and a polygon of that plane divided by what the lines meet.

use plane::{RoomPoint, RoomVector, WallPoint};

use crate::cut::{self, Ring, anticlockwise};
use crate::tube::{Quad, Tube};

/// Lines of sight.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Sight {
    /// From a point.
    From(RoomPoint),
    /// Along a direction, everywhere.
    Along(RoomVector),
}

impl Sight {
    /// Where the line through a point meets the plane z.
    pub(crate) fn onto(self, point: RoomPoint, z: f64) -> WallPoint {
        let at = match self {
            Self::From(eye) => eye + (point - eye) * ((z - eye[2]) / (point[2] - eye[2])),
            Self::Along(v) => point + v * ((z - point[2]) / v[2]),
        };
        WallPoint::new(at[0], at[1])
    }

    /// A convex polygon on the plane z, anticlockwise.
    pub(crate) fn draw(self, corners: &[RoomPoint], z: f64) -> Ring {
        anticlockwise(corners.iter().map(|&c| self.onto(c, z)).collect())
    }

    /// Whether the lit side of a surface is seen.
    fn meets(self, surface: &Quad) -> bool {
        match self {
            Self::From(eye) => surface.normal.dot(eye - surface.corners[0]) > 1e-12,
            Self::Along(v) => surface.normal.dot(v) < -1e-12,
        }
    }

    /// How far along the line through a point of the plane z a surface lies; comparable on one line.
    fn distance(self, through: WallPoint, z: f64, surface: &Quad) -> f64 {
        let point = RoomPoint::new(through.x(), through.y(), z);
        let (origin, along) = match self {
            Self::From(eye) => (eye, point - eye),
            Self::Along(v) => (point, v),
        };
        surface.normal.dot(surface.corners[0] - origin) / surface.normal.dot(along)
    }
}

/// A polygon divided by what the lines of sight through it meet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Split {
    /// Parts through which the way is open.
    pub open: Vec<Ring>,
    /// Parts through which a patch is met, with its number.
    pub patches: Vec<(usize, Ring)>,
}

/// A tube along lines of sight.
#[derive(Clone, Debug)]
pub(crate) struct Projected {
    /// Nothing is in the way: the tube has no depth.
    flush: bool,
    /// The end through which the way is open, if the tube is convex.
    end: Option<Ring>,
    /// Flat parts of patches whose lit side is seen, with what hides each in a tube that is not convex.
    drawn: Vec<(usize, Ring, Vec<usize>)>,
    /// Whole sides, in a tube that is not convex: behind any of them, the way is not open.
    sides: Vec<Ring>,
}

impl Projected {
    /// `end`: the ring toward which the lines run. Drawn on the plane z.
    pub(crate) fn new(tube: &Tube, end: &[RoomPoint], sight: Sight, z: f64) -> Self {
        let mut projected =
            Self { flush: tube.sides.is_empty(), end: None, drawn: Vec::new(), sides: Vec::new() };
        if projected.flush {
            return projected;
        }
        let draw = |q: &Quad| (q.clone(), sight.draw(&q.corners, z));
        let parts: Vec<(Quad, Ring)> = tube.quads.iter().filter(|q| sight.meets(q)).map(draw).collect();
        if tube.convex {
            projected.end = Some(sight.draw(end, z));
            projected.drawn = parts.into_iter().map(|(q, ring)| (q.patch, ring, Vec::new())).collect();
            return projected;
        }
        // A line that starts in front of the wall may come through the stone to the back of a side.
        let sides: Vec<(Quad, Ring)> = tube.sides.iter().map(draw).collect();
        projected.drawn = parts
            .into_iter()
            .map(|(part, ring)| {
                let hides = |(side, other): &(Quad, Ring)| {
                    side.side != part.side
                        && cut::inside(&ring, other).is_some_and(|both| {
                            let n = both.len() as f64;
                            let sum = both.iter().fold([0.0; 2], |s, p| [s[0] + p.x(), s[1] + p.y()]);
                            let middle = WallPoint::new(sum[0] / n, sum[1] / n);
                            sight.distance(middle, z, side) < sight.distance(middle, z, &part)
                        })
                };
                let before = (0..sides.len()).filter(|&i| hides(&sides[i])).collect();
                (part.patch, ring, before)
            })
            .collect();
        projected.sides = sides.into_iter().map(|(_, ring)| ring).collect();
        projected
    }

    /// The parts of a polygon through which the way is open.
    pub(crate) fn open(&self, part: &[WallPoint]) -> Vec<Ring> {
        match &self.end {
            _ if self.flush => vec![part.to_vec()],
            Some(end) => cut::inside(part, end).into_iter().collect(),
            None => cut::outside_all(vec![part.to_vec()], self.sides.iter().map(Vec::as_slice)),
        }
    }

    /// A polygon of the plane, which lies within the tube's ring there or is that ring, by what is met.
    pub(crate) fn split(&self, part: &[WallPoint]) -> Split {
        let mut patches = Vec::new();
        for (patch, ring, before) in &self.drawn {
            let met: Vec<Ring> = cut::inside(part, ring).into_iter().collect();
            let met = cut::outside_all(met, before.iter().map(|&i| self.sides[i].as_slice()));
            patches.extend(met.into_iter().map(|ring| (*patch, ring)));
        }
        Split { open: self.open(part), patches }
    }
}
