//! Exponential and logarithm by basic arithmetic only.
//!
//! Those of the standard library come from the platform, and may differ in the last digit from one to the next. These
//! use nothing but operations that IEEE 754 rounds exactly, in a fixed order, so that a sample is the same to the bit
//! everywhere. They are within 1e-15 of the exact value, relative, and loops over 81 samples become vector
//! instructions.

/// ln 2 in two parts; the first has zeros at its end, so that a whole multiple of it is exact.
const LN_2: [f64; 2] = [0.6931471803691238, 1.9082149292705877e-10];
/// Adding it rounds to a whole number, which is then in the lowest bits: 1.5 · 2^52.
const ROUND: f64 = 6_755_399_441_055_744.0;
/// 1/k! from k = 13 down to 2.
const INVERSE_FACTORIALS: [f64; 12] = [
    1.0 / 6_227_020_800.0,
    1.0 / 479_001_600.0,
    1.0 / 39_916_800.0,
    1.0 / 3_628_800.0,
    1.0 / 362_880.0,
    1.0 / 40_320.0,
    1.0 / 5_040.0,
    1.0 / 720.0,
    1.0 / 120.0,
    1.0 / 24.0,
    1.0 / 6.0,
    0.5,
];

/// e^x. Infinite above 709.78, 0 below −746, NaN for NaN.
///
/// e^x = 2^k · e^r with |r| ≤ ½ ln 2, and thirteen terms of Taylor's series for e^r.
#[inline]
pub(crate) fn exp(x: f64) -> f64 {
    let x = x.clamp(-746.0, 710.0);
    let rounded = x * std::f64::consts::LOG2_E + ROUND;
    let k = rounded - ROUND;
    let r = (x - k * LN_2[0]) - k * LN_2[1];
    let mut series = INVERSE_FACTORIALS[0];
    for coefficient in &INVERSE_FACTORIALS[1..] {
        series = series * r + coefficient;
    }
    let series = 1.0 + (r + r * r * series);
    // In two steps, because 2^k itself may be beyond the range.
    let k = (rounded.to_bits() as i64).wrapping_sub(ROUND.to_bits() as i64);
    let half = k >> 1;
    series * power_of_2(half) * power_of_2(k - half)
}

/// 2^k for −1022 ≤ k ≤ 1023.
#[inline]
fn power_of_2(k: i64) -> f64 {
    f64::from_bits((k.wrapping_add(1023) as u64) << 52)
}

/// Natural logarithm. −∞ for 0, NaN for anything below.
///
/// x = 2^k · m with m between √½ and √2, and ln m = 2 artanh((m−1)/(m+1)) by its series.
pub(crate) fn ln(x: f64) -> f64 {
    if x.is_nan() || x < 0.0 {
        return f64::NAN;
    }
    if x < f64::MIN_POSITIVE {
        return if x > 0.0 {
            ln(x * 18_014_398_509_481_984.0) - 54.0 * std::f64::consts::LN_2
        } else {
            f64::NEG_INFINITY
        };
    }
    if x.is_infinite() {
        return x;
    }
    let bits = x.to_bits();
    let mut k = ((bits >> 52) as i64 - 1023) as f64;
    let mut m = f64::from_bits((bits & 0x000f_ffff_ffff_ffff) | 0x3ff0_0000_0000_0000);
    if m > std::f64::consts::SQRT_2 {
        m *= 0.5;
        k += 1.0;
    }
    let s = (m - 1.0) / (m + 1.0);
    let s2 = s * s;
    let mut series = 0.0;
    for odd in (3..=23).rev().step_by(2) {
        series = (series + 1.0 / f64::from(odd)) * s2;
    }
    k * LN_2[0] + (2.0 * s + (2.0 * s * series + k * LN_2[1]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_equal_the_platform_to_a_few_units_in_the_last_place() {
        for i in -74_000..=70_900 {
            let x = f64::from(i) / 100.0 + 0.003;
            let (found, expected) = (exp(x), x.exp());
            let room = 1e-15 * expected + f64::from_bits(2);
            assert!((found - expected).abs() <= room, "exp {x}: {found} {expected}");
            if expected > f64::MIN_POSITIVE {
                let (found, expected) = (ln(expected), expected.ln());
                assert!((found - expected).abs() <= 4e-16 * (1.0 + expected.abs()), "ln: {found} {expected}");
            }
        }
    }

    #[test]
    fn ends_of_the_range() {
        for (found, expected) in [
            (exp(800.0), f64::INFINITY),
            (exp(f64::INFINITY), f64::INFINITY),
            (exp(-800.0), 0.0),
            (exp(f64::NEG_INFINITY), 0.0),
            (exp(0.0), 1.0),
            (exp(-0.0), 1.0),
            (ln(f64::INFINITY), f64::INFINITY),
            (ln(1.0), 0.0),
            (ln(0.0), f64::NEG_INFINITY),
        ] {
            assert_eq!(found.to_bits(), expected.to_bits(), "{found}, expected {expected}");
        }
        assert!(exp(f64::NAN).is_nan() && ln(-1.0).is_nan() && ln(f64::NAN).is_nan());
        assert!((ln(f64::from_bits(1)) + 744.440_071_921_381_2).abs() < 1e-12);
        assert!((ln(f64::MAX) - 709.782_712_893_384).abs() < 1e-12);
    }
}
