//! Two divisions of one opening: light is exchanged among few patches, and the fine ones gather it.
//!
//! Solving for hundreds of patches takes the cube of their number; what reaches a patch after its first reflection is
//! smooth enough for a few dozen. A fine patch sends ρ · (what it receives from elsewhere + Σ F · what the few send).

use plane::RoomVector;

use crate::inner::{Leaving, leaving};
use crate::opening::Opening;
use crate::outer::{OuterResponse, seen_outside};
use crate::space::{clip, form_factor, seen_from};
use crate::tube::{Face, Tube};

impl Opening {
    /// Area of each patch of the outer reveal, the overhang's after them, and what it belongs to.
    pub fn outer_surfaces(&self) -> Vec<(f64, Face)> {
        self.outer_faces()
    }

    /// The same of the inner reveal.
    pub fn inner_surfaces(&self) -> Vec<(f64, Face)> {
        self.inner.patches.iter().map(|p| (p.area_m2, p.face)).collect()
    }

    /// As [`crate::OuterSides::response`], without the exchange of light among the patches.
    pub fn outer_response(&self, directions: &[RoomVector]) -> OuterResponse {
        OuterResponse::new(&seen_outside(self), directions)
    }

    /// As [`crate::InnerSides::leaving`] of every patch, without the exchange.
    pub fn inner_leaving(&self) -> Vec<Vec<Leaving>> {
        leaving(&self.inner)
    }

    /// Form factors of this opening's outer patches from each of the outer patches of `fine`, which is the same opening in
    /// single facets, row by row. Of the overhang, which both divide alike, only what the reveal sees of it: its own rows
    /// are 0.
    pub fn outer_seen_by(&self, fine: &Opening) -> Vec<f64> {
        let (columns, reveal) = (self.outer_patches(), self.outer.patches.len());
        let mut factors = vec![0.0; fine.outer_patches() * columns];
        for (row, receiver) in factors.chunks_exact_mut(columns.max(1)).zip(&fine.outer.facets) {
            gather(&self.outer, receiver, row);
            for (i, over) in self.canopy.iter().flat_map(|c| c.facets.iter().enumerate()) {
                row[reveal + i] = self.canopy_factor(receiver.middle, receiver.normal, over);
            }
        }
        factors
    }

    /// The same of the inner reveals.
    pub fn inner_seen_by(&self, fine: &Opening) -> Vec<f64> {
        let columns = self.inner.patches.len();
        let mut factors = vec![0.0; fine.inner.patches.len() * columns];
        for (row, receiver) in factors.chunks_exact_mut(columns.max(1)).zip(&fine.inner.facets) {
            gather(&self.inner, receiver, row);
        }
        factors
    }
}

/// Form factors of the patches of a tube from a facet of another division of it.
fn gather(tube: &Tube, receiver: &crate::facets::Facet, row: &mut [f64]) {
    if tube.convex {
        for quad in tube.quads.iter().filter(|q| q.side != receiver.side) {
            row[quad.patch] += form_factor(receiver.normal, &seen_from(receiver.middle, &quad.corners));
        }
        return;
    }
    for (sender, &patch) in tube.facets.iter().zip(&tube.patch_of).filter(|(s, _)| s.side != receiver.side) {
        let faces = receiver.normal.dot(sender.middle - receiver.middle) > 0.0
            && sender.normal.dot(receiver.middle - sender.middle) > 0.0;
        if faces && tube.clear(receiver.middle, sender.middle) {
            let ahead = clip(&seen_from(receiver.middle, &sender.corners), receiver.normal);
            row[patch] += form_factor(receiver.normal, &ahead);
        }
    }
}
