//! Sums over the dome of the sky.

/// Nodes and weights of a Gauss–Legendre rule on −1…1, ascending; N from 2.
///
/// # Source
/// Roots of the Legendre polynomial by Newton's method from Tricomi's start; Davis & Rabinowitz, *Methods of
/// Numerical Integration*, 1984, section 2.7 (from memory).
pub fn gauss_legendre<const N: usize>() -> [(f64, f64); N] {
    std::array::from_fn(|i| {
        let n = N as f64;
        let mut x = -(std::f64::consts::PI * (i as f64 + 0.75) / (n + 0.5)).cos();
        let mut slope = 1.0;
        for _ in 0..20 {
            let (mut before, mut here) = (1.0, x);
            for k in 2..=N {
                let k = k as f64;
                (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
            }
            slope = n * (x * here - before) / (x * x - 1.0);
            let step = here / slope;
            x -= step;
            if step.abs() < 1e-15 {
                break;
            }
        }
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    })
}

/// The rule applied to each panel between neighbouring `breaks` (ascending): (abscissa, weight).
pub(crate) fn over_panels<'a>(
    rule: &'a [(f64, f64)],
    breaks: &'a [f64],
) -> impl Iterator<Item = (f64, f64)> + Clone + 'a {
    breaks.windows(2).filter(|w| w[1] > w[0]).flat_map(move |w| {
        let (middle, half) = (0.5 * (w[0] + w[1]), 0.5 * (w[1] - w[0]));
        rule.iter().map(move |&(x, weight)| (middle + half * x, half * weight))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_of_n_nodes_is_exact_to_degree_2n_minus_1() {
        let rule = gauss_legendre::<12>();
        for degree in 0..24 {
            let sum: f64 = rule.iter().map(|(x, w)| w * x.powi(degree)).sum();
            let exact = if degree % 2 == 0 { 2.0 / (f64::from(degree) + 1.0) } else { 0.0 };
            assert!((sum - exact).abs() < 1e-14, "{degree}: {sum}");
        }
    }

    #[test]
    fn panels_join() {
        let rule = gauss_legendre::<6>();
        let sum: f64 = over_panels(&rule, &[0.0, 0.3, 0.3, 2.0]).map(|(x, w)| w * x * x).sum();
        assert!((sum - 8.0 / 3.0).abs() < 1e-13);
    }
}
