//! Dominant wavelength and excitation purity.

use crate::Chromaticity;
use crate::observer::{LOCUS_FIRST_NM, Observer, spectrum_locus};

/// The pure colour toward which a chromaticity tends, and how far it goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dominant {
    /// Dominant wavelength, nm. For purples, which no single wavelength matches, the complementary wavelength as a
    /// **negative** number.
    pub wavelength_nm: f64,
    /// Excitation purity pe: 0 at the white, 1 on the spectrum locus or the purple line.
    pub excitation_purity: f64,
}

impl Dominant {
    /// Whether the wavelength is the complementary one of a purple.
    pub fn is_complementary(self) -> bool {
        self.wavelength_nm < 0.0
    }
}

/// A colour closer to the white than this in (x, y) has no direction.
const NO_DIRECTION: f64 = 1e-5;

impl Chromaticity {
    /// Dominant wavelength and excitation purity relative to `white`, on the observer's spectrum locus in 1 nm
    /// steps from 380 to 700 nm, with its points and its two ends joined by straight lines. (A 5 nm locus shifts
    /// the wavelength by up to 0.26 nm.)
    ///
    /// `None` at the white itself (within 1e-5), for numbers that are not finite, and if the ray meets no line,
    /// which only happens if `white` is no real light.
    ///
    /// # Source
    /// CIE 15:2018 (definitions).
    pub fn dominant(self, white: Self, observer: Observer) -> Option<Dominant> {
        let toward = [self.x - white.x, self.y - white.y];
        let distance = toward[0].hypot(toward[1]);
        if !distance.is_finite() || distance < NO_DIRECTION {
            return None;
        }
        let locus = spectrum_locus(observer);
        if let Some((wavelength_nm, reach)) = on_the_locus(white, toward, locus) {
            return Some(Dominant { wavelength_nm, excitation_purity: 1.0 / reach });
        }
        let (complementary_nm, _) = on_the_locus(white, [-toward[0], -toward[1]], locus)?;
        let (reach, _) = crossing(white, toward, *locus.last()?, *locus.first()?)?;
        Some(Dominant { wavelength_nm: -complementary_nm, excitation_purity: 1.0 / reach })
    }
}

/// Where the ray meets the locus: wavelength in nm, and distance in lengths of `toward`.
fn on_the_locus(white: Chromaticity, toward: [f64; 2], locus: &[Chromaticity]) -> Option<(f64, f64)> {
    locus.windows(2).enumerate().find_map(|(i, ends)| {
        let (reach, along) = crossing(white, toward, ends[0], ends[1])?;
        Some((LOCUS_FIRST_NM + i as f64 + along, reach))
    })
}

/// Where the ray from `white` crosses the line from `a` to `b`: its distance in lengths of `toward`, and the
/// fraction along the line.
fn crossing(white: Chromaticity, toward: [f64; 2], a: Chromaticity, b: Chromaticity) -> Option<(f64, f64)> {
    let cross = |p: Chromaticity| toward[0] * (p.y - white.y) - toward[1] * (p.x - white.x);
    let (side_a, side_b) = (cross(a), cross(b));
    if side_a * side_b > 0.0 || (side_a - side_b) == 0.0 {
        return None;
    }
    let along = side_a / (side_a - side_b);
    let (dx, dy) = (a.x + along * (b.x - a.x) - white.x, a.y + along * (b.y - a.y) - white.y);
    let reach = (dx * toward[0] + dy * toward[1]) / (toward[0] * toward[0] + toward[1] * toward[1]);
    (reach > 0.0).then_some((reach, along))
}

#[cfg(test)]
mod tests {
    use super::*;

    const E: Chromaticity = Chromaticity { x: 1.0 / 3.0, y: 1.0 / 3.0 };

    #[test]
    fn a_pure_colour_has_its_own_dominant_wavelength() {
        for observer in [Observer::Cie1931, Observer::Cie1964] {
            for nm in [400usize, 485, 520, 555, 590, 640] {
                let pure = spectrum_locus(observer)[nm - 380].dominant(E, observer).unwrap();
                assert!((pure.wavelength_nm - nm as f64).abs() < 1e-6, "{nm}: {pure:?}");
                assert!((pure.excitation_purity - 1.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_purple_has_a_complementary_wavelength() {
        let locus = spectrum_locus(Observer::Cie1931);
        let (red, violet) = (locus[320], locus[0]);
        let middle = Chromaticity { x: 0.5 * (red.x + violet.x), y: 0.5 * (red.y + violet.y) };
        let purple = middle.dominant(E, Observer::Cie1931).unwrap();
        assert!(purple.is_complementary() && (-570.0..-490.0).contains(&purple.wavelength_nm), "{purple:?}");
        assert!((purple.excitation_purity - 1.0).abs() < 1e-12);
    }

    #[test]
    fn white_has_none() {
        assert_eq!(E.dominant(E, Observer::Cie1931), None);
        assert_eq!(Chromaticity { x: f64::NAN, y: 0.3 }.dominant(E, Observer::Cie1931), None);
    }
}
