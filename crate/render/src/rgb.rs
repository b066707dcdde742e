//! The display colours of `spectra` as matrices, and the contribution of a spectrum to linear RGB.

use glam::{DMat3, DVec3};
use spectra::rgb::{DISPLAY_P3_FROM_XYZ, SRGB_FROM_XYZ, XYZ_FROM_DISPLAY_P3, XYZ_FROM_SRGB};
use spectra::{GRID_STEP_NM, LUMINOUS_EFFICACY, Observer, SAMPLES, observer_functions};

/// Primaries of the picture; the encoding curve is that of sRGB for both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Gamut {
    /// IEC 61966-2-1.
    #[default]
    Srgb,
    /// The wider gamut of most recent screens.
    DisplayP3,
}

/// XYZ to linear RGB of a display; one scale for both.
pub(crate) fn rgb_from_xyz(gamut: Gamut) -> DMat3 {
    by_rows(match gamut {
        Gamut::Srgb => &SRGB_FROM_XYZ,
        Gamut::DisplayP3 => &DISPLAY_P3_FROM_XYZ,
    })
}

/// Linear RGB of a display to XYZ.
pub(crate) fn xyz_from_rgb(gamut: Gamut) -> DMat3 {
    by_rows(match gamut {
        Gamut::Srgb => &XYZ_FROM_SRGB,
        Gamut::DisplayP3 => &XYZ_FROM_DISPLAY_P3,
    })
}

fn by_rows(rows: &[f64; 9]) -> DMat3 {
    DMat3::from_cols_array(rows).transpose()
}

/// For each wavelength, the contribution of one unit of spectral radiance to linear RGB in cd/m²: 683 lm/W × 5 nm ×
/// the observer's functions, 1931 2°.
pub(crate) fn rgb_weights() -> [DVec3; SAMPLES] {
    let observer = observer_functions(Observer::Cie1931);
    let rgb = rgb_from_xyz(Gamut::Srgb);
    std::array::from_fn(|k| {
        rgb * DVec3::new(observer[0][k], observer[1][k], observer[2][k]) * LUMINOUS_EFFICACY * GRID_STEP_NM
    })
}

/// Least of [`observer_response`], so that what the observer hardly sees still counts a little. An estimate.
const LEAST_RESPONSE: f64 = 0.02;

/// For each wavelength, how strongly the observer responds: the length of its [`rgb_weights`] as a share of the
/// greatest, at least [`LEAST_RESPONSE`].
pub(crate) fn observer_response() -> [f64; SAMPLES] {
    let seen = rgb_weights().map(DVec3::length);
    let most = seen.into_iter().fold(0.0, f64::max);
    seen.map(|length| length.max(LEAST_RESPONSE * most) / most)
}

#[cfg(test)]
mod tests {
    use super::*;

    // 1e-12: rounding.
    #[test]
    fn matrices_are_inverse_and_keep_white() {
        for space in [Gamut::Srgb, Gamut::DisplayP3] {
            let there_and_back = rgb_from_xyz(space) * xyz_from_rgb(space);
            assert!(there_and_back.abs_diff_eq(DMat3::IDENTITY, 1e-12), "{there_and_back}");
            assert!((xyz_from_rgb(space) * DVec3::ONE).y - 1.0 < 1e-12);
        }
        let p3_from_srgb = rgb_from_xyz(Gamut::DisplayP3) * xyz_from_rgb(Gamut::Srgb);
        assert!((p3_from_srgb * DVec3::ONE).abs_diff_eq(DVec3::ONE, 1e-12));
    }
}
