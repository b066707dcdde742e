//! What the lobes of a window with depth carry into the room.

use spectra::{Spectrum, luminous};

/// What the lobes of a window with depth carry, lm: as its pieces are lit, and if all were lit as the window in the mean. By
/// sky and ground, by the sun.
#[derive(Clone, Default)]
pub(crate) struct LobeFlux {
    own: [f64; 2],
    mean: [f64; 2],
}

impl LobeFlux {
    /// Adds a piece by the exitance of its lobe, and what that would be in the mean.
    pub(crate) fn add(&mut self, own: &[Spectrum; 2], mean: &[Spectrum; 2], area_m2: f64) {
        for (sums, exitance) in [(&mut self.own, own), (&mut self.mean, mean)] {
            for (sum, exitance) in sums.iter_mut().zip(exitance) {
                *sum += area_m2 * luminous(exitance);
            }
        }
    }

    /// The first over the second.
    pub(crate) fn to_mean(&self) -> [f64; 2] {
        let over = |own: f64, mean: f64| if mean > 0.0 { own / mean } else { 0.0 };
        [over(self.own[0], self.mean[0]), over(self.own[1], self.mean[1])]
    }
}
