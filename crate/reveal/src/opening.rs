//! An opening in a thick wall: its glass, the reveals before and behind it and what stands out over it.

use plane::{RoomPoint, RoomVector, WallPoint};

use crate::error::RevealError;
use crate::facets::Facet;
use crate::outline::Outline;
use crate::overhang::{Canopy, Overhang};
use crate::space::{clip, form_factor, seen_from, through};
use crate::splay::{INNER, OUTER, Reveal, face};
use crate::tube::{Face, Patches, Tube};

/// What there is around the glass. By default nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Depths {
    /// From the glass to the outer wall face.
    pub outer: Reveal,
    /// From the glass to the inner wall face.
    pub inner: Reveal,
    /// Over the opening, outside.
    pub overhang: Option<Overhang>,
}

/// An opening and its reveals: geometry only. The patches of the outer reveal are numbered from 0, those of the overhang
/// after them; the patches of the inner reveal from 0 again.
#[derive(Clone, Debug)]
pub struct Opening {
    pub(crate) outline: Outline,
    pub(crate) outer: Tube,
    pub(crate) inner: Tube,
    pub(crate) canopy: Option<Canopy>,
    /// Depth of an outer reveal square to the wall, without an overhang.
    pub(crate) straight_m: Option<f64>,
}

/// What a ray from the glass meets first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Nothing of the opening: outside, or the room.
    Open,
    /// A patch, by its number.
    Patch(usize),
}

/// Out of the glass, toward the light.
pub(crate) const OUTWARD: RoomVector = RoomVector::new(0.0, 0.0, -1.0);

impl Opening {
    /// # Errors
    /// [`RevealError::OutsideRange`], naming the measurement; [`RevealError::Splay`] for an outline with notches whose sides
    /// would run into each other.
    pub fn new(outline: Outline, depths: &Depths, patches: Patches) -> Result<Self, RevealError> {
        let outer_face = face(&outline, &depths.outer, -depths.outer.depth_m, &OUTER)?;
        let inner_face = face(&outline, &depths.inner, depths.inner.depth_m, &INNER)?;
        let canopy = depths.overhang.as_ref().map(|o| Canopy::new(o, &outer_face)).transpose()?;
        let straight = Reveal::straight(depths.outer.depth_m) == depths.outer && canopy.is_none();
        let (convex, glass) = (outline.is_convex(), ring_at(&outline, 0.0));
        Ok(Self {
            outer: Tube::new(outer_face, glass.clone(), convex, patches),
            inner: Tube::new(glass, inner_face, convex, patches),
            canopy,
            straight_m: straight.then_some(depths.outer.depth_m),
            outline,
        })
    }

    /// The outline at the glass.
    pub fn outline(&self) -> &Outline {
        &self.outline
    }

    /// The opening in the outer wall face.
    pub fn outer_face(&self) -> Vec<WallPoint> {
        flat(&self.outer.far)
    }

    /// The opening in the inner wall face.
    pub fn inner_face(&self) -> Vec<WallPoint> {
        flat(&self.inner.near)
    }

    /// What a ray from a point of the glass outward meets: a patch of the outer reveal or the overhang, or nothing.
    pub fn outward(&self, point: WallPoint, toward: RoomVector) -> Way {
        let from = RoomPoint::new(point.x(), point.y(), 0.0);
        if toward[2] >= 0.0 {
            return Way::Open;
        }
        if let Some(patch) = self.outer.hit(from, toward) {
            return Way::Patch(patch);
        }
        let over = self.canopy.as_ref().and_then(|c| c.hit(from, toward));
        over.map_or(Way::Open, |patch| Way::Patch(self.outer.patches.len() + patch))
    }

    /// What a ray from a point of the glass inward meets: a patch of the inner reveal, or nothing before the room.
    pub fn inward(&self, point: WallPoint, along: RoomVector) -> Way {
        let from = RoomPoint::new(point.x(), point.y(), 0.0);
        if along[2] <= 0.0 {
            return Way::Open;
        }
        self.inner.hit(from, along).map_or(Way::Open, Way::Patch)
    }

    /// Form factor of each outer patch from a point of the glass: illuminance for each unit that the patch sends per area.
    pub fn outer_factors(&self, point: WallPoint) -> Vec<f64> {
        let at = RoomPoint::new(point.x(), point.y(), 0.0);
        let mut factors = vec![0.0; self.outer_patches()];
        let tube = &self.outer;
        if tube.convex {
            for quad in &tube.quads {
                factors[quad.patch] += form_factor(OUTWARD, &seen_from(at, &quad.corners));
            }
        } else {
            for (facet, &patch) in tube.facets.iter().zip(&tube.patch_of) {
                if facet.normal.dot(at - facet.middle) > 0.0 && tube.clear(at, facet.middle) {
                    factors[patch] += form_factor(OUTWARD, &seen_from(at, &facet.corners));
                }
            }
        }
        for (i, facet) in self.canopy.iter().flat_map(|c| c.facets.iter().enumerate()) {
            factors[tube.patches.len() + i] = self.canopy_factor(at, OUTWARD, facet);
        }
        factors
    }

    /// Form factor of a facet of the overhang from a point within the outer reveal.
    pub(crate) fn canopy_factor(&self, at: RoomPoint, normal: RoomVector, facet: &Facet) -> f64 {
        let tube = &self.outer;
        let mut seen = seen_from(at, &facet.corners);
        if !tube.sides.is_empty() {
            if tube.convex {
                seen = through(&seen, &seen_from(at, &tube.far));
            } else if tube.hit(at, facet.middle - at).is_some() {
                return 0.0;
            }
        }
        form_factor(normal, &clip(&seen, normal))
    }

    pub(crate) fn outer_patches(&self) -> usize {
        self.outer.patches.len() + self.canopy.as_ref().map_or(0, |c| c.facets.len())
    }

    /// Area and kind of each outer patch, the overhang's after the reveal's.
    pub(crate) fn outer_faces(&self) -> Vec<(f64, Face)> {
        let of_canopy = self.canopy.iter().flat_map(|c| c.facets.iter().map(|f| (f.area_m2, Face::Overhang)));
        self.outer.patches.iter().map(|p| (p.area_m2, p.face)).chain(of_canopy).collect()
    }
}

fn flat(ring: &[RoomPoint]) -> Vec<WallPoint> {
    ring.iter().map(|p| WallPoint::new(p[0], p[1])).collect()
}

/// The outline in a plane z.
pub(crate) fn ring_at(outline: &Outline, z: f64) -> Vec<RoomPoint> {
    outline.corners().iter().map(|c| RoomPoint::new(c.x(), c.y(), z)).collect()
}
