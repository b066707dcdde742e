//! The display colours of `spectra` as matrices, and what a spectrum adds to linear RGB.

use glam::{DMat3, DVec3};
use spectra::{
    GRID_STEP_NM, LUMINOUS_EFFICACY, LinearRgb, Observer, RgbSpace, SAMPLES, Xyz, observer_functions,
};

/// XYZ to linear RGB of a display; one scale for both.
pub(crate) fn rgb_from_xyz(space: RgbSpace) -> DMat3 {
    matrix(|v| space.linear_from_xyz(Xyz::new(v.x, v.y, v.z)).to_array())
}

/// Linear RGB of a display to XYZ.
pub(crate) fn xyz_from_rgb(space: RgbSpace) -> DMat3 {
    matrix(|v| space.xyz_from_linear(LinearRgb::new(v.x, v.y, v.z)).to_array())
}

/// The matrix of a linear function, whose columns are what it makes of the axes.
fn matrix(of: impl Fn(DVec3) -> [f64; 3]) -> DMat3 {
    DMat3::from_cols_array_2d(&DVec3::AXES.map(of))
}

/// For each wavelength, what one unit of spectral radiance adds to linear RGB in cd/m²: 683 lm/W × 5 nm × the
/// observer's functions, 1931 2°.
pub(crate) fn rgb_weights() -> [DVec3; SAMPLES] {
    let observer = observer_functions(Observer::Cie1931);
    let rgb = rgb_from_xyz(RgbSpace::Srgb);
    std::array::from_fn(|k| {
        rgb * DVec3::new(observer[0][k], observer[1][k], observer[2][k]) * LUMINOUS_EFFICACY * GRID_STEP_NM
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    // 1e-12: rounding.
    #[test]
    fn matrices_undo_each_other_and_keep_white() {
        for space in [RgbSpace::Srgb, RgbSpace::DisplayP3] {
            let there_and_back = rgb_from_xyz(space) * xyz_from_rgb(space);
            assert!(there_and_back.abs_diff_eq(DMat3::IDENTITY, 1e-12), "{there_and_back}");
            assert!((xyz_from_rgb(space) * DVec3::ONE).y - 1.0 < 1e-12);
        }
        let p3_from_srgb = rgb_from_xyz(RgbSpace::DisplayP3) * xyz_from_rgb(RgbSpace::Srgb);
        assert!((p3_from_srgb * DVec3::ONE).abs_diff_eq(DVec3::ONE, 1e-12));
    }
}
