//! The lobe of several scatterers one behind the other.

use crate::lobe::Lobe;

/// Largest ratio of scattered to regular light that is told from larger ones.
const MOST: f64 = 1e6;

/// Something in a piece that scatters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scatterer {
    /// The glass of a plate, by its place among [`Makeup::plates`](crate::Makeup::plates).
    Plate(usize),
    /// A paint, by its place among [`Makeup::paints`](crate::Makeup::paints).
    Paint(usize),
    /// Dirt or corrosion on the protective pane, on the weather face, on the room face: 0, 1, 2.
    Dirt(usize),
    /// The protective pane.
    Protective,
}

/// How much it scatters, along the normal at 560 nm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scattering {
    /// What scatters.
    pub of: Scatterer,
    /// Light scattered onward relative to light passed regularly.
    pub to_regular: f64,
    /// Its own lobe.
    pub lobe: Lobe,
}

impl Lobe {
    /// The lobe of the light that all scatterers of a piece together scatter.
    pub fn of_several(scatterers: &[Scattering]) -> Self {
        // Products over the scatterers of 1 + what each adds to the regular light that passes it.
        let (mut forward, mut all, mut spread) = (1.0, 1.0, 0.0);
        for Scattering { to_regular, lobe, .. } in scatterers {
            let ratio = if *to_regular < MOST { *to_regular } else { MOST };
            let share = if lobe.share > 0.0 { lobe.share.min(1.0) } else { 0.0 };
            let into = ratio * share;
            forward *= 1.0 + into;
            all *= 1.0 + ratio;
            spread += lobe.variance() * into / (1.0 + into);
        }
        let gained = forward - 1.0;
        if gained > 1e-12 {
            // Of all ways through, those that this scatterer turned weigh into·Π(1 + the others).
            Self::of((gained / (all - 1.0)).min(1.0), spread * forward / gained)
        } else {
            Self::NONE
        }
    }
}
