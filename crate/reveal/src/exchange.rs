//! The exchange of light among the patches of reveals.

use plane::RoomPoint;

use crate::light::{Light, weighted_sum};
use crate::outside_seen::end_factor;
use crate::space::{clip, form_factor, seen_from};
use crate::tube::Tube;

/// Form factors between patches.
#[derive(Clone, Debug)]
pub(crate) struct Exchange {
    /// By receiving patch, then by sending one: light that the first receives for each that the second sends; which is
    /// also the share of what the first sends that reaches the second.
    factors: Vec<f64>,
    patches: usize,
    sweeps: usize,
}

/// Light that is still on its way when the exchange ends, of each that the sides receive.
const REMAINDER: f64 = 1e-6;
/// The most sweeps; as many are needed only by a shaft many times as deep as wide, with white sides.
const MOST_SWEEPS: usize = 500;

impl Exchange {
    /// Of a square matrix by receiving and sending patch.
    pub(crate) fn new(factors: Vec<f64>, patches: usize) -> Self {
        let rows = factors.chunks_exact(patches.max(1)).map(|row| row.iter().sum());
        let most = rows.fold(0.0, f64::max);
        let sweeps = if most > 0.0 { (REMAINDER.ln() / most.min(0.9999).ln()).ceil() } else { 1.0 };
        Self { factors, patches, sweeps: (sweeps as usize).clamp(1, MOST_SWEEPS) }
    }

    /// Light that each patch sends per area, from what each receives from elsewhere and its reflectance.
    pub(crate) fn exitance<V: Light>(&self, received: &[V], reflectance: impl Fn(usize) -> V) -> Vec<V> {
        let mut sent: Vec<V> = received.iter().enumerate().map(|(i, &e)| e * reflectance(i)).collect();
        for _ in 0..self.sweeps {
            for i in 0..self.patches {
                let mut light = received[i];
                for (&m, &factor) in sent.iter().zip(&self.factors[i * self.patches..]) {
                    light += m * factor;
                }
                sent[i] = light * reflectance(i);
            }
        }
        sent
    }

    /// What a patch gathers from all others.
    pub(crate) fn gathered<V: Light>(&self, receiver: usize, sent: &[V]) -> V {
        let row = &self.factors[receiver * self.patches..(receiver + 1) * self.patches];
        weighted_sum(sent.iter().copied().zip(row.iter().copied()))
    }
}

/// Form factors among the patches of a tube, receiver by receiver, in rows of `width`. Each facet of the receiving patch
/// counts by its area, from its middle. In a convex tube nothing hides anything, and flat parts are exact; in any other,
/// each facet is seen or not by whether its middle is.
pub(crate) fn add_factors(tube: &Tube, factors: &mut [f64], width: usize) {
    for (receiver, &g) in tube.facets.iter().zip(&tube.patch_of) {
        let share = receiver.area_m2 / tube.patches[g].area_m2;
        let row = &mut factors[g * width..(g + 1) * width];
        if tube.convex {
            for quad in tube.quads.iter().filter(|q| q.side != receiver.side) {
                row[quad.patch] +=
                    share * form_factor(receiver.normal, &seen_from(receiver.middle, &quad.corners));
            }
            continue;
        }
        for (sender, &h) in tube.facets.iter().zip(&tube.patch_of).filter(|(s, _)| s.side != receiver.side) {
            let seen = seen_from(receiver.middle, &sender.corners);
            let faces = receiver.normal.dot(sender.middle - receiver.middle) > 0.0
                && sender.normal.dot(receiver.middle - sender.middle) > 0.0;
            if faces && tube.clear(receiver.middle, sender.middle) {
                let ahead = clip(&seen, receiver.normal);
                row[h] += share * form_factor(receiver.normal, &ahead);
            }
        }
    }
}

/// Form factor of a flat end of a tube, which is either of its rings, from each patch.
pub(crate) fn factors_to_end(tube: &Tube, end: &[RoomPoint]) -> Vec<f64> {
    let mut factors = vec![0.0; tube.patches.len()];
    for (facet, &g) in tube.facets.iter().zip(&tube.patch_of) {
        let share = facet.area_m2 / tube.patches[g].area_m2;
        factors[g] += share * end_factor(tube, facet, end);
    }
    factors
}
