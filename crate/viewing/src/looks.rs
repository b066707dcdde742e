//! How familiar things look in the light of a place.

use schemars::JsonSchema;
use serde::Serialize;
use spectra::rgb::{eight_bits, linear_srgb_from_xyz};
use spectra::{Observer, Spectrum, TristimulusWeights, Xyz, adapt, illuminant, luminous, reflectance};

/// Below this illuminance, lx, colour is not judged, because rods take over (CIE 191:2010 gives 0.005–5 cd/m² as
/// the mesopic range; 0.3 lx on white cloth is 0.08 cd/m²; our assumption).
pub(crate) const COLOUR_FROM_LX: f64 = 0.3;

/// The look of a surface to an eye that has partly adapted to the light.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Look {
    /// CIE L*, a*, b* for D65, after adaptation.
    pub lab: [f64; 3],
    /// sRGB, 0–255, clipped to the display.
    pub srgb: [u8; 3],
}

/// White cloth, pale stone and two skins; their reflectances are invented and estimated. `None` if it is too dark
/// to see colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Looks {
    /// Bleached linen.
    pub white_cloth: Option<Look>,
    /// Pale limestone.
    pub pale_stone: Option<Look>,
    /// Dark skin.
    pub dark_skin: Option<Look>,
    /// Light skin.
    pub light_skin: Option<Look>,
}

impl Looks {
    /// The looks in a spectral irradiance. `None` if it is too dark to see colour, below 0.3 lx.
    pub fn of(light: &Spectrum) -> Self {
        if luminous(light) < COLOUR_FROM_LX {
            return Self::default();
        }
        Self {
            white_cloth: look(&reflectance::white_linen(), light),
            pale_stone: look(&reflectance::pale_limestone(), light),
            dark_skin: look(&reflectance::dark_skin(), light),
            light_skin: look(&reflectance::light_skin(), light),
        }
    }
}

/// How far an eye adapts to the light of a room of this illuminance: D of CIECAM02 and CAM16 for a dim surround (F
/// = 0.9); the adapting luminance is that of a 20 % grey.
///
/// # Source
/// CIE 159:2004, CIE 248:2022 (formula); the surround is our assumption: a bright window seen from a dimmer room.
fn degree_of_adaptation(illuminance_lx: f64) -> f64 {
    let adapting_cd_m2 = 0.2 * illuminance_lx.max(0.0) / std::f64::consts::PI;
    (0.9 * (1.0 - (-(adapting_cd_m2 + 42.0) / 92.0).exp() / 3.6)).clamp(0.0, 1.0)
}

/// The look of a surface in a light: what a display with white D65 should show, with the white diffuser in this
/// light at its full lightness. Adaptation is by CAT16 to the degree of [`degree_of_adaptation`], so that a cast
/// stays visible but weaker than a meter reads. `None` in the dark, and for a light that gives one of the eye's
/// channels nothing.
pub(crate) fn look(reflectance: &Spectrum, light: &Spectrum) -> Option<Look> {
    let white = Xyz::white(light, Observer::Cie1931)?;
    let colour = TristimulusWeights::of_transmission(light, Observer::Cie1931).xyz(reflectance);
    let d65 = Xyz::white(&illuminant::d65(), Observer::Cie1931)?;
    let seen = adapt(colour, white, d65, degree_of_adaptation(luminous(light))).ok()?;
    let lab = seen.lab(d65)?;
    let rgb = linear_srgb_from_xyz(seen / 100.0);
    Some(Look { lab: [lab.l, lab.a, lab.b], srgb: eight_bits(rgb) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn daylight_leaves_cloth_white_and_amber_does_not() {
        let daylight = illuminant::d65() * 1e-5;
        let cloth = Looks::of(&daylight).white_cloth.unwrap();
        assert!(cloth.lab[0] > 92.0 && cloth.lab[1].abs() < 2.0 && cloth.lab[2].abs() < 6.0, "{cloth:?}");
        let amber = daylight * Spectrum::from_fn(|nm| if nm < 540.0 { 0.1 } else { 0.9 });
        let tinted = Looks::of(&amber).white_cloth.unwrap();
        assert!(tinted.lab[2] > cloth.lab[2] + 8.0, "{tinted:?}");
        assert_eq!(Looks::of(&Spectrum::ZERO), Looks::default());
    }

    #[test]
    fn adaptation_grows_with_light_and_is_never_complete() {
        let d: Vec<f64> = [0.0, 10.0, 1000.0, 1e5].map(degree_of_adaptation).to_vec();
        assert!(d.windows(2).all(|p| p[0] < p[1]) && d[3] <= 0.9, "{d:?}");
    }
}
