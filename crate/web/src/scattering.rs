//! How a layer of a section scatters, as its controls show it.

use glass::Lobe;

use crate::contract::{Agreed, Scattering};

/// How the layer scatters in one of the pieces: the share scattered, and the lobe; and what of it the document states.
pub(crate) struct OfPiece<'a> {
    pub(crate) scatters: f64,
    pub(crate) lobe: Lobe,
    pub(crate) stated: (bool, Option<&'a scene::Lobe>),
}

/// What all pieces agree on; `None` without pieces.
pub(crate) fn agreed(of: &[OfPiece<'_>]) -> Option<Scattering> {
    let first = of.first()?;
    let same = |value: fn(&OfPiece<'_>) -> f64| {
        let first = value(first);
        Agreed(of.iter().all(|one| (value(one) - first).abs() < 1e-12).then_some(first))
    };
    let states =
        |value: fn(&scene::Lobe) -> Option<f64>| of.iter().any(|one| one.stated.1.and_then(value).is_some());
    Some(Scattering {
        scatters: same(|one| one.scatters),
        forwards: same(|one| one.lobe.share),
        half_width_deg: same(|one| one.lobe.half_width_deg),
        usual: [
            !of.iter().any(|one| one.stated.0),
            !states(|lobe| lobe.share),
            !states(|lobe| lobe.half_width_deg),
        ],
    })
}
