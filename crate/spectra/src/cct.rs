//! Correlated colour temperature and distance from the Planckian locus.

use std::sync::LazyLock;

use crate::illuminant::SECOND_RADIATION_CONSTANT;
use crate::observer::{ONE_NM_FIRST, Observer, one_nm};
use crate::{UvPrime, Xyz};

/// Correlated colour temperature and Duv of a light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CctDuv {
    /// Temperature of the nearest black body, K.
    pub cct_k: f64,
    /// Distance from the Planckian locus in the CIE 1960 (u, v) diagram: positive above it (greenish), negative
    /// below it (pinkish).
    pub duv: f64,
}

/// Largest |Duv| at which a correlated colour temperature is still given (CIE 15:2018).
pub const LARGEST_DUV: f64 = 0.05;

/// The Planckian locus is searched over 1 000–100 000 K: 10–1000 reciprocal megakelvin.
const FIRST_MIRED: f64 = 10.0;
const STEP_MIRED: f64 = 2.5;
const KNOTS: usize = 397;

/// A point of the locus in CIE 1960 (u, v) and its derivative by reciprocal megakelvin.
#[derive(Clone, Copy)]
struct Knot {
    uv: [f64; 2],
    slope: [f64; 2],
}

/// The locus at [`KNOTS`] even steps of reciprocal megakelvin, computed once (2 ms). Cubic pieces through points
/// and derivatives stay within 5e-11 of the true locus in u and v, which changes a temperature by less than 1e-6 of
/// its value.
static LOCUS: LazyLock<[Knot; KNOTS]> =
    LazyLock::new(|| std::array::from_fn(|i| planckian(FIRST_MIRED + STEP_MIRED * i as f64)));

/// Colour of a black body: plain 1 nm sum over 360–830 nm.
fn planckian(mired: f64) -> Knot {
    let [x_bar, y_bar, z_bar] = one_nm(Observer::Cie1931);
    let (mut xyz, mut slope) = ([0.0; 3], [0.0; 3]);
    for (i, ((x, y), z)) in x_bar.iter().zip(y_bar).zip(z_bar).enumerate() {
        let micrometre = (ONE_NM_FIRST + i) as f64 * 1e-3;
        // c₂/(λT) with 1/T = 1e-6·mired and λ = 1e-6·micrometre.
        let per_mired = SECOND_RADIATION_CONSTANT / micrometre;
        let less_one = (per_mired * mired).exp_m1();
        let radiance = 1.0 / (micrometre.powi(5) * less_one);
        let derivative = -radiance * per_mired * (1.0 + 1.0 / less_one);
        for (k, function) in [x, y, z].into_iter().enumerate() {
            xyz[k] += radiance * function;
            slope[k] += derivative * function;
        }
    }
    let denominator = xyz[0] + 15.0 * xyz[1] + 3.0 * xyz[2];
    let denominator_slope = slope[0] + 15.0 * slope[1] + 3.0 * slope[2];
    let uv = [4.0 * xyz[0] / denominator, 6.0 * xyz[1] / denominator];
    Knot {
        uv,
        slope: [
            (4.0 * slope[0] - uv[0] * denominator_slope) / denominator,
            (6.0 * slope[1] - uv[1] * denominator_slope) / denominator,
        ],
    }
}

/// Chromaticity of a black body, (u′, v′), 2° observer; `None` outside 1 000–100 000 K.
pub fn planckian_u_prime_v_prime(temperature_k: f64) -> Option<UvPrime> {
    (1000.0..=100_000.0).contains(&temperature_k).then(|| {
        let [u, v] = planckian(1e6 / temperature_k).uv;
        UvPrime { u, v: 1.5 * v }
    })
}

impl UvPrime {
    /// Correlated colour temperature and Duv: the exact nearest point of the Planckian locus in CIE 1960 (u, v), c₂
    /// = 1.4388e-2 m·K, 2° observer.
    ///
    /// `None` where they have no meaning: |Duv| above [`LARGEST_DUV`], or the nearest point outside 1 000–100 000
    /// K.
    ///
    /// # Source
    /// CIE 15:2018 (definition). No published approximation is used.
    pub fn cct_duv(self) -> Option<CctDuv> {
        let point = [self.u, self.v / 1.5];
        if !(point[0].is_finite() && point[1].is_finite()) {
            return None;
        }
        let mut nearest = (f64::INFINITY, 0);
        for (i, knot) in LOCUS.iter().enumerate() {
            let (du, dv) = (knot.uv[0] - point[0], knot.uv[1] - point[1]);
            let squared = du * du + dv * dv;
            if squared < nearest.0 {
                nearest = (squared, i);
            }
        }
        let here = &LOCUS[nearest.1];
        let ahead = (point[0] - here.uv[0]) * here.slope[0] + (point[1] - here.uv[1]) * here.slope[1] > 0.0;
        let first = if ahead { nearest.1 } else { nearest.1.checked_sub(1)? };
        let piece = Piece::between(LOCUS.get(first)?, LOCUS.get(first + 1)?);
        let t = piece.nearest(point);
        let (foot, slope) = (piece.at(t), piece.slope(t));
        let (du, dv) = (point[0] - foot[0], point[1] - foot[1]);
        // The locus runs toward greater u everywhere, so its left-hand normal points up.
        let duv = (dv * slope[0] - du * slope[1]) / slope[0].hypot(slope[1]);
        (duv.abs() <= LARGEST_DUV)
            .then(|| CctDuv { cct_k: 1e6 / (FIRST_MIRED + STEP_MIRED * (first as f64 + t)), duv })
    }
}

