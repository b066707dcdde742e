//! The glasses that a piece could be made of.

use std::sync::Arc;

use glass::{Family, Glass, Kind, Makeup};
use scene::Resolved;
use spectra::Spectrum;
use viewing::SwatchLight;

use crate::contract::{GlassChoice, GlassFamily};
use crate::json::Json;

/// Every glass that the scene can use, with its transmittance at a thickness, ready for any light.
pub(crate) fn glasses_at(resolved: &Resolved, thickness_mm: f64) -> Vec<(Arc<Glass>, Spectrum)> {
    let all = scene::all_glasses(&resolved.scene).into_iter();
    all.map(|glass| (glass.clone(), total_transmittance(&Makeup::single(glass, thickness_mm)))).collect()
}

/// Glasses by family in rack order, each with its colour in this light.
pub(crate) fn glasses(all: &[(Arc<Glass>, Spectrum)], light: &SwatchLight) -> Json<Vec<GlassFamily>> {
    let choice = |(glass, through): &(Arc<Glass>, Spectrum)| GlassChoice {
        id: glass.id.clone(),
        name: glass.name.clone(),
        provenance: glass.provenance.name(),
        kind: kind_in_words(glass),
        swatch: light.css(through),
        transmittance_y: light.luminous_transmittance(through),
    };
    let of_family = |family: Family| -> Vec<GlassChoice> {
        all.iter().filter(|(glass, _)| glass.family == family).map(choice).collect()
    };
    let families = Family::ALL
        .into_iter()
        .map(|family| GlassFamily { family: family.name(), glasses: of_family(family) });
    Json(families.filter(|family| !family.glasses.is_empty()).collect())
}

/// The kind of sheet, in a word; empty for plain glass coloured throughout.
pub(crate) fn kind_in_words(glass: &Glass) -> &'static str {
    match glass.kind {
        _ if glass.flash.is_some() => "flashed",
        Kind::Clear => "",
        other => other.name(),
    }
}

/// Total transmittance at normal incidence, regular and diffuse.
pub(crate) fn total_transmittance(makeup: &Makeup) -> Spectrum {
    let optics = makeup.optics(0.0);
    optics.regular_transmittance + optics.diffuse_transmittance
}
