//! Light thrown back and forth until nothing changes.

use crate::light::add_scaled;

/// Sweeps after which the exchange ends in any case. Each sweep keeps at most the reflectance times the share that
/// stays in the exchange, so only a very deep and almost white canyon gets there.
const MOST_SWEEPS: usize = 2000;

/// Exitances `M` with `M_i = reflectance_i · (irradiance_i + Σ_j weight_ij M_j)`, by Gauss–Seidel sweeps, until a sweep
/// changes none by more than `settled` of the largest.
///
/// `views`: for each element the others that it sees, with the share of its view that each fills; the shares must sum to
/// at most one, so that the sweeps approach the solution from below and never add energy.
///
/// # Source
/// The radiosity equation and its iteration: any textbook of radiative transfer.
pub(crate) fn exitances<const N: usize>(
    irradiance: &[[f64; N]],
    reflectance: &[&[f64; N]],
    views: &[Vec<(u32, f64)>],
    settled: f64,
) -> Vec<[f64; N]> {
    let mut exitance = vec![[0.0; N]; irradiance.len()];
    for _ in 0..MOST_SWEEPS {
        let (mut change, mut largest) = (0.0_f64, 0.0_f64);
        for i in 0..exitance.len() {
            let mut next = irradiance[i];
            for (j, weight) in &views[i] {
                add_scaled(&mut next, *weight, &exitance[*j as usize]);
            }
            for (k, next) in next.iter_mut().enumerate() {
                *next *= reflectance[i][k];
                change = change.max((*next - exitance[i][k]).abs());
                largest = largest.max(*next);
            }
            exitance[i] = next;
        }
        if change <= settled * largest || !largest.is_finite() {
            break;
        }
    }
    exitance
}
