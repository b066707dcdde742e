//! Special metamerism index: two pieces that match under one light, seen under another.

use crate::observer::Observer;
use crate::{Spectrum, TristimulusWeights, Xyz, ciede2000, difference_1976};

/// Special metamerism index for a change of illuminant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MetamerismIndex {
    /// As CIE 15 defines it: the 1976 difference ΔE*ab under the test light.
    pub ab: f64,
    /// The same with CIEDE2000.
    pub ciede2000: f64,
}

/// How far two transmittances that match under `reference` differ under `test`.
///
/// If they do not match exactly under the reference light, the second one's tristimulus values under the test light
/// are corrected by the ratio first/second under the reference light (multiplicative correction).
///
/// `None` if one of the lights is no light, or the second piece is black under the reference light in one of X, Y,
/// Z.
///
/// # Source
/// CIE 15:2018 (ISO/CIE 11664 series), with multiplicative correction.
pub fn metamerism_index(
    first: &Spectrum,
    second: &Spectrum,
    reference: &Spectrum,
    test: &Spectrum,
    observer: Observer,
) -> Option<MetamerismIndex> {
    let in_reference = TristimulusWeights::of_transmission(reference, observer);
    let in_test = TristimulusWeights::of_transmission(test, observer);
    let (first_matched, second_matched) = (in_reference.xyz(first), in_reference.xyz(second));
    if !second_matched.to_array().iter().all(|v| *v > 0.0) {
        return None;
    }
    let second_seen = in_test.xyz(second);
    let corrected = Xyz::new(
        second_seen.x * (first_matched.x / second_matched.x),
        second_seen.y * (first_matched.y / second_matched.y),
        second_seen.z * (first_matched.z / second_matched.z),
    );
    let white = Xyz::white(test, observer)?;
    let (a, b) = (in_test.xyz(first).lab(white)?, corrected.lab(white)?);
    let index = MetamerismIndex { ab: difference_1976(a, b), ciede2000: ciede2000(a, b) };
    (index.ab.is_finite() && index.ciede2000.is_finite()).then_some(index)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::illuminant;

    #[test]
    fn identical_pieces_stay_identical_and_darkness_has_no_index() {
        let piece = Spectrum::from_fn(|nm| 0.9 - (nm - 380.0) / 1000.0);
        let (d65, a) = (illuminant::d65(), illuminant::a());
        let index = |first: &Spectrum, second: &Spectrum, test: &Spectrum| {
            metamerism_index(first, second, &d65, test, Observer::Cie1931)
        };
        let same = index(&piece, &piece, &a).unwrap();
        assert!(same.ab < 1e-12 && same.ciede2000 < 1e-12);
        // An additional neutral filter is corrected away.
        assert!(index(&piece, &(piece * 0.97), &a).unwrap().ab < 1e-10);
        assert_eq!(index(&piece, &Spectrum::ZERO, &a), None);
        assert_eq!(index(&piece, &piece, &Spectrum::ZERO), None);
    }
}
