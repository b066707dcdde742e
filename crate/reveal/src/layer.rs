//! Bars and mesh before a window, of which only their openness counts.

use plane::RoomVector;

use crate::error::{RevealError, within};

/// Round bars or wires before the outer wall face, which are seen as an even veil: how much of the light from a direction
/// they let by. They are dark: light that they scatter is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Layer {
    /// Upright bars.
    UprightBars {
        /// Diameter, m.
        diameter_m: f64,
        /// From the middle of one to that of the next, m.
        pitch_m: f64,
    },
    /// Level bars.
    LevelBars {
        /// Diameter, m.
        diameter_m: f64,
        /// From the middle of one to that of the next, m.
        pitch_m: f64,
    },
    /// A square mesh of upright and level wires.
    Mesh {
        /// Diameter of the wires, m.
        wire_m: f64,
        /// From the middle of one to that of the next, m.
        pitch_m: f64,
    },
}

impl Layer {
    /// # Errors
    /// [`RevealError::OutsideRange`], naming `layer.diameter_m` (0 to 1 m) or `layer.pitch_m` (the diameter to 10 m).
    pub fn check(&self) -> Result<(), RevealError> {
        let (diameter, pitch) = self.measures();
        within("layer.diameter_m", diameter, 0.0..=1.0, "metres from 0 to 1")?;
        within("layer.pitch_m", pitch, diameter.max(1e-4)..=10.0, "metres from the diameter to 10")?;
        Ok(())
    }

    /// Share of the light from a direction outside, a unit vector, that passes: 0 to 1. Scale what is seen of the outside
    /// by it.
    ///
    /// # Source
    /// Own derivation. Across the bars, a beam at the angle ψ from the wall's normal sees them pitch·cos ψ apart and their
    /// diameter wide, so that 1 − diameter/(pitch·cos ψ) is free, or nothing. Two sets of stripes that cross cover shares
    /// independently of one another, whatever their angle, so that the mesh passes the product.
    pub fn openness(&self, toward: RoomVector) -> f64 {
        let (diameter, pitch) = self.measures();
        let [x, y, z] = toward.to_array();
        let past = |sideways: f64| {
            let cosine = -z / z.hypot(sideways);
            if cosine > 0.0 { (1.0 - diameter / (pitch * cosine)).clamp(0.0, 1.0) } else { 0.0 }
        };
        match self {
            Self::UprightBars { .. } => past(x),
            Self::LevelBars { .. } => past(y),
            Self::Mesh { .. } => past(x) * past(y),
        }
    }

    fn measures(&self) -> (f64, f64) {
        match *self {
            Self::UprightBars { diameter_m, pitch_m } | Self::LevelBars { diameter_m, pitch_m } => {
                (diameter_m, pitch_m)
            }
            Self::Mesh { wire_m, pitch_m } => (wire_m, pitch_m),
        }
    }
}
