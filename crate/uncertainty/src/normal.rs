//! Quantiles of the standard normal distribution.

use crate::portable::ln;

/// Numerator for |p − ½| ≤ 0.425, highest power first.
const MIDDLE_ABOVE: [f64; 8] = [
    2509.0809287301227,
    33430.57558358813,
    67265.7709270087,
    45921.95393154987,
    13731.69376550946,
    1971.5909503065513,
    133.14166789178438,
    3.3871328727963665,
];
/// Denominator to it, highest power first.
const MIDDLE_BELOW: [f64; 8] = [
    5226.495278852854,
    28729.085735721943,
    39307.89580009271,
    21213.794301586597,
    5394.196021424751,
    687.1870074920579,
    42.31333070160091,
    1.0,
];
/// Numerator for √(−ln p) ≤ 5, highest power first.
const SIDE_ABOVE: [f64; 8] = [
    0.0007745450142783414,
    0.022723844989269184,
    0.2417807251774506,
    1.2704582524523684,
    3.6478483247632045,
    5.769497221460691,
    4.630337846156546,
    1.4234371107496835,
];
/// Denominator to it, highest power first.
const SIDE_BELOW: [f64; 8] = [
    1.0507500716444169e-09,
    0.0005475938084995345,
    0.015198666563616457,
    0.14810397642748008,
    0.6897673349851,
    1.6763848301838038,
    2.053191626637759,
    1.0,
];
/// Numerator beyond, highest power first.
const TAIL_ABOVE: [f64; 8] = [
    2.0103343992922881e-07,
    2.7115555687434876e-05,
    0.0012426609473880784,
    0.026532189526576124,
    0.29656057182850487,
    1.7848265399172913,
    5.463784911164114,
    6.657904643501103,
];
/// Denominator to it, highest power first.
const TAIL_BELOW: [f64; 8] = [
    2.0442631033899397e-15,
    1.421511758316446e-07,
    1.8463183175100548e-05,
    0.0007868691311456133,
    0.014875361290850615,
    0.1369298809227358,
    0.599832206555888,
    1.0,
];

/// The value below which the share `p` (between 0 and 1) of a standard normal distribution lies; NaN outside.
///
/// # Source
/// M. J. Wichura, "Algorithm AS 241: The Percentage Points of the Normal Distribution", *Applied Statistics* 37 (1988)
/// 477–484, routine PPND16: 1e-16 relative.
pub(crate) fn quantile(p: f64) -> f64 {
    if !(p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180625 - q * q;
        return q * polynomial(&MIDDLE_ABOVE, r) / polynomial(&MIDDLE_BELOW, r);
    }
    let r = (-ln(if q < 0.0 { p } else { 1.0 - p })).sqrt();
    let size = if r <= 5.0 {
        polynomial(&SIDE_ABOVE, r - 1.6) / polynomial(&SIDE_BELOW, r - 1.6)
    } else {
        polynomial(&TAIL_ABOVE, r - 5.0) / polynomial(&TAIL_BELOW, r - 5.0)
    };
    size.copysign(q)
}

fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
mod tests {
    use super::*;

    // By the implementation of AS 241 in the standard library of Python 3.
    #[test]
    fn known_quantiles() {
        for (p, expected) in [
            (0.05, -1.6448536269514726),
            (0.95, 1.6448536269514715),
            (0.25, -0.6744897501960817),
            (0.075, -1.4395314709384557),
            (0.001, -3.090232306167813),
            (1e-06, -4.753424308822899),
            (1e-12, -7.034483825301132),
            (0.6, 0.2533471031357998),
            (0.9999, 3.7190164854557084),
        ] {
            let found = quantile(p);
            assert!((found / expected - 1.0).abs() < 4e-15, "{p}: {found}, expected {expected}");
            assert!((quantile(1.0 - p) + found).abs() < 1e-9 / p.min(1.0 - p) * 1e-6);
        }
        assert!(quantile(0.5).abs() < 1e-300);
    }

    #[test]
    fn nothing_outside_0_to_1() {
        for p in [0.0, 1.0, -1.0, 2.0, f64::NAN, f64::INFINITY] {
            assert!(quantile(p).is_nan());
        }
    }
}
