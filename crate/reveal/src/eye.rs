//! What a point in the room sees of an opening.

use plane::{RoomPoint, WallPoint, signed_area};

use crate::cut::{self, Ring};
use crate::error::{RevealError, within};
use crate::opening::Opening;
use crate::projected::{Projected, Sight, Split};

/// An opening as a point in the room sees it. Exact: polygons on the plane of the glass, through which the point sees one
/// thing each. Their form factors and solid angles are the caller's, as are those of the pieces themselves.
#[derive(Clone, Debug)]
pub struct EyeView<'a> {
    opening: &'a Opening,
    eye: RoomPoint,
    inner: Projected,
    outer: Projected,
    /// The overhang whole and in its patches, on the plane of the glass.
    canopy: Option<(Ring, Vec<(usize, Ring)>)>,
}

impl Opening {
    /// What a point in the room sees. It lies at least a millimetre beyond the inner wall face.
    ///
    /// # Errors
    /// [`RevealError::OutsideRange`], naming `point_m`.
    pub fn from_eye(&self, point: RoomPoint) -> Result<EyeView<'_>, RevealError> {
        let beyond = "a point at least 0.001 m beyond the inner wall face, within 1000000 m";
        within("point_m", point[2], self.inner.near[0][2] + 0.001..=1e6, beyond)?;
        for k in 0..2 {
            within("point_m", point[k], -1e6..=1e6, beyond)?;
        }
        Ok(EyeView::new(self, point))
    }
}

impl<'a> EyeView<'a> {
    pub(crate) fn new(opening: &'a Opening, eye: RoomPoint) -> Self {
        let sight = Sight::From(eye);
        let before = opening.outer.patches.len();
        let canopy = opening.canopy.as_ref().map(|c| {
            let facets = c.facets.iter().enumerate();
            let facets = facets.map(|(i, f)| (before + i, sight.draw(&f.corners, 0.0))).collect();
            (sight.draw(&c.corners, 0.0), facets)
        });
        Self {
            inner: Projected::new(&opening.inner, &opening.inner.near, sight, 0.0),
            outer: Projected::new(&opening.outer, &opening.outer.far, sight, 0.0),
            canopy,
            opening,
            eye,
        }
    }

    /// The parts of a polygon on the glass that the point sees past the inner reveal.
    pub fn visible(&self, part: &[WallPoint]) -> Vec<Ring> {
        self.inner.open(part)
    }

    /// What the point sees through a polygon of the glass that is visible: the outside, or patches of the outer reveal and
    /// the overhang.
    pub fn through(&self, part: &[WallPoint]) -> Split {
        let mut seen = self.outer.split(part);
        let Some((whole, facets)) = &self.canopy else { return seen };
        let mut open = Vec::new();
        for ring in &seen.open {
            let met = facets.iter().filter_map(|(patch, facet)| Some((*patch, cut::inside(ring, facet)?)));
            seen.patches.extend(met);
            open.extend(cut::outside(ring, whole));
        }
        seen.open = open;
        seen
    }

    /// The parts of such a polygon through which the point sees the outside.
    pub fn open(&self, part: &[WallPoint]) -> Vec<Ring> {
        let canopy = self.canopy.iter().map(|(whole, _)| whole.as_slice());
        cut::outside_all(self.outer.open(part), canopy)
    }

    /// The patches of the inner reveal as the point sees them: polygons in the plane of the inner wall face, anticlockwise.
    pub fn inner(&self) -> Vec<(usize, Vec<RoomPoint>)> {
        let tube = &self.opening.inner;
        let z = tube.near[0][2];
        let face: Ring = tube.near.iter().map(|p| WallPoint::new(p[0], p[1])).collect();
        let split = Projected::new(tube, &tube.far, Sight::From(self.eye), z).split(&face);
        let at = |ring: Ring| ring.into_iter().map(|p| RoomPoint::new(p.x(), p.y(), z)).collect();
        let some = split.patches.into_iter().filter(|(_, ring)| signed_area(ring) > 0.0);
        some.map(|(patch, ring)| (patch, at(ring))).collect()
    }
}
