//! The sides of a reveal, divided into patches that are each taken as evenly lit.

use plane::{RoomPoint, RoomVector};

/// Which side of the glass a patch lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cell {
    /// Between the outer wall face and the glass.
    Outer,
    /// Between the glass and the inner wall face.
    Inner,
}

/// An evenly lit part of a side.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Patch {
    pub(crate) cell: Cell,
    /// Of its cell, in the order of the outline's edges.
    pub(crate) side: usize,
    pub(crate) corners: [RoomPoint; 4],
    pub(crate) middle: RoomPoint,
    /// Into the opening.
    pub(crate) normal: RoomVector,
    pub(crate) area_m2: f64,
}

/// A patch is about this share of the opening's edge long and deep.
const PATCHES_AROUND: f64 = 32.0;
/// Fewest and most patches one behind the other.
const DEEP: [f64; 2] = [5.0, 16.0];

/// The sides between two rings of as many corners, both anticlockwise seen from inside: the ring farther out first.
pub(crate) fn sides(cell: Cell, far: &[RoomPoint], near: &[RoomPoint], perimeter_m: f64) -> Vec<Patch> {
    let size_m = perimeter_m / PATCHES_AROUND;
    let n = far.len();
    let mut patches = Vec::new();
    for side in 0..n {
        let quad = [far[side], far[(side + 1) % n], near[(side + 1) % n], near[side]];
        let across = [quad[1] - quad[0], quad[2] - quad[3]].map(RoomVector::length);
        let inward = [quad[3] - quad[0], quad[2] - quad[1]].map(RoomVector::length);
        let along = (across[0].max(across[1]) / size_m).ceil().clamp(1.0, PATCHES_AROUND);
        let deep = (inward[0].max(inward[1]) / size_m).ceil().clamp(DEEP[0], DEEP[1]);
        let at = |i: usize, j: usize| bilinear(&quad, i as f64 / along, j as f64 / deep);
        for j in 0..deep as usize {
            for i in 0..along as usize {
                let corners = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
                // The ring is anticlockwise and the sides run inward from it, so this points into the opening.
                let twice = (corners[2] - corners[0]).cross(corners[3] - corners[1]);
                patches.push(Patch {
                    cell,
                    side,
                    corners,
                    middle: bilinear(&corners, 0.5, 0.5),
                    normal: -twice.unit(),
                    area_m2: 0.5 * twice.length(),
                });
            }
        }
    }
    patches
}

fn bilinear(quad: &[RoomPoint; 4], s: f64, t: f64) -> RoomPoint {
    let far = quad[0] + (quad[1] - quad[0]) * s;
    let near = quad[3] + (quad[2] - quad[3]) * s;
    far + (near - far) * t
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patches_cover_the_sides_and_face_inward() {
        let ring = |z: f64, out: f64| {
            [[-out, -out], [0.4 + out, -out], [0.4 + out, 1.6 + out], [-out, 1.6 + out]]
                .map(|[x, y]| RoomPoint::new(x, y, z))
        };
        let middle = RoomPoint::new(0.2, 0.8, 0.1);
        for (out, area) in [(0.0, 0.8), (0.2, 4.8 * 0.2 * 2f64.sqrt())] {
            let patches = sides(Cell::Inner, &ring(0.0, 0.0), &ring(0.2, out), 4.0);
            let sum: f64 = patches.iter().map(|p| p.area_m2).sum();
            assert!((sum - area).abs() < 1e-12, "{sum} {area}");
            assert!(patches.iter().all(|p| (middle - p.middle).dot(p.normal) > 0.0));
        }
    }
}
