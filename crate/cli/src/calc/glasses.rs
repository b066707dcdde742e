//! Glass: stacks of panes, recipes, the library.

use std::ops::RangeInclusive;

use glass::{Absorbance, Layer, Makeup, stack_scalar, streak_mean_internal};
use serde_json::Value;
use spectra::{Observer, SAMPLES, Spectrum, Xyz};

use super::answer::Answer;
use super::colours::light;
use super::fields::{Amount, Fault, Fields};

const ANGLE: &str = "an angle of incidence from 0 up to, but not including, 90 degrees";
/// Largest angle below 90°.
const GRAZING: f64 = 90.0 - 1e-9;

/// `stack`: the regular beam through plane layers, outside first.
pub(super) fn stack(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let angle = fields.number_in("angle_deg", 0.0..=GRAZING, ANGLE)?;
    let mut layers = Vec::new();
    for (path, value) in fields.list("layers", "layers {n, tau_internal}")? {
        let layer = Fields::of(&path, value)?;
        let n = layer.amount_in("n", 1.0..=100.0, "a refractive index of at least 1")?;
        let tau = layer.amount_in("tau_internal", 0.0..=1.0, "an internal transmittance from 0 to 1")?;
        layer.finish()?;
        layers.push((n, tau));
    }
    fields.finish()?;
    let plain = layers.iter().all(|(n, tau)| n.is_number() && tau.is_number());
    let layers: Vec<_> = layers.iter().map(|(n, tau)| (n.spectrum(), tau.spectrum())).collect();
    let (mut transmittance, mut reflectance) = (Spectrum::ZERO, Spectrum::ZERO);
    for sample in 0..if plain { 1 } else { SAMPLES } {
        let here: Vec<_> = layers.iter().map(|(n, tau)| (n[sample], tau[sample])).collect();
        let optics = stack_scalar(&here, angle).map_err(Fault::refused)?;
        transmittance[sample] = optics.transmittance;
        reflectance[sample] = optics.reflectance_outside;
    }
    Answer::default()
        .with("transmittance", Amount::like_inputs(&transmittance, plain))?
        .with("reflectance", Amount::like_inputs(&reflectance, plain))
}

/// `recipe`: a glass of colourants. `internal` is along the normal, `transmittance` of the whole pane at the angle.
pub(super) fn recipe(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let amounts = fields.numbers_by_name("amounts")?;
    let thickness = fields.number("thickness_mm")?;
    let n = fields.number_in("n", 1.0..=100.0, "a refractive index of at least 1")?;
    let angle = fields.number_in("angle_deg", 0.0..=GRAZING, ANGLE)?;
    fields.finish()?;
    let internal = glass::recipe_internal(&amounts, thickness).map_err(Fault::refused)?;
    let optics = glass::stack(&[Layer { n, tau_internal: internal }], angle).map_err(Fault::refused)?;
    Answer::default().with("internal", internal)?.with("transmittance", optics.transmittance)
}

/// `glass`: a glass of the library. `transmittance` is the total at the angle, regular and diffuse; `internal` is along
/// the normal. Of a glass that scatters, also the share that it scatters, the share of that which stays in a forward lobe,
/// and the lobe's half width.
pub(super) fn glass(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let id = fields.text("id")?;
    let thickness = fields.number_in("thickness_mm", 0.0..=100.0, "millimetres from 0 to 100")?;
    let angle = fields.number_in("angle_deg", 0.0..=GRAZING, ANGLE)?;
    fields.finish()?;
    let Some(found) = glass::find(id) else {
        let known: Vec<&str> = glass::library().iter().map(|g| g.id.as_str()).collect();
        let expected = format!("a glass of the library ({})", known.join(", "));
        return Err(Fault::wrong(fields.path("id"), expected, format!("\"{id}\"")));
    };
    let makeup = Makeup::single(found.clone(), thickness);
    let optics = makeup.optics(angle);
    let answer = Answer::default()
        .with("transmittance", optics.regular_transmittance + optics.diffuse_transmittance)?
        .with("internal", found.internal(thickness))?
        .with("provenance", found.provenance.name())?;
    let diffuse = found.diffuse;
    if diffuse.share <= 0.0 {
        return Ok(answer);
    }
    let answer = answer.with("scatters", diffuse.share)?.with("lobe_share", diffuse.lobe.share)?;
    if diffuse.lobe.share <= 0.0 {
        return Ok(answer);
    }
    answer.with("lobe_half_width_deg", diffuse.lobe.half_width_deg)?.with("lobe_origin", "assumption")
}

/// Absorbances per mm that a glass may have.
pub(super) const ABSORBANCE: RangeInclusive<f64> = 0.0..=1e6;
pub(super) const ABSORBANCE_WORDS: &str = "absorbances per mm, base 10, from 0 to 1000000";

/// Absorbances by name.
pub(super) const SPECTRA: &str = "absorbance_per_mm_base10";

/// The spectrum of a name.
pub(super) fn known(path: &str, spectra: &[(&str, Spectrum)], name: &str) -> Result<Spectrum, Fault> {
    spectra.iter().find(|(known, _)| *known == name).map(|(_, spectrum)| *spectrum).ok_or_else(|| {
        let names: Vec<&str> = spectra.iter().map(|(known, _)| *known).collect();
        Fault::wrong(path, format!("a name in {SPECTRA} ({})", names.join(", ")), format!("\"{name}\""))
    })
}

/// `streak`: the colour of a streaky piece in a light, from the mean internal transmittance of two glasses mixed in
/// shares that are normally distributed over its area. Y = 100 for a clear piece.
pub(super) fn streak(fields: &Fields<'_>) -> Result<Answer, Fault> {
    fields.leave_unread(&[
        "name",
        "clipped_mix_mean",
        "XYZ_mean_of_T",
        "XYZ_T_of_mix_mean",
        "XYZ_T_of_clipped_mix_mean",
        "Y_ratio",
        "delta_uv_prime",
    ]);
    let named = match fields.optional(SPECTRA) {
        Some(_) => fields.spectra_by_name(SPECTRA, &ABSORBANCE, ABSORBANCE_WORDS)?,
        None => Vec::new(),
    };
    let absorbance = |key| match fields.optional(key).and_then(Value::as_str) {
        Some(name) => known(&fields.path(key), &named, name),
        None => fields.spectrum_in(key, &ABSORBANCE, ABSORBANCE_WORDS),
    };
    let (first, second) = (absorbance("first")?, absorbance("second")?);
    let thickness = fields.number_in("thickness_mm", 0.0..=1000.0, "millimetres from 0 to 1000")?;
    let mean = fields.number_in("mix_mean", 0.0..=1.0, "the mean share of the second glass, from 0 to 1")?;
    let sd = fields.number_in("mix_sd", 0.0..=100.0, "the standard deviation of the share, from 0 to 100")?;
    let light = light(fields)?;
    fields.finish()?;
    let [first, second] = [first, second].map(Absorbance::per_mm);
    let internal = streak_mean_internal(&first, &second, thickness, mean, sd);
    let xyz = Xyz::of_transmission(&internal, &light, Observer::Cie1931);
    Answer::default().with("XYZ_mean_of_T", xyz.to_array())
}
