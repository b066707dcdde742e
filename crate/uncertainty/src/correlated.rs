//! Errors that are similar at neighbouring wavelengths: a Gaussian curve of a few independent numbers.

use spectra::{SAMPLES, Spectrum, wavelengths_nm};

use crate::portable::exp;

/// Variance that may be missing at a wavelength, of 1.
const NEGLIGIBLE: f64 = 1e-6;

/// Columns L such that Σ z·L, with independent standard normal z, is a Gaussian curve with variance 1 at every
/// wavelength and correlation exp(−Δ²/(2ℓ²)) between two wavelengths Δ apart. `length_nm` is ℓ; `None` is one number
/// for the whole spectrum.
///
/// A Cholesky factor that takes the wavelength with the largest variance still missing at each step, and stops when
/// less than 1e-6 is missing anywhere: 11 columns for 100 nm, 28 for 30 nm, all 81 for 5 nm.
///
/// # Source
/// Pivoted Cholesky decomposition: N. J. Higham, *Accuracy and Stability of Numerical Algorithms*, §10.3 (from memory).
pub(crate) fn factor(length_nm: Option<f64>) -> Vec<Spectrum> {
    let Some(length_nm) = length_nm else { return vec![Spectrum::ONE] };
    let nm: Vec<f64> = wavelengths_nm().collect();
    let mut missing = Spectrum::ONE;
    let mut columns: Vec<Spectrum> = Vec::new();
    while columns.len() < SAMPLES {
        let pivot = largest(&missing);
        if missing[pivot] < NEGLIGIBLE {
            break;
        }
        let mut column = Spectrum::from_fn(|at| correlation(at - nm[pivot], length_nm));
        for before in &columns {
            column.add_scaled(-before[pivot], before);
        }
        column *= 1.0 / missing[pivot].sqrt();
        missing = missing.zip_map(&column, |m, c| (m - c * c).max(0.0));
        // What rounding leaves at the pivot must not be chosen again.
        missing[pivot] = 0.0;
        columns.push(column);
    }
    columns
}

fn correlation(distance_nm: f64, length_nm: f64) -> f64 {
    let x = distance_nm / length_nm;
    exp(-0.5 * x * x)
}

/// The sample with the largest value; of equals the one nearest the middle of the spectrum, where the eye is most
/// sensitive.
fn largest(spectrum: &Spectrum) -> usize {
    let off_middle = |i: usize| i.abs_diff(SAMPLES / 2);
    (0..SAMPLES)
        .max_by(|&a, &b| spectrum[a].total_cmp(&spectrum[b]).then(off_middle(b).cmp(&off_middle(a))))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_columns_give_the_correlation_back() {
        for (length, most) in [(400.0, 6), (100.0, 12), (30.0, 32), (5.0, 81), (1e-300, 81), (1e300, 1)] {
            let columns = factor(Some(length));
            assert!(columns.len() <= most, "{length}: {}", columns.len());
            for i in 0..SAMPLES {
                for j in 0..SAMPLES {
                    let found: f64 = columns.iter().map(|c| c[i] * c[j]).sum();
                    let expected = correlation(5.0 * i.abs_diff(j) as f64, length);
                    assert!(
                        (found - expected).abs() <= 1.01 * NEGLIGIBLE,
                        "{length} {i} {j}: {found} {expected}"
                    );
                }
            }
        }
        assert_eq!(factor(None), [Spectrum::ONE]);
    }
}
