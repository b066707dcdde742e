//! Linear RGB from tristimulus values, and between sets of primaries.

use spectra::{GRID_STEP_NM, LUMINOUS_EFFICACY, Observer, SAMPLES, observer_functions};

/// XYZ to linear RGB with the primaries and white of sRGB. IEC 61966-2-1:1999 gives the primaries of BT.709 and
/// white x 0.3127, y 0.3290; the matrix is computed from those at full precision.
pub const RGB_FROM_XYZ: [[f64; 3]; 3] = [
    [3.240_969_941_904_522_6, -1.537_383_177_570_094, -0.498_610_760_293_003_4],
    [-0.969_243_636_280_879_6, 1.875_967_501_507_720_2, 0.041_555_057_407_175_59],
    [0.055_630_079_696_993_66, -0.203_976_958_888_976_52, 1.056_971_514_242_878_6],
];

/// Its inverse.
pub const XYZ_FROM_RGB: [[f64; 3]; 3] = [
    [0.412_390_799_265_959_34, 0.357_584_339_383_878, 0.180_480_788_401_834_3],
    [0.212_639_005_871_510_27, 0.715_168_678_767_756, 0.072_192_315_360_733_71],
    [0.019_330_818_715_591_82, 0.119_194_779_794_625_98, 0.950_532_152_249_660_7],
];

/// Linear RGB with sRGB primaries to linear Display-P3 (primaries of SMPTE EG 432-1, white D65).
pub const P3_FROM_RGB: [[f64; 3]; 3] = [
    [0.822_461_968_714_362_3, 0.177_538_031_285_637_75, 0.0],
    [0.033_194_198_850_961_62, 0.966_805_801_149_038_4, 0.0],
    [0.017_082_630_721_120_033, 0.072_397_440_663_963_47, 0.910_519_928_614_916_5],
];

/// Luminance of the primaries of Display-P3.
pub const P3_LUMINANCE: [f64; 3] = [0.228_974_564_069_748_78, 0.691_738_521_836_506_2, 0.079_286_914_093_745];

/// A matrix times a vector.
pub fn apply(matrix: &[[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// The inverse of a 3 × 3 matrix whose determinant is far from zero.
pub(crate) fn inverse(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let det: f64 = (0..3).map(|c| m[0][c] * minor(0, c)).sum();
    std::array::from_fn(|i| std::array::from_fn(|j| minor(j, i) / det))
}

/// For each wavelength what one unit of spectral radiance adds to linear RGB in cd/m²: 683 lm/W × 5 nm × the
/// observer's functions, 1931 2°.
pub(crate) fn rgb_weights() -> [[f64; 3]; SAMPLES] {
    let observer = observer_functions(Observer::Cie1931);
    std::array::from_fn(|k| {
        let xyz = [observer[0][k], observer[1][k], observer[2][k]];
        apply(&RGB_FROM_XYZ, xyz).map(|v| v * LUMINOUS_EFFICACY * GRID_STEP_NM)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The matrix to XYZ from primaries and white, by the textbook way.
    fn from_primaries(primaries: [[f64; 2]; 3], white: [f64; 2]) -> [[f64; 3]; 3] {
        let xyz = |[x, y]: [f64; 2]| [x / y, 1.0, (1.0 - x - y) / y];
        let [r, g, b] = primaries.map(xyz);
        let w = xyz(white);
        let det = |a: [f64; 3], b: [f64; 3], c: [f64; 3]| {
            a[0] * (b[1] * c[2] - b[2] * c[1]) - b[0] * (a[1] * c[2] - a[2] * c[1])
                + c[0] * (a[1] * b[2] - a[2] * b[1])
        };
        let d = det(r, g, b);
        let s = [det(w, g, b) / d, det(r, w, b) / d, det(r, g, w) / d];
        std::array::from_fn(|k| [r[k] * s[0], g[k] * s[1], b[k] * s[2]])
    }

    #[test]
    fn matrices_follow_from_their_primaries() {
        let white = [0.3127, 0.3290];
        let rgb = from_primaries([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]], white);
        let p3 = from_primaries([[0.680, 0.320], [0.265, 0.690], [0.150, 0.060]], white);
        for k in 0..3 {
            let mut unit = [0.0; 3];
            unit[k] = 1.0;
            let back = apply(&RGB_FROM_XYZ, apply(&XYZ_FROM_RGB, unit));
            let through_p3 = apply(&p3, apply(&P3_FROM_RGB, unit));
            for i in 0..3 {
                assert!((XYZ_FROM_RGB[i][k] - rgb[i][k]).abs() < 1e-12);
                assert!((back[i] - unit[i]).abs() < 1e-12, "{back:?}");
                assert!((through_p3[i] - rgb[i][k]).abs() < 1e-12, "{through_p3:?} {rgb:?}");
            }
            assert!((P3_LUMINANCE[k] - p3[1][k]).abs() < 1e-12, "{p3:?}");
        }
    }
}
