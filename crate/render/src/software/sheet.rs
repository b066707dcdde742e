//! The surface and the second quality of a sheet of glass; CPU twin of `shaders/sheet.wgsl`.

use glam::{Vec2, Vec2Swizzles as _, Vec3, Vec3Swizzles as _};

use crate::shared::constants::{
    BAND_PER_MM, BAND_SHARE, DRIFT_PER_MM, DRIFT_SHARE, ETCH_PER_MM, ETCH_UNEVEN, FADE_SLOPE, FLOW_CONTRAST,
    FLOW_FINE_PER_MM, FLOW_FINE_SHARE, FLOW_PER_MM, FLOW_WARP_MM, FLOW_WARP_PER_MM, HAIR_PER_MM, HAIR_SHARE,
    KEY_BAND, KEY_DRIFT, KEY_ETCH, KEY_FLOW, KEY_FLOW_FINE, KEY_FLOW_WARP, KEY_HAIR, KEY_REAM, KEY_RIPPLE,
    KEY_RIPPLE_SECOND, KEY_SEED_ACROSS, KEY_SEED_ALONG, KEY_SEED_SIZE, KEY_WARP, REAM_FINEST_PER_MM,
    REAM_MEAN, REAM_PER_MM, REAM_SHARE, REAM_SHARPNESS, RIPPLE_ASPECT, RIPPLE_SECOND, RIPPLE_SECOND_SHARE,
    SEED_ASPECT, SEED_CELL_ASPECT, SEED_COVER, SEED_NARROWEST, SEED_RIM, SEED_SPOT, SEED_SPOT_SHARPNESS,
    SEED_WIDEST, SHEEN_HAIR, SHEEN_REAM, WARP_MM, WARP_PER_MM,
};
use crate::software::prelude::{lattice, value_noise};

/// How much remains of detail with `per_mm` cells in pixels of `mm_per_px`.
pub(crate) fn fade(per_mm: f32, mm_per_px: f32) -> f32 {
    ((1.0 - per_mm * mm_per_px) * FADE_SLOPE).clamp(0.0, 1.0)
}

/// A place on a sheet: along and across its blowing axis, mm.
pub(crate) fn on_sheet(position: Vec2, origin: Vec2, axis: Vec2) -> Vec2 {
    let q = position + origin;
    Vec2::new(q.x * axis.x + q.y * axis.y, q.y * axis.x - q.x * axis.y)
}

/// The blown surface of a sheet at a point.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Blown {
    /// Deviation of thickness, about −1 to 1 of its amplitude.
    pub(crate) value: f32,
    /// Its gradient along and across, per mm.
    pub(crate) slope: Vec2,
    /// How the light is gathered, about −1 to 1.
    pub(crate) sheen: f32,
    /// How much the slope varies within a pixel, per mm.
    pub(crate) rough: f32,
}

/// Thickness over a sheet at a place along and across its axis.
pub(crate) fn blown(s: Vec2, seed: u32, mm_per_px: f32) -> Blown {
    let at = |p: Vec2, per_mm: Vec2, key: u32| value_noise(p * per_mm, seed.wrapping_add(key));
    let warp = at(s, WARP_PER_MM, KEY_WARP);
    let w = Vec2::new(s.x, s.y + WARP_MM * warp.x);
    let drift = at(w, DRIFT_PER_MM, KEY_DRIFT);
    let band = at(w, BAND_PER_MM, KEY_BAND);
    let ream = at(w, REAM_PER_MM, KEY_REAM);
    let hair = at(w, HAIR_PER_MM, KEY_HAIR);
    let ream_left = REAM_SHARE * fade(REAM_FINEST_PER_MM, mm_per_px);
    let hair_left = HAIR_SHARE * fade(HAIR_PER_MM.y, mm_per_px);
    let steep = REAM_SHARPNESS * ream.x;
    let within = (1.0 - steep * steep).max(0.0);
    let profile = within * within - REAM_MEAN;
    let down = -4.0 * within * steep * REAM_SHARPNESS;
    let gradient = DRIFT_SHARE * drift.yz() * DRIFT_PER_MM
        + BAND_SHARE * band.yz() * BAND_PER_MM
        + ream_left * down * ream.yz() * REAM_PER_MM
        + hair_left * hair.yz() * HAIR_PER_MM;
    let bent = WARP_MM * warp.yz() * WARP_PER_MM;
    Blown {
        value: DRIFT_SHARE * drift.x + BAND_SHARE * band.x + ream_left * profile + hair_left * hair.x,
        slope: Vec2::new(gradient.x + gradient.y * bent.x, gradient.y * (1.0 + bent.y)),
        sheen: SHEEN_REAM * (ream_left / REAM_SHARE) * profile
            + SHEEN_HAIR * (hair_left / HAIR_SHARE) * hair.x,
        rough: REAM_SHARE * REAM_FINEST_PER_MM * (REAM_FINEST_PER_MM * mm_per_px).min(1.0)
            + HAIR_SHARE * HAIR_PER_MM.y * (HAIR_PER_MM.y * mm_per_px).min(1.0),
    }
}

