//! Exposure: how bright a picture is.

use glam::{DVec3, Vec2};
use plane::PanelPoint;

use crate::eye::look::{Exposure, Look, Mode};
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::rgb::{Gamut, xyz_from_rgb};
use crate::software::glass::glass;

/// Room light where none is given: the luminance of a white surface facing the window, as a share of the window's
/// mean luminance, in a dim room of dark stone. Assumption.
const DIM_ROOM: f64 = 0.04;
/// Appearance: the luminance, cd/m², that needs no adaptation, and the share of a change in luminance (as an
/// exponent) that remains visible once the eye has adapted. Assumption.
const REFERENCE_CD_M2: f64 = 1500.0;
const ADAPTATION_LEFT: f64 = 0.12;

/// The level of the window's own light, from which exposure and room light follow.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WindowLevel {
    /// Mean over the glass, linear RGB in cd/m².
    pub mean_rgb: [f64; 3],
    /// Mean luminance over the glass, cd/m².
    pub mean_cd_m2: f64,
    /// Ninetieth percentile over the glass of the brightest channel, cd/m².
    pub bright: f64,
}

impl WindowLevel {
    /// From the middle of every piece, weighted by area, without the sun's disc.
    pub fn new(tables: &LightTables) -> Self {
        let view = View { centre_mm: PanelPoint::default(), mm_per_px: 1e-3, size_px: [1, 1] };
        let mut frame = tables.frame(&view, 1.0, 0.0, 0.0);
        frame.sun_shines = 0.0;
        let mut bright = Vec::with_capacity(tables.places.len());
        let (mut sum, mut total) = (DVec3::ZERO, 0.0);
        for (piece, &(area, middle)) in tables.places.iter().enumerate() {
            let at = middle.vector().as_vec2();
            let rgb = glass(&frame, tables, piece, at, Vec2::ZERO).0.as_dvec3();
            if area > 0.0 && rgb.is_finite() {
                sum += rgb * area;
                total += area;
                bright.push((rgb.max_element().max(0.0), area));
            }
        }
        if total <= 0.0 {
            return Self::default();
        }
        sorting::by(&mut bright, |a, b| a.0.total_cmp(&b.0));
        let mean_rgb = sum / total;
        let mean_cd_m2 = (xyz_from_rgb(Gamut::Srgb) * mean_rgb).y;
        Self { mean_rgb: mean_rgb.to_array(), mean_cd_m2, bright: quantile(&bright, 0.9 * total) }
    }

    /// Exposure for a mode: the factor by which luminance is multiplied so that 1 is the screen's white.
    pub fn exposure(&self, mode: Mode, wanted: Exposure) -> f64 {
        // Below starlight the picture is not brightened any further: it goes black with the window.
        let bright = self.bright.max(1e-4);
        let auto = match mode {
            Mode::ColourTrue => 0.85 / bright,
            Mode::Appearance => {
                0.72 / bright * (bright / REFERENCE_CD_M2).powf(ADAPTATION_LEFT).clamp(0.15, 1.5)
            }
        };
        match wanted {
            Exposure::Auto => auto,
            Exposure::Stops(stops) => auto * stops.clamp(-20.0, 20.0).exp2(),
            Exposure::White(cd_m2) if cd_m2 > 0.0 && cd_m2.is_finite() => 1.0 / cd_m2,
            Exposure::White(_) => auto,
        }
    }

    /// The luminance that becomes white, cd/m².
    pub fn white_cd_m2(&self, look: &Look) -> f64 {
        1.0 / self.exposure(look.mode, look.exposure)
    }

    /// Luminance of white in the room, given or assumed.
    pub(crate) fn room_white(&self, given: Option<f64>) -> f64 {
        given.filter(|v| v.is_finite() && *v >= 0.0).unwrap_or(DIM_ROOM * self.mean_cd_m2.max(0.0))
    }
}

/// The value below which `target` of the weight lies, interpolated between sorted (value, weight) pairs.
fn quantile(sorted: &[(f64, f64)], target: f64) -> f64 {
    let (mut below, mut previous) = (0.0, None::<(f64, f64)>);
    for &(value, weight) in sorted {
        let middle = below + weight / 2.0;
        if middle >= target {
            return previous.map_or(value, |(v, m)| v + (value - v) * (target - m) / (middle - m));
        }
        previous = Some((value, middle));
        below += weight;
    }
    sorted.last().map_or(0.0, |s| s.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_lie_between_their_neighbours() {
        let sorted = [(1.0, 1.0), (2.0, 1.0), (4.0, 2.0)];
        assert!((quantile(&sorted, 1.0) - 1.5).abs() < 1e-12);
        assert!((quantile(&sorted, 3.9) - 4.0).abs() < 1e-12);
        assert!((quantile(&sorted, 0.0) - 1.0).abs() < 1e-12);
    }
}
