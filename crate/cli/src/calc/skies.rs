//! Light of clear and cloudy skies.

use daylight::{Atmosphere, ClearSky, Spectrl2Inputs, hosek_wilkie, spectrl2};
use spectra::{Spectrum, luminous};

use super::answer::Answer;
use super::fields::{Fault, Fields, vector};

/// `clear_spectra`: beam and diffuse by SPECTRL2.
pub(super) fn clear_spectra(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let inputs = inputs(fields)?;
    fields.finish()?;
    let light = spectrl2(&inputs).map_err(Fault::refused)?;
    Answer::default()
        .with("beam_normal", light.beam_normal)?
        .with("diffuse_horizontal", light.diffuse_horizontal)
}

/// `cie_sky`: luminance over that of the zenith, by the CIE general sky.
pub(super) fn cie_sky(fields: &Fields<'_>) -> Result<Answer, Fault> {
    let cie_type = fields.whole("type", 1..=15, "a type from 1 to 15")?;
    let altitude = fields.number_in("sun_altitude_deg", 0.0..=90.0, "degrees from 0 to 90")?;
    let directions = directions(fields)?;
    fields.finish()?;
    let relative = daylight::cie_sky(cie_type, altitude, &directions).map_err(Fault::refused)?;
    Answer::default().with("relative_luminance", relative)
}

/// `clear_sky`: spectral radiance by direction, or with `raw` that of the sky pattern model itself.
pub(super) fn clear_sky(fields: &Fields<'_>) -> Result<Answer, Fault> {
    if fields.flag("raw")? {
        let turbidity = fields.number("turbidity")?;
        let albedo = fields.number("ground_albedo")?;
        let altitude = fields.number("sun_altitude_deg")?;
        let directions = directions(fields)?;
        fields.finish()?;
        let radiance = hosek_wilkie::raw(turbidity, albedo, altitude, &directions).map_err(Fault::refused)?;
        return Answer::default().with("radiance", radiance);
    }
    let inputs = inputs(fields)?;
    let directions = directions(fields)?;
    fields.finish()?;
    let sky = ClearSky::from_inputs(&inputs).map_err(Fault::refused)?;
    let radiance: Vec<Spectrum> =
        directions.iter().map(|&[zenith, azimuth]| sky.radiance_toward(zenith, azimuth)).collect();
    let luminance: Vec<f64> = radiance.iter().map(luminous).collect();
    Answer::default().with("radiance", radiance)?.with("luminance", luminance)
}

fn inputs(fields: &Fields<'_>) -> Result<Spectrl2Inputs, Fault> {
    Ok(Spectrl2Inputs {
        apparent_zenith_deg: fields.number("apparent_zenith_deg")?,
        day_of_year: fields.number("day_of_year")?,
        pressure_hpa: fields.number("pressure_hpa")?,
        atmosphere: Atmosphere {
            precipitable_water_cm: fields.number("precipitable_water_cm")?,
            ozone_atm_cm: fields.number("ozone_atm_cm")?,
            aod_500nm: fields.number("aod_500nm")?,
            angstrom_exponent: fields.number("angstrom_exponent")?,
            single_scattering_albedo_400nm: fields.number("single_scattering_albedo_400nm")?,
            wavelength_variation: fields.number("wavelength_variation")?,
            ..Atmosphere::default()
        },
        ground_albedo: fields.amount_in("ground_albedo", 0.0..=1.0, "shares from 0 to 1")?.spectrum(),
    })
}

/// Pairs of zenith angle and azimuth from the sun, degrees.
fn directions(fields: &Fields<'_>) -> Result<Vec<[f64; 2]>, Fault> {
    let mut directions = Vec::new();
    for (path, value) in fields.list("directions", "pairs [zenith_deg, azimuth_from_sun_deg]")? {
        let [zenith, azimuth] = vector(&path, value)?;
        if !(0.0..=90.0).contains(&zenith) {
            return Err(Fault::wrong(
                format!("{path}[0]"),
                "a zenith angle from 0 to 90 degrees",
                zenith.to_string(),
            ));
        }
        directions.push([zenith, azimuth.rem_euclid(360.0)]);
    }
    Ok(directions)
}
