//! The bell by which a lobe spreads light around a direction.

use std::f64::consts::TAU;

use glass::{Lobe, normal_below};
use plane::RoomVector;

use crate::beam::Beam;

/// A bell around a direction: density in direction cosines.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bell {
    pub(crate) middle: [f64; 2],
    pub(crate) variance: f64,
}

impl Bell {
    /// Around the sun, for a pane.
    pub(crate) fn new(lobe: Lobe, beam: &Beam) -> Self {
        Self::around([beam.toward[0], beam.toward[1]], lobe)
    }

    /// Around the direction of these direction cosines along the glass.
    pub(crate) fn around(middle: [f64; 2], lobe: Lobe) -> Self {
        Self { middle, variance: lobe.variance() }
    }

    /// Its share per sr of projected solid angle toward a direction.
    pub(crate) fn toward(&self, direction: RoomVector) -> f64 {
        let [x, y] = [0, 1].map(|k| direction[k] - self.middle[k]);
        (-(x * x + y * y) / (2.0 * self.variance)).exp() / (TAU * self.variance)
    }

    /// The factor of it along one axis, so far from its middle; the product of both axes is [`Self::toward`].
    pub(crate) fn along(lobe: Lobe, away: f64) -> f64 {
        let variance = lobe.variance();
        (-away * away / (2.0 * variance)).exp() / (TAU * variance).sqrt()
    }

    /// Share of it within the hemisphere: the bell integrated over strips, each by its own chord.
    pub(crate) fn kept(&self) -> f64 {
        const STRIPS: usize = 64;
        let sd = self.variance.sqrt();
        // Strips no wider than the bell is, and only where it is.
        let [low, high] = [-5.0, 5.0].map(|k: f64| (self.middle[0] + k * sd).clamp(-1.0, 1.0));
        let step = (high - low) / STRIPS as f64;
        (0..STRIPS)
            .map(|k| {
                let x = low + (k as f64 + 0.5) * step;
                let half = (1.0 - x * x).max(0.0).sqrt();
                let along =
                    normal_below((half - self.middle[1]) / sd) - normal_below((-half - self.middle[1]) / sd);
                let across = (x - self.middle[0]) / sd;
                along * (-0.5 * across * across).exp() * step / (sd * TAU.sqrt())
            })
            .sum::<f64>()
            .min(1.0)
    }
}
