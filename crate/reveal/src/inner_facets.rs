//! The fine patches of an inner reveal one by one, for callers that find the light on them themselves.

use plane::{RoomPoint, RoomVector};

use crate::exchange::factors_to_end;
use crate::opening::Opening;
use crate::tube::Face;

/// A fine patch of an inner reveal; the frame is that of the opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InnerFacet {
    /// Of the outline's edges, the one on which its side stands.
    pub side: usize,
    /// Where it lies on the side: along the edge, and counted from the glass.
    pub place: [usize; 2],
    /// How many there are on the side, along and deep.
    pub of: [usize; 2],
    /// Its middle.
    pub middle: RoomPoint,
    /// Unit vector into the opening.
    pub normal: RoomVector,
    /// Its area, m².
    pub area_m2: f64,
    /// What it belongs to.
    pub face: Face,
}

impl Opening {
    /// The fine patches of the inner reveal in their order; empty without one. For [`crate::Patches::Fine`].
    pub fn inner_facets(&self) -> Vec<InnerFacet> {
        let tube = &self.inner;
        let mut of = vec![[0; 2]; tube.far.len()];
        for facet in &tube.facets {
            for (most, place) in of[facet.side].iter_mut().zip(facet.place) {
                *most = (*most).max(place + 1);
            }
        }
        let facets = tube.facets.iter().zip(&tube.patch_of);
        facets
            .map(|(facet, &patch)| InnerFacet {
                side: facet.side,
                place: facet.place,
                of: of[facet.side],
                middle: facet.middle,
                normal: facet.normal,
                area_m2: facet.area_m2,
                face: tube.patches[patch].face,
            })
            .collect()
    }

    /// Share of what each patch of the inner reveal sends that enters the room, without the exchange among them; which is
    /// also the share of the room's even light that each receives.
    pub fn inner_to_room(&self) -> Vec<f64> {
        factors_to_end(&self.inner, &self.inner.near)
    }

    /// The patch of this opening's inner reveal in which each fine patch of `fine` lies, which is the same opening.
    pub fn inner_around(&self, fine: &Opening) -> Vec<usize> {
        let facets = fine.inner.facets.iter();
        // From a little before it.
        let before = |f: &crate::facets::Facet| f.middle + f.normal * (1e-3 * f.area_m2.sqrt());
        facets.map(|f| self.inner.hit(before(f), -f.normal).unwrap_or(0)).collect()
    }
}

#[cfg(test)]
mod tests {
    use plane::WallPoint;

    use crate::opening::{Depths, Opening};
    use crate::outline::Outline;
    use crate::splay::Reveal;
    use crate::tube::Patches;

    #[test]
    fn every_fine_patch_lies_in_one_of_the_few_on_its_side() {
        let ring = [[0.0, 0.0], [0.4, 0.0], [0.4, 1.0], [0.2, 1.4], [0.0, 1.0]].map(WallPoint::from);
        let depths = Depths {
            inner: Reveal { depth_m: 0.4, jamb_deg: 30.0, head_deg: 10.0, sill_deg: 40.0 },
            ..Depths::default()
        };
        let [fine, few] = [Patches::Fine, Patches::Few]
            .map(|patches| Opening::new(Outline::ring(&ring).unwrap(), &depths, patches).unwrap());
        let facets = fine.inner_facets();
        let mut area = vec![0.0; few.inner_surfaces().len()];
        for (facet, around) in facets.iter().zip(few.inner_around(&fine)) {
            assert_eq!(facet.face, few.inner_surfaces()[around].1);
            assert!(facet.place[0] < facet.of[0] && facet.place[1] < facet.of[1]);
            area[around] += facet.area_m2;
        }
        let on_first: Vec<_> = facets.iter().filter(|f| f.side == 0).collect();
        assert_eq!(on_first.len(), on_first[0].of[0] * on_first[0].of[1]);
        for (found, (expected, _)) in area.iter().zip(few.inner_surfaces()) {
            // Both divide a side evenly, but not alike.
            assert!((found / expected - 1.0).abs() < 0.5, "{found} {expected}");
        }
        let to_room = fine.inner_to_room();
        assert!(to_room.iter().all(|f| (0.0..1.0).contains(f)) && to_room.iter().any(|f| *f > 0.3));
    }
}
