//! Colour: of light through glass, differences, adaptation, rendering, spread in the eye.

use spectra::{
    Lab, Observer, RenderingError, Spectrum, Xyz, ciede2000, colour_rendering, glare_spread, illuminant,
};

use super::answer::Answer;
use super::fields::{Fault, Fields, describe};

/// `colour`: a transmittance (or reflectance) in a light. Y = 100 for a clear piece. Dominant wavelength and purity are
/// relative to the light; purples get the negative complementary wavelength. Temperature and Duv are always for the 2°
/// observer, for which they are defined.
pub(super) fn colour(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let spectrum = fields.spectrum("spectrum")?;
    let light = light(fields)?;
    let observer = match fields.number("observer")? {
        v if (v - 2.0).abs() < 1e-9 => Observer::Cie1931,
        v if (v - 10.0).abs() < 1e-9 => Observer::Cie1964,
        v => return Err(Fault::wrong(fields.path("observer"), "2 or 10", v.to_string())),
    };
    fields.finish()?;
    let xyz = Xyz::of_transmission(&spectrum, &light, observer);
    let white = Xyz::white(&light, observer);
    let xy = xyz.chromaticity();
    let uv = xyz.u_prime_v_prime();
    let lab = white.and_then(|w| xyz.lab(w));
    let dominant =
        xy.zip(white.and_then(Xyz::chromaticity)).and_then(|(xy, white)| xy.dominant(white, observer));
    let temperature = Xyz::of_transmission(&spectrum, &light, Observer::Cie1931).cct_duv();
    Answer::default()
        .with("X", xyz.x)?
        .with("Y", xyz.y)?
        .with("Z", xyz.z)?
        .with("x", xy.map(|c| c.x))?
        .with("y", xy.map(|c| c.y))?
        .with("u_prime", uv.map(|c| c.u))?
        .with("v_prime", uv.map(|c| c.v))?
        .with("L", lab.map(|c| c.l))?
        .with("a", lab.map(|c| c.a))?
        .with("b", lab.map(|c| c.b))?
        .with("cct_k", temperature.map(|t| t.cct_k))?
        .with("duv", temperature.map(|t| t.duv))?
        .with("dominant_nm", dominant.map(|d| d.wavelength_nm))?
        .with("excitation_purity", dominant.map(|d| d.excitation_purity))
}

const ILLUMINANTS: &str =
    "A, C, D50, D55, D65, D75, E, {\"cct\": kelvin from 4000 to 25000} or {\"spd\": 81 numbers}";

/// The field `illuminant`.
pub(super) fn light(fields: &Fields<'_>) -> Result<Spectrum, Fault> {
    let path = fields.path("illuminant");
    let wrong = |found: String| Fault::wrong(&path, ILLUMINANTS, found);
    let value = fields.required("illuminant", ILLUMINANTS)?;
    if let Some(name) = value.as_str() {
        return Ok(match name {
            "A" => illuminant::a(),
            "C" => illuminant::c(),
            "D50" => illuminant::d50(),
            "D55" => illuminant::d55(),
            "D65" => illuminant::d65(),
            "D75" => illuminant::d75(),
            "E" => illuminant::e(),
            _ => return Err(wrong(format!("\"{name}\""))),
        });
    }
    if !value.is_object() {
        return Err(wrong(describe(value)));
    }
    let own = Fields::of(&path, value)?;
    let light = if own.optional("cct").is_some() {
        illuminant::daylight(own.number("cct")?).map_err(|e| Fault::refused(format!("{path}.cct: {e}")))?
    } else if own.optional("spd").is_some() {
        let spd = own.spectrum("spd")?;
        illuminant::check(&spd).map_err(|e| Fault::refused(format!("{path}.spd: {e}")))?;
        spd
    } else {
        return Err(wrong(describe(value)));
    };
    own.finish()?;
    Ok(light)
}

/// `difference`: CIEDE2000.
pub(super) fn difference(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let [first, second] = [fields.vector("lab1")?, fields.vector("lab2")?].map(Lab::from);
    fields.finish()?;
    Answer::default().with("ciede2000", ciede2000(first, second))
}

/// `adapt`: CAT16 from one white to another.
pub(super) fn adapt(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let xyz = Xyz::from(fields.vector::<3>("xyz")?);
    let from = Xyz::from(fields.vector::<3>("from_white")?);
    let to = Xyz::from(fields.vector::<3>("to_white")?);
    let degree = fields.number_in("degree", 0.0..=1.0, "a degree of adaptation from 0 to 1")?;
    fields.finish()?;
    let adapted = spectra::adapt(xyz, from, to, degree).map_err(Fault::refused)?;
    Answer::default().with("xyz", adapted.to_array())
}

/// `rendering`: CIE Ra and R1–R14; null if the light has no reference.
pub(super) fn rendering(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let spd = fields.spectrum("spd")?;
    fields.finish()?;
    let found = match colour_rendering(&spd) {
        Ok(found) => Some(found),
        Err(RenderingError::NotALight(e)) => return Err(Fault::refused(format!("spd: {e}"))),
        Err(RenderingError::NoTemperature | RenderingError::TooBlue { .. }) => None,
    };
    Answer::default().with("ra", found.map(|f| f.ra))?.with("r", found.map(|f| f.r))
}

/// `glare_spread`: the eye's point spread function.
pub(super) fn glare_spread(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let angle = fields.number_in("angle_deg", 0.0..=100.0, "degrees from 0 to 100")?;
    let age = fields.number_in("age", 0.0..=120.0, "years from 0 to 120")?;
    let pigmentation = fields.number_in(
        "pigmentation",
        0.0..=10.0,
        "0 very dark, 0.5 brown, 1 blue, 1.2 very light eyes",
    )?;
    fields.finish()?;
    Answer::default().with("per_sr", glare_spread::point_spread(angle, age, pigmentation))
}
