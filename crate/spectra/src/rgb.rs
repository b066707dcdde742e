//! Display colours: sRGB and Display P3, linear and encoded.
//!
//! Both have a D65 white and one transfer function; only the primaries differ. Tristimulus values here are on
//! the scale where the display's white has **Y = 1**, 2° observer: divide a colour with Y = 100 for white by 100.

use crate::matrix::{Matrix, apply, inverse};
use crate::{Chromaticity, Xyz};

/// White of both spaces: D65 as the standards round it. (IEC 61966-2-1:1999; SMPTE EG 432-1:2010 for P3.)
pub const WHITE: Chromaticity = Chromaticity { x: 0.3127, y: 0.3290 };

/// Which primaries a display has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum RgbSpace {
    /// IEC 61966-2-1:1999, with the primaries of ITU-R BT.709.
    #[default]
    Srgb,
    /// Display P3: the primaries of SMPTE RP 431-2, the white and transfer function of sRGB.
    DisplayP3,
}

/// Linear light in a display's red, green and blue: 0 dark, 1 full. Outside 0–1 lies outside the display.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LinearRgb {
    /// Red.
    pub r: f64,
    /// Green.
    pub g: f64,
    /// Blue.
    pub b: f64,
}

/// Values after the transfer function, as files and canvases store them: 0–1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct EncodedRgb {
    /// Red.
    pub r: f64,
    /// Green.
    pub g: f64,
    /// Blue.
    pub b: f64,
}

const SRGB_PRIMARIES: [Chromaticity; 3] = [
    Chromaticity { x: 0.640, y: 0.330 },
    Chromaticity { x: 0.300, y: 0.600 },
    Chromaticity { x: 0.150, y: 0.060 },
];
const P3_PRIMARIES: [Chromaticity; 3] = [
    Chromaticity { x: 0.680, y: 0.320 },
    Chromaticity { x: 0.265, y: 0.690 },
    Chromaticity { x: 0.150, y: 0.060 },
];

/// Linear sRGB to XYZ (white Y = 1), from the primaries and not from the rounded matrix of the standard.
pub const XYZ_FROM_SRGB: Matrix = xyz_from_rgb(&SRGB_PRIMARIES);
/// XYZ (white Y = 1) to linear sRGB.
pub const SRGB_FROM_XYZ: Matrix = inverse(&XYZ_FROM_SRGB);
/// Linear Display P3 to XYZ (white Y = 1).
pub const XYZ_FROM_DISPLAY_P3: Matrix = xyz_from_rgb(&P3_PRIMARIES);
/// XYZ (white Y = 1) to linear Display P3.
pub const DISPLAY_P3_FROM_XYZ: Matrix = inverse(&XYZ_FROM_DISPLAY_P3);

/// The matrix whose columns are the primaries, scaled so that (1, 1, 1) is the white.
const fn xyz_from_rgb(primaries: &[Chromaticity; 3]) -> Matrix {
    let [r, g, b] = [column(primaries[0]), column(primaries[1]), column(primaries[2])];
    let unscaled = [[r[0], g[0], b[0]], [r[1], g[1], b[1]], [r[2], g[2], b[2]]];
    let s = apply(&inverse(&unscaled), column(WHITE));
    [
        [r[0] * s[0], g[0] * s[1], b[0] * s[2]],
        [r[1] * s[0], g[1] * s[1], b[1] * s[2]],
        [r[2] * s[0], g[2] * s[1], b[2] * s[2]],
    ]
}

const fn column(c: Chromaticity) -> [f64; 3] {
    [c.x / c.y, 1.0, (1.0 - c.x - c.y) / c.y]
}

impl RgbSpace {
    /// Linear light of a colour on this display; `xyz` with Y = 1 for the display's white.
    pub fn linear_from_xyz(self, xyz: Xyz) -> LinearRgb {
        let matrix = match self {
            Self::Srgb => &SRGB_FROM_XYZ,
            Self::DisplayP3 => &DISPLAY_P3_FROM_XYZ,
        };
        LinearRgb::from(apply(matrix, xyz.to_array()))
    }

    /// Tristimulus values of linear light, Y = 1 for the display's white.
    pub fn xyz_from_linear(self, rgb: LinearRgb) -> Xyz {
        let matrix = match self {
            Self::Srgb => &XYZ_FROM_SRGB,
            Self::DisplayP3 => &XYZ_FROM_DISPLAY_P3,
        };
        Xyz::from(apply(matrix, rgb.to_array()))
    }
}

/// [`RgbSpace::linear_from_xyz`] for sRGB; `xyz` with Y = 1 for white.
pub fn linear_srgb_from_xyz(xyz: Xyz) -> LinearRgb {
    RgbSpace::Srgb.linear_from_xyz(xyz)
}

