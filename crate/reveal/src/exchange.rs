//! The exchange of light among the patches of reveals.

use plane::RoomPoint;

use crate::light::Light;
use crate::patches::Patch;
use crate::space::{clip, form_factor, seen_from, through};

/// Form factors between patches.
#[derive(Clone, Debug)]
pub(crate) struct Exchange {
    /// By receiving patch, then by sending one: light that the first receives for each that the second sends.
    factors: Vec<f64>,
    patches: usize,
    sweeps: usize,
}

/// Light that is still on its way when the exchange ends, of each that the sides receive.
const REMAINDER: f64 = 1e-6;
/// The most sweeps; as many are needed only by a shaft many times as deep as wide, with white sides.
const MOST_SWEEPS: usize = 500;

impl Exchange {
    /// Cells are convex, so that within one nothing hides anything; from one to the other the light passes `gate`.
    pub(crate) fn among(patches: &[Patch], gate: &[RoomPoint]) -> Self {
        let n = patches.len();
        let mut factors = vec![0.0; n * n];
        let mut most = 0.0_f64;
        for (receiver, row) in patches.iter().zip(factors.chunks_exact_mut(n.max(1))) {
            let gate = seen_from(receiver.middle, gate);
            for (sender, factor) in patches.iter().zip(row.iter_mut()) {
                let same_cell = sender.cell == receiver.cell;
                if same_cell && sender.side == receiver.side {
                    continue;
                }
                let seen = seen_from(receiver.middle, &sender.corners);
                *factor = if same_cell {
                    form_factor(receiver.normal, &seen)
                } else {
                    form_factor(receiver.normal, &clip(&through(&seen, &gate), receiver.normal))
                };
            }
            most = most.max(row.iter().sum());
        }
        let sweeps = if most > 0.0 { (REMAINDER.ln() / most.min(0.9999).ln()).ceil() } else { 1.0 };
        Self { factors, patches: n, sweeps: (sweeps as usize).clamp(1, MOST_SWEEPS) }
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
}
