//! Paint that covers only part of the glass: stippled, scratched or dotted.

/// Transmittance of paint of density `density` over a share `coverage` (0–1) of the glass.
///
/// T = 1 − c + c·10^(−D), exact for light that crosses once.
///
/// # Source
/// Murray 1936, J. Franklin Inst. 221, 721, for reflection; here for transmission.
pub fn murray_davies(density: f64, coverage: f64) -> f64 {
    1.0 - coverage + coverage * 10f64.powf(-density)
}

/// [`murray_davies`] for light that spreads sideways under the paint and crosses it again elsewhere.
///
/// T = (1 − c + c·10^(−D/n))ⁿ. `n`: 1 for no spreading, approaching 2 over opal glass.
///
/// # Source
/// Yule & Nielsen 1951, Proc. TAGA 3, 65 (from memory).
pub fn yule_nielsen(density: f64, coverage: f64, n: f64) -> f64 {
    murray_davies(density / n, coverage).powf(n)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_paint_and_full_paint() {
        assert!((murray_davies(2.0, 0.0) - 1.0).abs() < 1e-15);
        assert!((murray_davies(2.0, 1.0) - 0.01).abs() < 1e-15);
        assert!((yule_nielsen(2.0, 1.0, 2.0) - 0.01).abs() < 1e-15);
        // Scattered crossings make dots denser.
        assert!(yule_nielsen(2.0, 0.5, 2.0) < murray_davies(2.0, 0.5));
    }
}
