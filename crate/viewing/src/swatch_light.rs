//! The light in which swatches of glass are shown.

use daylight::Outside;
use spectra::rgb::{eight_bits, linear_srgb_from_xyz};
use spectra::{Lab, Observer, Spectrum, Xyz, illuminant, luminous};

/// A light with its colour but without its level: a clear piece is as bright as the screen can be.
#[derive(Clone, Debug, PartialEq)]
pub struct SwatchLight(Spectrum);

impl SwatchLight {
    /// From a spectral irradiance, W·m⁻²·nm⁻¹; D65 if there is no light at all.
    pub fn of(irradiance: Spectrum) -> Self {
        Self(if luminous(&irradiance) > 0.0 { irradiance } else { illuminant::d65() })
    }

    /// The light from sky and ground on an upright window whose outside faces `facing_deg`, degrees clockwise from
    /// true north. The sun is left out, since a picture also shows a piece against the sky and the ground.
    pub fn on_window(outside: &Outside, facing_deg: f64) -> Self {
        let (_, diffuse) = outside.irradiance_on(facing_deg, 90.0);
        Self::of(diffuse)
    }

    /// sRGB, 0–255, of something that transmits `transmittance`.
    pub fn srgb(&self, transmittance: &Spectrum) -> [u8; 3] {
        eight_bits(linear_srgb_from_xyz(self.xyz(transmittance) / 100.0))
    }

    /// [`Self::srgb`] as a CSS colour.
    pub fn css(&self, transmittance: &Spectrum) -> String {
        let [r, g, b] = self.srgb(transmittance);
        format!("rgb({r} {g} {b})")
    }

    /// Luminous transmittance in this light, 0–1.
    pub fn luminous_transmittance(&self, transmittance: &Spectrum) -> f64 {
        self.xyz(transmittance).y / 100.0
    }

    /// CIE L*a*b* of something that transmits `transmittance`; white is a clear piece. `None` for a light that has
    /// no white, which never happens with daylight.
    pub fn lab(&self, transmittance: &Spectrum) -> Option<Lab> {
        self.xyz(transmittance).lab(self.xyz(&Spectrum::ONE))
    }

    fn xyz(&self, transmittance: &Spectrum) -> Xyz {
        Xyz::of_transmission(transmittance, &self.0, Observer::Cie1931)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clear_is_as_bright_as_the_screen_and_the_level_does_not_matter() {
        let half = Spectrum::splat(0.5);
        for level in [1e-9, 1.0, 1e6] {
            let light = SwatchLight::of(illuminant::d65() * level);
            assert_eq!(light.css(&Spectrum::ONE), "rgb(255 255 255)");
            assert!((light.luminous_transmittance(&half) - 0.5).abs() < 1e-12);
            assert!((light.lab(&Spectrum::ONE).unwrap().l - 100.0).abs() < 1e-9);
        }
    }

    #[test]
    fn without_light_swatches_are_shown_in_d65() {
        assert_eq!(SwatchLight::of(Spectrum::ZERO), SwatchLight::of(illuminant::d65()));
    }

    // The evening's colour remains: clear glass in a reddish light is reddish.
    #[test]
    fn the_colour_of_the_light_is_kept() {
        let [r, _, b] = SwatchLight::of(illuminant::a()).srgb(&Spectrum::ONE);
        assert!(r > b + 50, "{r} {b}");
    }
}