/// Standard deviation of [`flow`] over a large sheet.
pub(crate) const FLOW_SD: f64 = 0.69;

/// Streaks and wisps, −1 to 1.
pub(crate) fn flow(s: Vec2, seed: u32, mm_per_px: f32) -> f32 {
    let at = |p: Vec2, per_mm: Vec2, key: u32| value_noise(p * per_mm, seed.wrapping_add(key)).x;
    let w = Vec2::new(s.x, s.y + FLOW_WARP_MM * at(s, FLOW_WARP_PER_MM, KEY_FLOW_WARP));
    let fine = FLOW_FINE_SHARE * fade(FLOW_FINE_PER_MM.y, mm_per_px);
    let mixed = at(w, FLOW_PER_MM, KEY_FLOW) + fine * at(w, FLOW_FINE_PER_MM, KEY_FLOW_FINE);
    (FLOW_CONTRAST * mixed).clamp(-1.0, 1.0)
}

/// How much of a flash remains between an etched middle (−1) and the rim of its piece (1).
pub(crate) fn etched(position: Vec2, middle: Vec2, per_radius: f32, seed: u32) -> f32 {
    let d = position - middle;
    let uneven = value_noise(position * ETCH_PER_MM, seed.wrapping_add(KEY_ETCH)).x;
    let away = ((d.x * d.x + d.y * d.y).sqrt() * per_radius + ETCH_UNEVEN * uneven).clamp(0.0, 1.0);
    2.0 * away * away * (3.0 - 2.0 * away) - 1.0
}

/// The effect of the bubbles of one order at a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Seeds {
    /// Deflection of the view along and across, −1 to 1.
    pub(crate) turn: Vec2,
    /// Gathering of light, about −1 to 1.
    pub(crate) gather: f32,
    /// Glint of the sun, 0 to 1.
    pub(crate) glint: f32,
    /// 1 inside a bubble, 0 at its rim.
    pub(crate) cover: f32,
}

/// Bubbles of one order.
pub(crate) fn seeds(s: Vec2, cell_mm: f32, share: f32, seed: u32, mm_per_px: f32) -> Seeds {
    let wide = cell_mm * SEED_CELL_ASPECT;
    let q = Vec2::new(s.x / cell_mm, s.y / wide);
    let cell = q.floor();
    let noise = |key: u32| lattice(cell.x as i32, cell.y as i32, seed.wrapping_add(key));
    let size = 0.5 + 0.5 * noise(KEY_SEED_SIZE);
    if size >= share {
        return Seeds::default();
    }
    // Small bubbles are many, wide ones few.
    let scale = size / share;
    let across = SEED_WIDEST * (SEED_NARROWEST + (1.0 - SEED_NARROWEST) * scale * scale);
    let along = across * SEED_CELL_ASPECT / SEED_ASPECT;
    let middle =
        Vec2::new(0.5 + (0.5 - along) * noise(KEY_SEED_ALONG), 0.5 + (0.5 - across) * noise(KEY_SEED_ACROSS));
    let d = (q - cell - middle) / Vec2::new(along, across);
    let out = d.x * d.x + d.y * d.y;
    let left = fade(0.5 / (across * wide), mm_per_px);
    if out >= 1.0 || left <= 0.0 {
        return Seeds::default();
    }
    let inside = (1.0 - out) * left;
    let off = d - SEED_SPOT;
    let spot = (1.0 - SEED_SPOT_SHARPNESS * (off.x * off.x + off.y * off.y)).max(0.0);
    Seeds {
        turn: d * inside,
        gather: inside * (1.0 - SEED_RIM * out * out),
        glint: left * spot * spot,
        cover: (SEED_COVER * inside).min(1.0),
    }
}

