//! CIE 1976 L*a*b*, by palette.

use palette::Lch;
use palette::color_difference::EuclideanDistance;
use palette::convert::FromColorUnclamped;
use palette::white_point::{Any, WhitePoint};

use crate::Xyz;

/// The white of a [`Lab`]: that of the light it was made with, whichever it was.
///
/// palette identifies a white by its type; here it is a value (the daylight of an hour, the light through a
/// window). So tristimulus values are divided by their white first, and palette's white is (1, 1, 1).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnWhite;

impl WhitePoint<f64> for OwnWhite {
    fn get_xyz() -> palette::Xyz<Any, f64> {
        palette::Xyz::new(1.0, 1.0, 1.0)
    }
}

/// A colour in CIE 1976 L*a*b*, relative to the white it was made with: L* is 0 for black and 100 for the white, a*
/// is negative for green and positive for red, b* is negative for blue and positive for yellow.
pub type Lab = palette::Lab<OwnWhite, f64>;

/// Chroma C*ab, and hue angle hab in degrees, 0 ≤ h < 360; the hue is `None` for a grey.
pub fn chroma_and_hue_deg(lab: Lab) -> (f64, Option<f64>) {
    let polar = Lch::from_color_unclamped(lab);
    (polar.chroma, (polar.chroma > 0.0).then(|| polar.hue.into_positive_degrees()))
}

/// Euclidean difference ΔE*ab of 1976.
pub fn difference_1976(first: Lab, second: Lab) -> f64 {
    first.distance(second)
}

impl Xyz {
    /// CIE 1976 L*a*b* with `white` on the same scale as `self`.
    ///
    /// `None` unless the white is positive in all three values and everything is finite. Negative values, outside
    /// real colours, follow the straight part of the function.
    ///
    /// # Source
    /// CIE 15:2018 (ISO/CIE 11664-4), with the exact constants 6/29 and 4/29.
    pub fn lab(self, white: Self) -> Option<Lab> {
        if !(white.x > 0.0 && white.y > 0.0 && white.z > 0.0) {
            return None;
        }
        let ratios = palette::Xyz::new(self.x / white.x, self.y / white.y, self.z / white.z);
        let lab = Lab::from_color_unclamped(ratios);
        (white.is_finite() && lab.l.is_finite() && lab.a.is_finite() && lab.b.is_finite()).then_some(lab)
    }

    /// Tristimulus values of a colour in L*a*b*, on the scale of `white`.
    pub fn from_lab(lab: Lab, white: Self) -> Self {
        let ratios = palette::Xyz::<OwnWhite, f64>::from_color_unclamped(lab);
        Self::new(ratios.x * white.x, ratios.y * white.y, ratios.z * white.z)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_and_black_are_the_ends_of_lightness() {
        let white = Xyz::new(95.0, 100.0, 108.0);
        let lab = white.lab(white).unwrap();
        assert!((lab.l - 100.0).abs() < 1e-12 && chroma_and_hue_deg(lab).0 < 1e-12);
        assert!(Xyz::ZERO.lab(white).unwrap().l.abs() < 1e-14);
    }

    #[test]
    fn without_a_white_there_is_no_lab() {
        assert_eq!(Xyz::ZERO.lab(Xyz::ZERO), None);
        assert_eq!(Xyz::new(f64::INFINITY, 1.0, 1.0).lab(Xyz::new(1.0, 1.0, 1.0)), None);
        assert_eq!(Xyz::ZERO.lab(Xyz::new(f64::INFINITY, 1.0, 1.0)), None);
    }

    #[test]
    fn hue_covers_the_circle_once() {
        let hue = |a, b| chroma_and_hue_deg(Lab::new(50.0, a, b)).1;
        assert_eq!(hue(0.0, 0.0), None);
        assert!((hue(0.0, -3.0).unwrap() - 270.0).abs() < 1e-12);
        assert!(hue(1.0, -1e-300).unwrap() < 360.0);
    }
}