impl Xyz {
    /// [`UvPrime::cct_duv`] for tristimulus values of the 2° observer; `None` also in the dark.
    pub fn cct_duv(self) -> Option<CctDuv> {
        self.u_prime_v_prime()?.cct_duv()
    }
}

/// A cubic piece of the locus, t from 0 to 1, as polynomial coefficients of u and v.
struct Piece([[f64; 4]; 2]);

impl Piece {
    fn between(from: &Knot, to: &Knot) -> Self {
        Self(std::array::from_fn(|k| {
            let (p0, p1) = (from.uv[k], to.uv[k]);
            let (m0, m1) = (from.slope[k] * STEP_MIRED, to.slope[k] * STEP_MIRED);
            [p0, m0, 3.0 * (p1 - p0) - 2.0 * m0 - m1, 2.0 * (p0 - p1) + m0 + m1]
        }))
    }

    fn at(&self, t: f64) -> [f64; 2] {
        self.0.map(|[a, b, c, d]| a + t * (b + t * (c + t * d)))
    }

    fn slope(&self, t: f64) -> [f64; 2] {
        self.0.map(|[_, b, c, d]| b + t * (2.0 * c + t * 3.0 * d))
    }

    /// Where the piece is nearest to `point`: Newton's method, halving the bracket if a step leaves it.
    fn nearest(&self, point: [f64; 2]) -> f64 {
        let (mut low, mut high, mut t) = (0.0, 1.0, 0.5);
        for _ in 0..60 {
            let (foot, slope) = (self.at(t), self.slope(t));
            let toward = (point[0] - foot[0]) * slope[0] + (point[1] - foot[1]) * slope[1];
            if toward > 0.0 {
                low = t
            } else {
                high = t
            }
            let bend = self.0.map(|[_, _, c, d]| 2.0 * c + 6.0 * d * t);
            let fall = slope[0] * slope[0] + slope[1] * slope[1]
                - (point[0] - foot[0]) * bend[0]
                - (point[1] - foot[1]) * bend[1];
            let newton = t + toward / fall;
            let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
            if (next - t).abs() < 1e-14 {
                break;
            }
            t = next;
        }
        t
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cubic_pieces_stay_on_the_locus() {
        let mut worst = 0.0f64;
        for i in 0..KNOTS - 1 {
            let piece = Piece::between(&LOCUS[i], &LOCUS[i + 1]);
            for t in [0.25, 0.5, 0.75] {
                let truth = planckian(FIRST_MIRED + STEP_MIRED * (i as f64 + t)).uv;
                let drawn = piece.at(t);
                worst = worst.max((truth[0] - drawn[0]).abs()).max((truth[1] - drawn[1]).abs());
            }
        }
        assert!(worst < 5e-11, "{worst:e}");
    }

    #[test]
    fn a_black_body_has_its_own_temperature() {
        for cct_k in [1001.0, 1850.0, 2856.0, 5000.0, 6504.0, 9999.0, 25_000.0, 99_000.0] {
            let found = planckian_u_prime_v_prime(cct_k).unwrap().cct_duv().unwrap();
            assert!((found.cct_k / cct_k - 1.0).abs() < 2e-6, "{cct_k}: {found:?}");
            assert!(found.duv.abs() < 1e-10);
        }
    }

    #[test]
    fn far_from_the_locus_there_is_no_temperature() {
        assert_eq!(UvPrime { u: 0.10, v: 0.55 }.cct_duv(), None);
        assert_eq!(UvPrime { u: f64::NAN, v: 0.5 }.cct_duv(), None);
        assert_eq!(Xyz::ZERO.cct_duv(), None);
        // Beyond either end of the locus.
        assert_eq!(UvPrime { u: 0.50, v: 0.52 }.cct_duv(), None);
        assert_eq!(UvPrime { u: 0.17, v: 0.38 }.cct_duv(), None);
    }
}
