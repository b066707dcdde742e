//! Daylight glare probability.

use plane::RoomVector;

/// A bright source as the eye sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GlareSource {
    /// Luminance, cd/m².
    pub luminance_cd_m2: f64,
    /// Solid angle, sr.
    pub solid_angle_sr: f64,
    /// Guth position index: 1 on the line of sight, more away from it.
    pub position_index: f64,
}

/// Position index of a source in direction `direction` (unit) for an eye that looks along −z with y up.
///
/// Guth's formula above the line of sight and Iwata's below it, which jumps at R/D = 0.6; at most 16.
///
/// # Source
/// Guth 1963 in the form of Levin 1975; Iwata & Tokura 1997; both from memory, confirmed against a general glare tool
/// (tests/reference/room/glare.json).
pub fn position_index(direction: RoomVector) -> f64 {
    let [x, y, z] = direction.to_array();
    let off_axis_deg = (-z).clamp(-1.0, 1.0).acos().to_degrees();
    let index = if y >= 0.0 {
        let tau = if off_axis_deg > 0.0 { x.abs().atan2(y).to_degrees() } else { 0.0 };
        ((35.2 - 0.31889 * tau - 1.22 * (-2.0 * tau / 9.0).exp()) * 1e-3 * off_axis_deg
            + (21.0 + 0.26667 * tau - 0.002963 * tau * tau) * 1e-5 * off_axis_deg * off_axis_deg)
            .exp()
    } else if z < 0.0 {
        let ratio = x.hypot(y) / -z;
        1.0 + (if ratio < 0.6 { 0.8 } else { 1.2 }) * ratio.min(3.0)
    } else {
        16.0
    };
    index.min(16.0)
}

/// Power of the light at the eye by which the eye's adaptation lowers the glare of sources (Wienold & Christoffersen, as
/// [`daylight_glare_probability`]).
const ADAPTATION: f64 = 1.87;

/// Daylight glare probability of a view; `None` in the dark.
///
/// `vertical_illuminance_lx` is measured at the eye, including the sources. No correction for low light or age, and no upper
/// limit: above 1 it says no more than 1 does.
///
/// # Source
/// Wienold & Christoffersen 2006, Energy and Buildings 38(7), 743–757 (coefficients from memory, confirmed as above).
pub fn daylight_glare_probability(vertical_illuminance_lx: f64, sources: &[GlareSource]) -> Option<f64> {
    if vertical_illuminance_lx.is_nan() || vertical_illuminance_lx <= 0.0 {
        return None;
    }
    Some(dgp(vertical_illuminance_lx, contrast(vertical_illuminance_lx, sources)))
}

/// What the sources of a view add up to against the light at the eye.
pub(crate) fn contrast(vertical_illuminance_lx: f64, sources: &[GlareSource]) -> f64 {
    let adapted = vertical_illuminance_lx.powf(ADAPTATION);
    sources
        .iter()
        .map(|s| s.luminance_cd_m2.powi(2) * s.solid_angle_sr / (adapted * s.position_index.powi(2)))
        .sum()
}

/// [`contrast`] when everything seen is so many times as bright, the light at the eye with it.
pub(crate) fn contrast_at_level(contrast: f64, times: f64) -> f64 {
    contrast * times.powf(2.0 - ADAPTATION)
}

/// [`daylight_glare_probability`] from the sources' contrast.
pub(crate) fn dgp(vertical_illuminance_lx: f64, contrast: f64) -> f64 {
    5.87e-5 * vertical_illuminance_lx + 9.18e-2 * (1.0 + contrast).log10() + 0.16
}
