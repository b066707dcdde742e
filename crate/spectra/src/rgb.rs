//! Display colours: sRGB and Display P3, linear and encoded, in palette's types.
//!
//! Both have a D65 white and one transfer function; only the primaries differ. Tristimulus values here are on the
//! scale where the display's white has **Y = 1**, 2° observer: divide a colour with Y = 100 for white by 100.
//!
//! The two spaces are our own, with palette's primaries and transfer function, because palette 0.7.7 stores their
//! matrices to seven decimals and for a white of (0.95047, 1, 1.08883). The white of the standards, x 0.3127, y
//! 0.3290, is (0.95046, 1, 1.08906): Z differs by 2.3e-4, and our tests allow 1e-14.

use palette::convert::FromColorUnclamped;
use palette::encoding::{self, FromLinear, IntoLinear, Linear};
use palette::rgb::{Rgb, RgbSpace, RgbStandard};
use palette::white_point::{Any, WhitePoint};
use palette::{Mat3, Yxy};

use crate::{Chromaticity, Xyz};

/// White of both spaces: D65 as the standards round it. (IEC 61966-2-1:1999; SMPTE EG 432-1:2010 for P3.)
pub const WHITE: Chromaticity = Chromaticity { x: 0.3127, y: 0.3290 };

/// [`WHITE`] in the form palette needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DisplayWhite;

impl WhitePoint<f64> for DisplayWhite {
    fn get_xyz() -> palette::Xyz<Any, f64> {
        palette::Xyz::from_color_unclamped(Yxy::new(WHITE.x, WHITE.y, 1.0))
    }
}

/// IEC 61966-2-1:1999, with the primaries of ITU-R BT.709.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Srgb;

/// Display P3: the primaries of SMPTE RP 431-2, the white and transfer function of sRGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DisplayP3;

/// Linear light of an sRGB display: 0 dark, 1 full. Values outside 0–1 lie outside the display's range.
pub type LinearSrgb = Rgb<Linear<Srgb>, f64>;
/// Linear light of a Display P3 display: 0 dark, 1 full. Values outside 0–1 lie outside the display's range.
pub type LinearDisplayP3 = Rgb<Linear<DisplayP3>, f64>;

/// Linear sRGB to XYZ (white Y = 1), row by row, from the primaries and not from the rounded matrix of the standard.
pub const XYZ_FROM_SRGB: [f64; 9] = [
    0.412_390_799_265_959_3,
    0.357_584_339_383_878,
    0.180_480_788_401_834_3,
    0.212_639_005_871_510_24,
    0.715_168_678_767_756,
    0.072_192_315_360_733_71,
    0.019_330_818_715_591_82,
    0.119_194_779_794_625_98,
    0.950_532_152_249_660_7,
];
/// XYZ (white Y = 1) to linear sRGB, row by row.
pub const SRGB_FROM_XYZ: [f64; 9] = [
    3.240_969_941_904_522_6,
    -1.537_383_177_570_094,
    -0.498_610_760_293_003_44,
    -0.969_243_636_280_879_6,
    1.875_967_501_507_720_4,
    0.041_555_057_407_175_6,
    0.055_630_079_696_993_63,
    -0.203_976_958_888_976_5,
    1.056_971_514_242_878_4,
];
/// Linear Display P3 to XYZ (white Y = 1), row by row.
pub const XYZ_FROM_DISPLAY_P3: [f64; 9] = [
    0.486_570_948_648_216,
    0.265_667_693_169_093,
    0.198_217_285_234_362_5,
    0.228_974_564_069_748_7,
    0.691_738_521_836_506_2,
    0.079_286_914_093_745,
    0.0,
    0.045_113_381_858_902_624,
    1.043_944_368_900_976,
];
/// XYZ (white Y = 1) to linear Display P3, row by row.
pub const DISPLAY_P3_FROM_XYZ: [f64; 9] = [
    2.493_496_911_941_426_3,
    -0.931_383_617_919_124_2,
    -0.402_710_784_450_717,
    -0.829_488_969_561_574_9,
    1.762_664_060_318_346_5,
    0.023_624_685_841_943_577,
    0.035_845_830_243_784_46,
    -0.076_172_389_268_041_8,
    0.956_884_524_007_687_1,
];

impl RgbSpace for Srgb {
    type Primaries = encoding::Srgb;
    type WhitePoint = DisplayWhite;
    fn rgb_to_xyz_matrix() -> Option<Mat3<f64>> {
        Some(XYZ_FROM_SRGB)
    }
    fn xyz_to_rgb_matrix() -> Option<Mat3<f64>> {
        Some(SRGB_FROM_XYZ)
    }
}

impl RgbStandard for Srgb {
    type Space = Self;
    type TransferFn = Encoding;
}

impl RgbSpace for DisplayP3 {
    type Primaries = encoding::p3::DisplayP3;
    type WhitePoint = DisplayWhite;
    fn rgb_to_xyz_matrix() -> Option<Mat3<f64>> {
        Some(XYZ_FROM_DISPLAY_P3)
    }
    fn xyz_to_rgb_matrix() -> Option<Mat3<f64>> {
        Some(DISPLAY_P3_FROM_XYZ)
    }
}

impl RgbStandard for DisplayP3 {
    type Space = Self;
    type TransferFn = Encoding;
}

/// The transfer function of sRGB, which both spaces use, extended as an odd function: colours outside the display
/// keep their sign, and −x is encoded as −(x encoded). (palette continues the straight part below zero.)
///
/// # Source
/// IEC 61966-2-1:1999.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Encoding;

