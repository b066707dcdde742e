//! Gauss–Legendre quadrature.

use std::f64::consts::PI;

/// Points and weights of the rule with `n` points on 0–1.
///
/// # Source
/// Roots of the Legendre polynomial by Newton's method from Tricomi's first guess, in every textbook of numerical
/// methods.
pub(crate) fn gauss(n: usize) -> Vec<(f64, f64)> {
    (0..n)
        .map(|i| {
            let mut x = (PI * (i as f64 + 0.75) / (n as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..20 {
                let (mut now, mut before) = (1.0, 0.0);
                for k in 0..n {
                    let k = k as f64;
                    (now, before) = (((2.0 * k + 1.0) * x * now - k * before) / (k + 1.0), now);
                }
                slope = n as f64 * (x * now - before) / (x * x - 1.0);
                let step = now / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            ((1.0 - x) / 2.0, 1.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Calls `f` with each point, and its weight, of a rule stretched to each of the panels between `breaks`, which ascend.
pub(crate) fn over_panels(rule: &[(f64, f64)], breaks: &[f64], mut f: impl FnMut(f64, f64)) {
    for ends in breaks.windows(2) {
        let width = ends[1] - ends[0];
        if width > 0.0 {
            rule.iter().for_each(|(x, w)| f(ends[0] + x * width, w * width));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_are_exact() {
        for n in [1, 2, 5, 32, 48] {
            let power = 2 * n - 1;
            let mut sum = 0.0;
            over_panels(&gauss(n), &[0.0, 0.3, 1.0], |x, w| sum += w * x.powi(power as i32));
            assert!((sum * (power + 1) as f64 - 1.0).abs() < 1e-12, "{n} points: {sum}");
        }
    }
}
