//! Reflection at one plane boundary between two clear media.

use crate::quadrature::GAUSS_32;

/// Cosine of the angle to the normal inside a medium of index `n`, for a beam that makes an angle of sine
/// `sine_in_air` in air.
///
/// Snell: sin θ = n·sin θ′. Never below 1e-9, so that a grazing beam has a long but finite path.
pub fn inner_cosine(n: f64, sine_in_air: f64) -> f64 {
    let s = sine_in_air / n;
    (1.0 - s * s).max(0.0).sqrt().max(1e-9)
}

/// Share of a beam reflected at the boundary of two clear media, `[s, p]` polarisation separately.
///
/// `n1`, `n2`: indices; `c1`, `c2`: cosines of the angles to the normal on each side. The same from both sides.
/// Equal indices reflect nothing.
///
/// # Source
/// Fresnel's equations, e.g. Born & Wolf, *Principles of Optics*, 7th ed. 1999, §1.5.2 eq. 21 (section from
/// memory).
pub fn reflectance(n1: f64, n2: f64, c1: f64, c2: f64) -> [f64; 2] {
    let s = (n1 * c1 - n2 * c2) / (n1 * c1 + n2 * c2);
    let p = (n2 * c1 - n1 * c2) / (n2 * c1 + n1 * c2);
    [s * s, p * p]
}

/// Share of diffuse light reflected at a boundary, for light that is evenly spread over directions **as seen from
/// air** (inside glass it fills the cone within the critical angle). The same from both sides.
///
/// ∫₀¹ R(u) du with u = sin²θ in air, both polarisations in equal parts; air to n = 1.5 gives 0.092.
pub fn diffuse_reflectance(n1: f64, n2: f64) -> f64 {
    // With c = cos θ the weight is 2c dc, and the integrand has no corner at grazing incidence.
    GAUSS_32
        .iter()
        .map(|&(c, weight)| {
            let sine = (1.0 - c * c).sqrt();
            let [s, p] = reflectance(n1, n2, inner_cosine(n1, sine), inner_cosine(n2, sine));
            weight * 2.0 * c * 0.5 * (s + p)
        })
        .sum()
}

/// Mean path, in thicknesses, of diffuse light through a layer of index `n`, the light being evenly spread as seen
/// from air: ∫₀¹ (1 − u/n²)^(−1/2) du = 2n²(1 − √(1 − 1/n²)). 1.141 for n = 1.52, 2 for an air gap.
pub fn diffuse_path(n: f64) -> f64 {
    let n2 = n * n;
    2.0 * n2 * (1.0 - (1.0 - 1.0 / n2).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_incidence_is_the_textbook_ratio() {
        // ((n−1)/(n+1))² for n = 1.50, 1.52, 1.56.
        for (n, r) in [(1.50, 0.0400), (1.52, 0.0426), (1.56, 0.0479)] {
            let [s, p] = reflectance(1.0, n, 1.0, 1.0);
            assert!((s - r).abs() < 5e-5 && (p - r).abs() < 5e-5, "{n}: {s} {p}");
        }
    }

    #[test]
    fn nothing_is_reflected_between_equal_media_and_no_p_at_brewster() {
        let c = inner_cosine(1.52, 0.7);
        assert!(reflectance(1.52, 1.52, c, c).iter().all(|&r| r == 0.0));
        let brewster = 1.52f64.atan();
        let [_, p] = reflectance(1.0, 1.52, brewster.cos(), inner_cosine(1.52, brewster.sin()));
        assert!(p < 1e-20, "{p}");
    }

    #[test]
    fn diffuse_reflectance_of_glass() {
        // Walsh's closed form gives 0.0918 for n = 1.5 (Walsh 1926, value from memory).
        let r = diffuse_reflectance(1.0, 1.5);
        assert!((r - 0.0918).abs() < 2e-4, "{r}");
        assert!((r - diffuse_reflectance(1.5, 1.0)).abs() < 1e-12);
    }
}