/// The texture that a roller leaves: slope along and across and height, each about −1 to 1.
pub(crate) fn ripple(s: Vec2, per_mm: f32, seed: u32) -> Vec3 {
    let q = Vec2::new(s.x * per_mm * RIPPLE_ASPECT, s.y * per_mm);
    let a = value_noise(q, seed.wrapping_add(KEY_RIPPLE));
    let b = value_noise(q.yx() * RIPPLE_SECOND, seed.wrapping_add(KEY_RIPPLE_SECOND));
    Vec3::new(
        a.y * RIPPLE_ASPECT + RIPPLE_SECOND_SHARE * b.z,
        a.z + RIPPLE_SECOND_SHARE * b.y,
        a.x + RIPPLE_SECOND_SHARE * b.x,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gradient_is_the_slope_of_the_value() {
        let (mut least, mut most) = (f32::MAX, f32::MIN);
        for k in 0..400 {
            let p = Vec2::new((k % 20) as f32 * 31.7 - 200.0, (k / 20) as f32 * 53.1 - 300.0);
            let at = |dx: f32, dy: f32| blown(p + Vec2::new(dx, dy), 9, 0.01).value;
            let Blown { value, slope, .. } = blown(p, 9, 0.01);
            let h = 0.05;
            // 5e-4: rounding of f32 over a step of 0.1 mm and the third derivative of the finest lines.
            assert!(((at(h, 0.0) - at(-h, 0.0)) / (2.0 * h) - slope.x).abs() < 5e-4);
            assert!(((at(0.0, h) - at(0.0, -h)) / (2.0 * h) - slope.y).abs() < 5e-4);
            least = least.min(value);
            most = most.max(value);
        }
        assert!(least >= -1.0 && most <= 1.0 && least < -0.4 && most > 0.4, "{least} {most}");
    }

    #[test]
    fn sheets_differ_and_stay_the_same() {
        let at = |seed| blown(Vec2::new(100.0, 50.0), seed, 0.1).value;
        assert!((at(1) - at(2)).abs() > 1e-3);
        assert_eq!(at(1).to_bits(), at(1).to_bits());
    }

    /// Means over many places of many sheets.
    fn mean(of: impl Fn(Vec2, u32) -> f32) -> f64 {
        let (places, sheets) = (40_000_u32, 10);
        (0..places)
            .map(|k| {
                // A lattice of irrational steps, so that no cell of any noise is preferred.
                let p = Vec2::new(
                    (f64::from(k) * 0.754_877_666).fract() as f32 * 4000.0,
                    (f64::from(k) * 0.569_840_291).fract() as f32 * 4000.0,
                );
                f64::from(of(p, 1000 * (k % sheets)))
            })
            .sum::<f64>()
            / f64::from(places)
    }

    // Three standard errors of 400 to 40 000 independent cells.
    #[test]
    fn every_variation_has_zero_mean() {
        for (name, limit, value) in [
            ("thickness", 0.03, mean(|p, seed| blown(p, seed, 0.01).value)),
            ("sheen", 0.03, mean(|p, seed| blown(p, seed, 0.01).sheen)),
            ("slope along", 0.001, mean(|p, seed| blown(p, seed, 0.01).slope.x)),
            ("slope across", 0.003, mean(|p, seed| blown(p, seed, 0.01).slope.y)),
            ("flow", 0.05, mean(|p, seed| flow(p, seed, 0.01))),
            ("seeds", 0.005, mean(|p, seed| seeds(p, 9.0, 0.6, seed, 0.01).gather)),
            ("ripple", 0.01, mean(|p, seed| ripple(p, 0.25, seed).z)),
        ] {
            assert!(value.abs() < limit, "{name}: {value}");
        }
    }

    // 0.02: three standard errors of 1300 independent cells.
    #[test]
    fn the_spread_of_streaks_is_as_stated() {
        let variance =
            mean(|p, seed| flow(p, seed, 0.01).powi(2)) - mean(|p, seed| flow(p, seed, 0.01)).powi(2);
        assert!((variance.sqrt() - FLOW_SD).abs() < 0.02, "{}", variance.sqrt());
    }

    #[test]
    fn detail_finer_than_a_pixel_vanishes_and_makes_the_surface_rough() {
        for k in 0..50 {
            let p = Vec2::new(k as f32 * 13.0, k as f32 * 7.0);
            let far = blown(p, 3, 50.0);
            assert!(far.sheen.abs() < 1e-6 && far.rough > blown(p, 3, 0.1).rough);
            assert_eq!(seeds(p, 9.0, 0.9, 3, 20.0), Seeds::default());
        }
    }
}
