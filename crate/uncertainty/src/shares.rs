//! How much of a figure's variance is due to each cause.
//!
//! A figure is a sum of effects of single causes and of what several do together. The effect of a cause is developed
//! in Hermite polynomials of its normal numbers, which are uncorrelated, so that the squared correlation of each with
//! the figure is its part of the variance. Up to third order for a single number; the numbers of a curve also in
//! pairs. No further evaluations of the figure are needed, however many causes there are.
//!
//! # Source
//! R. G. Ghanem & P. D. Spanos, *Stochastic Finite Elements* (1991), polynomial chaos; first-order indices of
//! I. M. Sobol′, *Math. Model. Comput. Exp.* 1 (1993) 407–414 (both from memory).

use std::ops::Range;

use crate::strata::Strata;

/// Numbers of one curve that are taken in pairs.
const MOST_IN_PAIRS: usize = 16;
/// A cause with more numbers than any curve is many small effects side by side, which are straight enough: higher
/// orders would only add noise.
const MOST_CURVED: usize = spectra::SAMPLES;

/// Shares of the variance of `values`, one for each range of dimensions: 0–1, together at most 1. All 0 if the values
/// are the same or not finite.
///
/// A polynomial that has nothing to do with the figure still correlates with n draws by about 1/√n. The expected
/// square of that is subtracted; what remains of it is about 0.0003 a cause with 2^15 draws.
pub(crate) fn shares(
    values: &[f64],
    strata: &Strata,
    by_cause: impl Iterator<Item = Range<usize>>,
) -> Vec<f64> {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let deviations: Vec<f64> = values.iter().map(|v| v - mean).collect();
    let variance = deviations.iter().map(|d| d * d).sum::<f64>() / n;
    let found: Vec<(f64, usize)> = by_cause.map(|range| explained(&deviations, strata, range)).collect();
    if !(variance > 0.0 && variance.is_finite()) {
        return vec![0.0; found.len()];
    }
    // Of what is unexplained, the polynomials have taken terms/n by chance.
    let terms: usize = found.iter().map(|(_, terms)| terms).sum();
    let left = 1.0 - found.iter().map(|(square, _)| square / variance).sum::<f64>();
    let unexplained = (left / (1.0 - terms as f64 / n).max(0.1)).clamp(0.0, 1.0);
    let mut shares: Vec<f64> = found
        .iter()
        .map(|(square, terms)| (square / variance - unexplained * *terms as f64 / n).clamp(0.0, 1.0))
        .collect();
    let total: f64 = shares.iter().sum();
    if total > 1.0 {
        shares.iter_mut().for_each(|share| *share /= total);
    }
    shares
}

/// Variance explained by the numbers of one cause, and by how many polynomials.
fn explained(deviations: &[f64], strata: &Strata, dimensions: Range<usize>) -> (f64, usize) {
    let n = deviations.len() as f64;
    let normals: Vec<Vec<f64>> = dimensions
        .map(|dimension| (0..deviations.len()).map(|i| strata.normal(dimension, i)).collect())
        .collect();
    let straight = normals.len() > MOST_CURVED;
    let (mut sum, mut terms) = (0.0, 0);
    let mut take = |projection: f64, square_norm: f64| {
        sum += (projection / n).powi(2) / square_norm;
        terms += 1;
    };
    for z in &normals {
        if straight {
            take(z.iter().zip(deviations).map(|(z, d)| z * d).sum(), 1.0);
            continue;
        }
        let mut orders = [0.0; 3];
        for (z, d) in z.iter().zip(deviations) {
            orders[0] += d * z;
            orders[1] += d * (z * z - 1.0);
            orders[2] += d * (z * z - 3.0) * z;
        }
        for (order, square_norm) in orders.into_iter().zip([1.0, 2.0, 6.0]) {
            take(order, square_norm);
        }
    }
    let paired = if straight { &[] } else { &normals[..normals.len().min(MOST_IN_PAIRS)] };
    for (k, a) in paired.iter().enumerate() {
        for b in &paired[..k] {
            take(a.iter().zip(b).zip(deviations).map(|((a, b), d)| a * b * d).sum(), 1.0);
        }
    }
    (sum, terms)
}
