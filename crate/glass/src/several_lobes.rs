//! The lobe of several scatterers one behind the other.

use crate::lobe::Lobe;
use crate::parts::Part;

/// Sample at 560 nm.
const AT_560_NM: usize = 36;
/// Largest ratio of scattered to regular light that is told from larger ones.
const MOST: f64 = 1e6;

/// The lobe of the light that all parts together scatter.
pub(crate) fn of_parts(parts: &[Part]) -> Lobe {
    // Products over the scatterers of 1 + what each adds to the regular light that passes it.
    let (mut forward, mut all, mut spread) = (1.0, 1.0, 0.0);
    for part in parts {
        let (ratio, lobe) = part.scattered_to_regular(AT_560_NM);
        let ratio = if ratio < MOST { ratio } else { MOST };
        let share = if lobe.share > 0.0 { lobe.share.min(1.0) } else { 0.0 };
        let into = ratio * share;
        forward *= 1.0 + into;
        all *= 1.0 + ratio;
        spread += lobe.variance() * into / (1.0 + into);
    }
    let gained = forward - 1.0;
    if gained > 1e-12 {
        // Of all ways through, those that this scatterer turned weigh into·Π(1 + the others).
        Lobe::of((gained / (all - 1.0)).min(1.0), spread * forward / gained)
    } else {
        Lobe::NONE
    }
}
