//! A slab above an opening that stands out from the wall.

use plane::{RoomPoint, RoomVector};

use crate::error::{RevealError, within};
use crate::facets::{Facet, bilinear, facet};

/// A thin level slab over an opening: a canopy, a balcony, the eaves. It is centred on the opening; it hides the sky, and
/// its underside is lit by the ground and seen from the glass. Light that the wall's outer face sends to it is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overhang {
    /// Out from the outer wall face, m, above 0, to 100.
    pub depth_m: f64,
    /// From the top of the opening in the outer wall face up to the underside, m, 0 to 100.
    pub above_m: f64,
    /// Along the wall, m, above 0, to 1000.
    pub width_m: f64,
}

/// An overhang in its place.
#[derive(Clone, Debug)]
pub(crate) struct Canopy {
    pub(crate) corners: [RoomPoint; 4],
    pub(crate) facets: Vec<Facet>,
}

/// Patches of the underside, along and outward; every facet is a patch.
const PATCHES: [usize; 2] = [6, 3];

impl Canopy {
    /// Over a face of the wall.
    pub(crate) fn new(overhang: &Overhang, face: &[RoomPoint]) -> Result<Self, RevealError> {
        let depth = within("overhang.depth_m", overhang.depth_m, 1e-3..=100.0, "metres from 0.001 to 100")?;
        let above = within("overhang.above_m", overhang.above_m, 0.0..=100.0, "metres from 0 to 100")?;
        let width = within("overhang.width_m", overhang.width_m, 1e-3..=1000.0, "metres from 0.001 to 1000")?;
        let low = |k: usize| face.iter().map(|p| p[k]).fold(f64::INFINITY, f64::min);
        let high = |k: usize| face.iter().map(|p| p[k]).fold(f64::NEG_INFINITY, f64::max);
        let (middle, y, z) = (0.5 * (low(0) + high(0)), high(1) + above, low(2));
        let at = |x: f64, z: f64| RoomPoint::new(middle + x, y, z);
        // Clockwise seen from below, so that the normal points down.
        let (left, right, out) = (-0.5 * width, 0.5 * width, z - depth);
        let corners = [at(left, out), at(left, z), at(right, z), at(right, out)];
        let part = |i: usize, j: usize| {
            let corner = |i: usize, j: usize| {
                bilinear(&corners, j as f64 / PATCHES[1] as f64, i as f64 / PATCHES[0] as f64)
            };
            facet(0, [i, j], [corner(i, j), corner(i, j + 1), corner(i + 1, j + 1), corner(i + 1, j)])
        };
        let facets =
            (0..PATCHES[0]).flat_map(|i| (0..PATCHES[1]).map(move |j| (i, j))).map(|(i, j)| part(i, j));
        Ok(Self { facets: facets.collect(), corners })
    }

    /// The facet that a ray from below meets.
    pub(crate) fn hit(&self, from: RoomPoint, along: RoomVector) -> Option<usize> {
        let t = (self.corners[0][1] - from[1]) / along[1];
        if !(t.is_finite() && t > 0.0) {
            return None;
        }
        let at = from + along * t;
        let share = |k: usize, first: RoomPoint, last: RoomPoint| (at[k] - first[k]) / (last[k] - first[k]);
        let places = [share(0, self.corners[0], self.corners[3]), share(2, self.corners[0], self.corners[1])];
        if !places.iter().all(|s| (0.0..=1.0).contains(s)) {
            return None;
        }
        let number = |k: usize| ((places[k] * PATCHES[k] as f64) as usize).min(PATCHES[k] - 1);
        Some(number(0) * PATCHES[1] + number(1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facets_face_down_and_are_met_from_below() {
        let face = [[0.0, 0.0], [1.0, 0.0], [1.0, 2.0], [0.0, 2.0]].map(|[x, y]| RoomPoint::new(x, y, -0.2));
        let canopy = Canopy::new(&Overhang { depth_m: 0.6, above_m: 0.3, width_m: 1.8 }, &face).unwrap();
        let area: f64 = canopy.facets.iter().map(|f| f.area_m2).sum();
        assert!((area - 0.6 * 1.8).abs() < 1e-12);
        for (i, facet) in canopy.facets.iter().enumerate() {
            assert!(facet.normal[1] < -0.999);
            let from = RoomPoint::new(0.5, 0.5, 0.0);
            assert_eq!(canopy.hit(from, facet.middle - from), Some(i));
        }
        assert_eq!(canopy.hit(RoomPoint::new(0.5, 1.0, 0.0), RoomVector::new(0.0, 0.1, -1.0)), None);
    }
}