impl FromLinear<f64, f64> for Encoding {
    fn from_linear(linear: f64) -> f64 {
        <encoding::Srgb as FromLinear<f64, f64>>::from_linear(linear.abs()).copysign(linear)
    }
}

impl IntoLinear<f64, f64> for Encoding {
    fn into_linear(encoded: f64) -> f64 {
        <encoding::Srgb as IntoLinear<f64, f64>>::into_linear(encoded.abs()).copysign(encoded)
    }
}

/// Linear sRGB of a colour; `xyz` with Y = 1 for the display's white.
pub fn linear_srgb_from_xyz(xyz: Xyz) -> LinearSrgb {
    Rgb::from_color_unclamped(xyz.with_white_point())
}

/// Linear Display P3 of a colour; `xyz` with Y = 1 for the display's white.
pub fn linear_display_p3_from_xyz(xyz: Xyz) -> LinearDisplayP3 {
    Rgb::from_color_unclamped(xyz.with_white_point())
}

/// Tristimulus values of linear sRGB, Y = 1 for the display's white.
pub fn xyz_from_linear_srgb(rgb: LinearSrgb) -> Xyz {
    Xyz::from(palette::Xyz::from_color_unclamped(rgb).with_white_point())
}

/// Tristimulus values of linear Display P3, Y = 1 for the display's white.
pub fn xyz_from_linear_display_p3(rgb: LinearDisplayP3) -> Xyz {
    Xyz::from(palette::Xyz::from_color_unclamped(rgb).with_white_point())
}

/// How far outside 0–1 a linear component may lie and still count as inside: rounding of the white itself.
const GAMUT_TOLERANCE: f64 = 1e-7;

/// Whether the display can show a colour: every component of its linear light within 0–1, give or take 1e-7.
pub fn in_gamut<S: RgbSpace>(linear: Rgb<Linear<S>, f64>) -> bool {
    let range = -GAMUT_TOLERANCE..=1.0 + GAMUT_TOLERANCE;
    <[f64; 3]>::from(linear).iter().all(|v| range.contains(v))
}

/// Linear light after the transfer function, clipped to 0–1 and rounded to eight bits; NaN becomes 0.
pub fn eight_bits<S>(linear: Rgb<Linear<S>, f64>) -> [u8; 3]
where
    S: RgbSpace + RgbStandard<Space = S, TransferFn = Encoding>,
{
    let known = <[f64; 3]>::from(linear).map(|v| if v.is_nan() { 0.0 } else { v });
    Rgb::<S, f64>::from_linear(Rgb::<Linear<S>, f64>::from(known)).into_format::<u8>().into()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The primaries and white of a space, without its matrices.
    struct Derived<S>(std::marker::PhantomData<S>);

    impl<S: RgbSpace> RgbSpace for Derived<S> {
        type Primaries = S::Primaries;
        type WhitePoint = S::WhitePoint;
    }

    // palette computes the matrices from the primaries if none are given: only double-precision rounding remains.
    #[test]
    fn the_matrices_follow_from_the_primaries() {
        let near = |ours: &[f64; 9], derived: Mat3<f64>| {
            assert!(ours.iter().zip(derived).all(|(a, b)| (a - b).abs() < 2e-15), "{ours:?} {derived:?}");
        };
        near(&XYZ_FROM_SRGB, palette::Xyz::matrix_from_rgb::<Linear<Derived<Srgb>>>().into_array());
        near(&SRGB_FROM_XYZ, Rgb::<Linear<Derived<Srgb>>, f64>::matrix_from_xyz().into_array());
        near(
            &XYZ_FROM_DISPLAY_P3,
            palette::Xyz::matrix_from_rgb::<Linear<Derived<DisplayP3>>>().into_array(),
        );
        near(&DISPLAY_P3_FROM_XYZ, Rgb::<Linear<Derived<DisplayP3>>, f64>::matrix_from_xyz().into_array());
    }

    #[test]
    fn white_is_full_in_both_spaces() {
        let white = Xyz::from(DisplayWhite::get_xyz());
        let full = |rgb: [f64; 3]| rgb.iter().all(|v| (v - 1.0).abs() < 1e-14);
        let (srgb, p3) = (linear_srgb_from_xyz(white), linear_display_p3_from_xyz(white));
        assert!(full(srgb.into()) && full(p3.into()));
        assert!(in_gamut(srgb) && in_gamut(p3));
        assert_eq!((eight_bits(srgb), eight_bits(p3)), ([255; 3], [255; 3]));
    }

    #[test]
    fn the_srgb_green_lies_inside_display_p3_but_not_conversely() {
        let green = xyz_from_linear_srgb(Rgb::new(0.0, 1.0, 0.0));
        assert!(in_gamut(linear_display_p3_from_xyz(green)));
        let deep_green = xyz_from_linear_display_p3(Rgb::new(0.0, 1.0, 0.0));
        assert!(!in_gamut(linear_srgb_from_xyz(deep_green)));
    }

    #[test]
    fn clipping_accepts_anything() {
        let wild = LinearSrgb::new(f64::NAN, f64::INFINITY, -3.0);
        assert_eq!(eight_bits(wild), [0, 255, 0]);
        assert!(!in_gamut(LinearSrgb::new(f64::NAN, 0.0, 0.0)));
    }

    #[test]
    fn eight_bits_round_trip() {
        for v in 0..=255 {
            let encoded = Rgb::<Srgb, u8>::new(v, v, v).into_format::<f64>();
            assert_eq!(eight_bits(encoded.into_linear::<f64>()), [v; 3]);
        }
    }
}