/// [`RgbSpace::linear_from_xyz`] for Display P3; `xyz` with Y = 1 for white.
pub fn linear_display_p3_from_xyz(xyz: Xyz) -> LinearRgb {
    RgbSpace::DisplayP3.linear_from_xyz(xyz)
}

/// [`RgbSpace::xyz_from_linear`] for sRGB, Y = 1 for white.
pub fn xyz_from_linear_srgb(rgb: LinearRgb) -> Xyz {
    RgbSpace::Srgb.xyz_from_linear(rgb)
}

/// [`RgbSpace::xyz_from_linear`] for Display P3, Y = 1 for white.
pub fn xyz_from_linear_display_p3(rgb: LinearRgb) -> Xyz {
    RgbSpace::DisplayP3.xyz_from_linear(rgb)
}

/// The sRGB transfer function: linear light to encoded value. Odd about zero, so that colours outside the
/// display keep their sign.
///
/// # Source
/// IEC 61966-2-1:1999, which both spaces use.
pub fn encode(linear: f64) -> f64 {
    let size = linear.abs();
    let encoded = if size <= 0.003_130_8 { 12.92 * size } else { 1.055 * size.powf(1.0 / 2.4) - 0.055 };
    encoded.copysign(linear)
}

/// Inverse of [`encode`].
pub fn decode(encoded: f64) -> f64 {
    let size = encoded.abs();
    let linear = if size <= 0.040_45 { size / 12.92 } else { ((size + 0.055) / 1.055).powf(2.4) };
    linear.copysign(encoded)
}

/// How far outside 0–1 a linear component may lie and still count as inside: rounding of the white itself.
const GAMUT_TOLERANCE: f64 = 1e-7;

impl LinearRgb {
    /// From red, green, blue.
    pub const fn new(r: f64, g: f64, b: f64) -> Self {
        Self { r, g, b }
    }

    /// Red, green, blue.
    pub const fn to_array(self) -> [f64; 3] {
        [self.r, self.g, self.b]
    }

    /// Whether the display can show it: every component within 0–1, give or take 1e-7.
    pub fn in_gamut(self) -> bool {
        let range = -GAMUT_TOLERANCE..=1.0 + GAMUT_TOLERANCE;
        self.to_array().iter().all(|v| range.contains(v))
    }

    /// After the transfer function, not clipped.
    pub fn encode(self) -> EncodedRgb {
        EncodedRgb { r: encode(self.r), g: encode(self.g), b: encode(self.b) }
    }
}

impl EncodedRgb {
    /// Red, green, blue.
    pub const fn to_array(self) -> [f64; 3] {
        [self.r, self.g, self.b]
    }

    /// Back to linear light.
    pub fn decode(self) -> LinearRgb {
        LinearRgb::new(decode(self.r), decode(self.g), decode(self.b))
    }

    /// Clipped to 0–1 and rounded to eight bits; a component that is not a number becomes 0.
    pub fn to_u8_clipped(self) -> [u8; 3] {
        // A cast saturates at both ends.
        self.to_array().map(|v| (v * 255.0).round() as u8)
    }

    /// From eight bits a component.
    pub fn from_u8(rgb: [u8; 3]) -> Self {
        let [r, g, b] = rgb.map(|v| f64::from(v) / 255.0);
        Self { r, g, b }
    }
}

impl From<[f64; 3]> for LinearRgb {
    fn from([r, g, b]: [f64; 3]) -> Self {
        Self { r, g, b }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_is_full_in_both_spaces() {
        let [x, y, z] = column(WHITE);
        for space in [RgbSpace::Srgb, RgbSpace::DisplayP3] {
            let rgb = space.linear_from_xyz(Xyz::new(x, y, z));
            assert!(rgb.to_array().iter().all(|v| (v - 1.0).abs() < 1e-14));
            assert!(rgb.in_gamut());
            assert_eq!(rgb.encode().to_u8_clipped(), [255; 3]);
        }
    }

    #[test]
    fn the_srgb_green_lies_inside_display_p3_and_not_the_other_way_round() {
        let green = xyz_from_linear_srgb(LinearRgb::new(0.0, 1.0, 0.0));
        assert!(linear_display_p3_from_xyz(green).in_gamut());
        let deep_green = xyz_from_linear_display_p3(LinearRgb::new(0.0, 1.0, 0.0));
        assert!(!linear_srgb_from_xyz(deep_green).in_gamut());
    }

    #[test]
    fn clipping_holds_anything() {
        let wild = EncodedRgb { r: f64::NAN, g: f64::INFINITY, b: -3.0 };
        assert_eq!(wild.to_u8_clipped(), [0, 255, 0]);
        assert!(!LinearRgb::new(f64::NAN, 0.0, 0.0).in_gamut());
    }

    #[test]
    fn eight_bits_come_back() {
        for v in 0..=255 {
            assert_eq!(EncodedRgb::from_u8([v; 3]).decode().encode().to_u8_clipped(), [v; 3]);
        }
    }
}
