//! Light thrown back and forth until nothing changes.

/// Sweeps after which the exchange ends in any case. Each sweep keeps at most the reflectance times the share that
/// stays in the exchange, so only a very deep and almost white canyon gets there.
const MOST_SWEEPS: usize = 2000;
/// Change between two sweeps, relative to the largest exitance, at which the exchange ends.
const SETTLED: f64 = 1e-10;

/// Exitances `M` with `M_i = reflectance_i · (irradiance_i + gathered(i, M))`, by Gauss–Seidel sweeps.
///
/// `gathered` gives the irradiance of element `i` by the exitances of the others; its weights must sum to at most one,
/// so that the sweeps approach the solution from below and never add energy.
///
/// # Source
/// The radiosity equation and its iteration: any textbook of radiative transfer.
pub(crate) fn exitances(
    irradiance: &[f64],
    reflectance: impl Fn(usize) -> f64,
    gathered: impl Fn(usize, &[f64]) -> f64,
) -> Vec<f64> {
    let mut exitance = vec![0.0; irradiance.len()];
    for _ in 0..MOST_SWEEPS {
        let (mut change, mut largest) = (0.0_f64, 0.0_f64);
        for i in 0..exitance.len() {
            let next = reflectance(i) * (irradiance[i] + gathered(i, &exitance));
            change = change.max((next - exitance[i]).abs());
            largest = largest.max(next);
            exitance[i] = next;
        }
        if change <= SETTLED * largest || !largest.is_finite() {
            break;
        }
    }
    exitance
}
