//! Small fields of colour for lists and layers.

use spectra::rgb::{eight_bits, linear_srgb_from_xyz};
use spectra::{Lab, Observer, Spectrum, Xyz, illuminant, luminous};

/// The light that swatches are shown in: what falls on the glass from sky and ground, its level taken out, its colour
/// kept.
#[derive(Clone)]
pub(crate) struct SwatchLight(Spectrum);

impl SwatchLight {
    /// From a spectral irradiance, W·m⁻²·nm⁻¹; D65 where there is no light at all.
    pub(crate) fn of(irradiance: Spectrum) -> Self {
        Self(if luminous(&irradiance) > 0.0 { irradiance } else { illuminant::d65() })
    }

    /// CSS colour of something that lets `transmittance` of the light through; clear is as bright as the screen gets.
    pub(crate) fn css(&self, transmittance: &Spectrum) -> String {
        let xyz = Xyz::of_transmission(transmittance, &self.0, Observer::Cie1931);
        let [r, g, b] = eight_bits(linear_srgb_from_xyz(xyz * 0.01));
        format!("rgb({r} {g} {b})")
    }

    /// Luminous transmittance in this light, 0–1.
    pub(crate) fn luminous_transmittance(&self, transmittance: &Spectrum) -> f64 {
        Xyz::of_transmission(transmittance, &self.0, Observer::Cie1931).y / 100.0
    }

    /// CIE L*a*b* of something that lets `transmittance` of the light through, clear being the white.
    pub(crate) fn lab(&self, transmittance: &Spectrum) -> Option<Lab> {
        let of = |transmittance: &Spectrum| Xyz::of_transmission(transmittance, &self.0, Observer::Cie1931);
        of(transmittance).lab(of(&Spectrum::splat(1.0)))
    }
}
