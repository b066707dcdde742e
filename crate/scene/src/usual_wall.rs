//! What the wall around a window begins with, until somebody measures it.

use crate::document::{Guard, Overhang, Reveal, Splay};

/// How far the leaves of leads stand out from the glass, mm. Our assumption, between the thin edge of a round lead and the
/// flat one's.
pub const USUAL_LEAF_MM: f64 = 1.0;

/// A reveal to begin with, outer or inner: square sides, a hand's length deep. Our assumption.
pub fn usual_reveal() -> Reveal {
    Reveal { depth_m: 0.2, splay_deg: Splay::default(), reflectance: None, sill_reflectance: None }
}

/// An overhang to begin with: it reaches a little past the window on both sides. Our assumption.
///
/// `width_m`: of the sight size.
pub fn usual_overhang(width_m: f64) -> Overhang {
    let width_m = ((width_m + 0.4) * 10.0).round() / 10.0;
    Overhang { depth_m: 0.5, above_m: 0.1, width_m, reflectance: None }
}

/// Guards to begin with, one of each kind: bars of a window grille, and the woven wire that guards leaded glass.
/// Common practice, no source.
pub const fn usual_guards() -> [Guard; 3] {
    [
        Guard::UprightBars { diameter_mm: 12.0, pitch_mm: 120.0 },
        Guard::LevelBars { diameter_mm: 12.0, pitch_mm: 120.0 },
        Guard::Mesh { wire_mm: 1.6, pitch_mm: 12.0 },
    ]
}
