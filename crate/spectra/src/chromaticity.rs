//! Chromaticity coordinates: (x, y) of 1931 and (u′, v′) of 1976. palette has (x, y) only together with Y, and (u′,
//! v′) only inside L*u*v*.

use palette::Yxy;
use palette::white_point::Any;

/// Chromaticity (x, y) of CIE 1931, or of CIE 1964 if the tristimulus values are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chromaticity {
    /// x = X/(X+Y+Z).
    pub x: f64,
    /// y = Y/(X+Y+Z).
    pub y: f64,
}

/// (x, y) of palette's xyY, without its Y.
impl From<Yxy<Any, f64>> for Chromaticity {
    fn from(colour: Yxy<Any, f64>) -> Self {
        Self { x: colour.x, y: colour.y }
    }
}

/// Chromaticity (u′, v′) of the CIE 1976 uniform chromaticity scale diagram.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UvPrime {
    /// u′ = 4X/(X+15Y+3Z).
    pub u: f64,
    /// v′ = 9Y/(X+15Y+3Z).
    pub v: f64,
}

impl Chromaticity {
    /// The same point in (u′, v′). `None` if the denominator −2x + 12y + 3 is not above zero or a coordinate is not
    /// finite, which never happens with real light.
    pub fn u_prime_v_prime(self) -> Option<UvPrime> {
        let denominator = -2.0 * self.x + 12.0 * self.y + 3.0;
        let uv = UvPrime { u: 4.0 * self.x / denominator, v: 9.0 * self.y / denominator };
        (denominator > 0.0 && uv.u.is_finite() && uv.v.is_finite()).then_some(uv)
    }
}

impl UvPrime {
    /// The same point in (x, y). `None` if the denominator 6u′ − 16v′ + 12 is not above zero or a coordinate is not
    /// finite, which never happens with real light.
    pub fn chromaticity(self) -> Option<Chromaticity> {
        let denominator = 6.0 * self.u - 16.0 * self.v + 12.0;
        let xy = Chromaticity { x: 9.0 * self.u / denominator, y: 4.0 * self.v / denominator };
        (denominator > 0.0 && xy.x.is_finite() && xy.y.is_finite()).then_some(xy)
    }

    /// Distance Δu′v′ between two chromaticities; one step of a chromaticity circle is 0.0011 (CIE TN 001:2014,
    /// from memory).
    pub fn distance(self, other: Self) -> f64 {
        (self.u - other.u).hypot(self.v - other.v)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_diagrams_map_onto_each_other() {
        let xy = Chromaticity { x: 0.3127, y: 0.3290 };
        let back = xy.u_prime_v_prime().unwrap().chromaticity().unwrap();
        assert!((back.x - xy.x).abs() < 1e-15 && (back.y - xy.y).abs() < 1e-15);
    }

    #[test]
    fn impossible_coordinates_give_none() {
        assert_eq!(Chromaticity { x: 2.0, y: -1.0 }.u_prime_v_prime(), None);
        assert_eq!(Chromaticity { x: f64::NAN, y: 0.3 }.u_prime_v_prime(), None);
        assert_eq!(UvPrime { u: 0.0, v: 1.0 }.chromaticity(), None);
    }
}
