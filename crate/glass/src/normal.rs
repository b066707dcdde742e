//! The normal distribution function.

use std::f64::consts::PI;

/// Beyond so many standard deviations there is nothing left in a double.
const FAR: f64 = 9.0;

/// Share of a standard normal distribution below `x`, to 1e-15.
///
/// # Source
/// G. Marsaglia, *J. Stat. Softw.* 11 (2004) no. 4: ½ + φ(x)·(x + x³/3 + x⁵/(3·5) + …) (from memory).
pub fn normal_below(x: f64) -> f64 {
    if x.abs() > FAR {
        return if x > 0.0 { 1.0 } else { 0.0 };
    }
    let (mut term, mut sum, mut odd) = (x, x, 1.0);
    while term.abs() > 1e-17 * sum.abs() {
        odd += 2.0;
        term *= x * x / odd;
        sum += term;
    }
    (0.5 + sum * (-0.5 * x * x).exp() / (2.0 * PI).sqrt()).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    // From tables of the normal distribution (Abramowitz & Stegun 26.1).
    #[test]
    fn shares_below() {
        for (x, expected) in [
            (0.0, 0.5),
            (1.0, 0.841_344_746_068_543),
            (-1.0, 0.158_655_253_931_457),
            (2.0, 0.977_249_868_051_821),
            (-3.0, 0.001_349_898_031_630),
            (1.644_853_626_951_473, 0.95),
            (20.0, 1.0),
            (f64::NEG_INFINITY, 0.0),
        ] {
            let found = normal_below(x);
            assert!((found - expected).abs() < 1e-14, "{x}: {found}");
        }
    }
}
