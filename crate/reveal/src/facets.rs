//! The sides of a reveal, divided into facets: small flat parts whose middles stand for them.

use plane::{RoomPoint, RoomVector};

/// A small part of a side.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Facet {
    /// Of the outline's edges.
    pub(crate) side: usize,
    /// Where it lies among the facets of its side: along the edge, and counted from the far ring.
    pub(crate) place: [usize; 2],
    pub(crate) corners: [RoomPoint; 4],
    pub(crate) middle: RoomPoint,
    /// Into the opening.
    pub(crate) normal: RoomVector,
    pub(crate) area_m2: f64,
}

/// How finely sides are divided.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Division {
    /// A facet is about this share of the opening's edge long and deep.
    pub(crate) around: f64,
    /// Fewest and most facets one behind the other.
    pub(crate) deep: [f64; 2],
}

/// Facets of the fine solution.
pub(crate) const FINE: Division = Division { around: 32.0, deep: [5.0, 16.0] };

/// A side between two rings: corners in the order far, far, near, near, and its facets along and deep.
pub(crate) struct Side {
    pub(crate) corners: [RoomPoint; 4],
    pub(crate) facets: [usize; 2],
}

/// The sides between two rings of as many corners, both anticlockwise seen from inside: the ring farther out first.
pub(crate) fn sides(
    far: &[RoomPoint],
    near: &[RoomPoint],
    perimeter_m: f64,
    division: Division,
) -> Vec<Side> {
    let size_m = perimeter_m / division.around;
    let n = far.len();
    (0..n)
        .map(|side| {
            let corners = [far[side], far[(side + 1) % n], near[(side + 1) % n], near[side]];
            let across = [corners[1] - corners[0], corners[2] - corners[3]].map(RoomVector::length);
            let inward = [corners[3] - corners[0], corners[2] - corners[1]].map(RoomVector::length);
            let along = (across[0].max(across[1]) / size_m).ceil().clamp(1.0, division.around);
            let deep = (inward[0].max(inward[1]) / size_m).ceil().clamp(division.deep[0], division.deep[1]);
            Side { corners, facets: [along as usize, deep as usize] }
        })
        .collect()
}

impl Side {
    /// The part of it between facets: first and last along, first and last deep.
    pub(crate) fn part(&self, [i0, i1]: [usize; 2], [j0, j1]: [usize; 2]) -> [RoomPoint; 4] {
        let [along, deep] = self.facets.map(|n| n as f64);
        let at = |i: usize, j: usize| bilinear(&self.corners, i as f64 / along, j as f64 / deep);
        [at(i0, j0), at(i1, j0), at(i1, j1), at(i0, j1)]
    }

    /// Its facets, row by row from the far ring.
    pub(crate) fn facets(&self, side: usize) -> impl Iterator<Item = Facet> + '_ {
        let [along, deep] = self.facets;
        (0..deep).flat_map(move |j| (0..along).map(move |i| [i, j])).map(move |place| {
            facet(side, place, self.part([place[0], place[0] + 1], [place[1], place[1] + 1]))
        })
    }
}

/// A facet with these corners; seen from its lit face they are clockwise.
pub(crate) fn facet(side: usize, place: [usize; 2], corners: [RoomPoint; 4]) -> Facet {
    // The ring is anticlockwise and the sides run inward from it, so this points into the opening.
    let twice = (corners[2] - corners[0]).cross(corners[3] - corners[1]);
    Facet {
        side,
        place,
        corners,
        middle: bilinear(&corners, 0.5, 0.5),
        normal: -twice.unit(),
        area_m2: 0.5 * twice.length(),
    }
}

pub(crate) fn bilinear(quad: &[RoomPoint; 4], s: f64, t: f64) -> RoomPoint {
    let far = quad[0] + (quad[1] - quad[0]) * s;
    let near = quad[3] + (quad[2] - quad[3]) * s;
    far + (near - far) * t
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facets_cover_the_sides_and_face_inward() {
        let ring = |z: f64, out: f64| {
            [[-out, -out], [0.4 + out, -out], [0.4 + out, 1.6 + out], [-out, 1.6 + out]]
                .map(|[x, y]| RoomPoint::new(x, y, z))
        };
        let middle = RoomPoint::new(0.2, 0.8, 0.1);
        for (out, area) in [(0.0, 0.8), (0.2, 4.8 * 0.2 * 2f64.sqrt())] {
            let sides = sides(&ring(0.0, 0.0), &ring(0.2, out), 4.0, FINE);
            let facets: Vec<Facet> = sides.iter().enumerate().flat_map(|(i, s)| s.facets(i)).collect();
            let sum: f64 = facets.iter().map(|f| f.area_m2).sum();
            assert!((sum - area).abs() < 1e-12, "{sum} {area}");
            assert!(facets.iter().all(|f| (middle - f.middle).dot(f.normal) > 0.0));
        }
    }
}
