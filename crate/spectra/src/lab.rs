//! CIE 1976 L*a*b*.

use crate::Xyz;

/// A colour in CIE 1976 L*a*b*, relative to the white it was made with.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Lab {
    /// Lightness L*: 0 black, 100 the white.
    pub l: f64,
    /// a*: green below zero, red above.
    pub a: f64,
    /// b*: blue below zero, yellow above.
    pub b: f64,
}

impl Lab {
    /// From L*, a*, b*.
    pub const fn new(l: f64, a: f64, b: f64) -> Self {
        Self { l, a, b }
    }

    /// Chroma C*ab.
    pub fn chroma(self) -> f64 {
        self.a.hypot(self.b)
    }

    /// Hue angle hab in degrees, 0 ≤ h < 360; `None` for a grey.
    pub fn hue_deg(self) -> Option<f64> {
        (self.chroma() > 0.0).then(|| {
            let degrees = self.b.atan2(self.a).to_degrees();
            // Adding 360 to a tiny negative angle rounds to 360 itself.
            if degrees < 0.0 { (degrees + 360.0) % 360.0 } else { degrees }
        })
    }

    /// Tristimulus values on the scale of `white`.
    pub fn xyz(self, white: Xyz) -> Xyz {
        let fy = (self.l + 16.0) / 116.0;
        Xyz::new(white.x * cube(fy + self.a / 500.0), white.y * cube(fy), white.z * cube(fy - self.b / 200.0))
    }

    /// Euclidean difference ΔE*ab of 1976.
    pub fn difference_1976(self, other: Self) -> f64 {
        (self.l - other.l).hypot((self.a - other.a).hypot(self.b - other.b))
    }
}

impl Xyz {
    /// CIE 1976 L*a*b* with `white` on the same scale as `self`.
    ///
    /// `None` unless the white is positive in all three and everything is finite. Values below zero, outside
    /// real colours, go down the straight part of the function.
    ///
    /// # Source
    /// CIE 15:2018 (ISO/CIE 11664-4), with the exact constants 6/29 and 4/29.
    pub fn lab(self, white: Self) -> Option<Lab> {
        if !(white.x > 0.0 && white.y > 0.0 && white.z > 0.0) {
            return None;
        }
        let [fx, fy, fz] = [self.x / white.x, self.y / white.y, self.z / white.z].map(root);
        let lab = Lab::new(116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz));
        (white.is_finite() && lab.l.is_finite() && lab.a.is_finite() && lab.b.is_finite()).then_some(lab)
    }
}

const BEND: f64 = 6.0 / 29.0;

fn root(ratio: f64) -> f64 {
    if ratio > BEND * BEND * BEND { ratio.cbrt() } else { ratio / (3.0 * BEND * BEND) + 4.0 / 29.0 }
}

fn cube(f: f64) -> f64 {
    if f > BEND { f * f * f } else { 3.0 * BEND * BEND * (f - 4.0 / 29.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn white_and_black_are_the_ends_of_lightness() {
        let white = Xyz::new(95.0, 100.0, 108.0);
        let lab = white.lab(white).unwrap();
        assert!((lab.l - 100.0).abs() < 1e-12 && lab.chroma() < 1e-12);
        assert!(Xyz::ZERO.lab(white).unwrap().l.abs() < 1e-14);
    }

    #[test]
    fn without_a_white_there_is_no_lab() {
        assert_eq!(Xyz::ZERO.lab(Xyz::ZERO), None);
        assert_eq!(Xyz::new(f64::INFINITY, 1.0, 1.0).lab(Xyz::new(1.0, 1.0, 1.0)), None);
        assert_eq!(Xyz::ZERO.lab(Xyz::new(f64::INFINITY, 1.0, 1.0)), None);
    }

    #[test]
    fn hue_goes_round_once() {
        assert_eq!(Lab::new(50.0, 0.0, 0.0).hue_deg(), None);
        assert!((Lab::new(50.0, 0.0, -3.0).hue_deg().unwrap() - 270.0).abs() < 1e-12);
        assert!(Lab::new(50.0, 1.0, -1e-300).hue_deg().unwrap() < 360.0);
    }
}
