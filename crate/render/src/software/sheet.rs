//! Integer-hash noise and the thickness of a blown sheet; twins of the functions in `shaders/prelude.wgsl` and
//! `shaders/glass.wgsl`.

use crate::shared::constants::{
    BAND_PER_MM, BAND_SHARE, DRIFT_PER_MM, DRIFT_SHARE, ETCH_PER_MM, ETCH_UNEVEN, FADE_SLOPE, FLOW_CONTRAST,
    FLOW_FINE_PER_MM, FLOW_FINE_SHARE, FLOW_PER_MM, FLOW_WARP_MM, FLOW_WARP_PER_MM, HAIR_PER_MM, HAIR_SHARE,
    REAM_FINEST_PER_MM, REAM_MEAN, REAM_PER_MM, REAM_SHARE, REAM_SHARPNESS, RIPPLE_ASPECT, RIPPLE_SECOND,
    RIPPLE_SECOND_SHARE, SEED_ASPECT, SEED_CELL_ASPECT, SEED_WIDEST, SHEEN_HAIR, SHEEN_REAM, WARP_MM,
    WARP_PER_MM,
};
use crate::software::prelude::{lattice, value_noise};

/// How much is left of detail of `per_mm` cells in pixels of `mm_per_px`.
pub(crate) fn fade(per_mm: f32, mm_per_px: f32) -> f32 {
    ((1.0 - per_mm * mm_per_px) * FADE_SLOPE).clamp(0.0, 1.0)
}

/// A place on a sheet: along and across its blowing axis, mm.
pub(crate) fn on_sheet(position: [f32; 2], origin: [f32; 2], axis: [f32; 2]) -> [f32; 2] {
    let q = [position[0] + origin[0], position[1] + origin[1]];
    [q[0] * axis[0] + q[1] * axis[1], q[1] * axis[0] - q[0] * axis[1]]
}

/// What the blown surface of a sheet does at a point.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Blown {
    /// Deviation of thickness, about −1 to 1 of its amplitude.
    pub(crate) value: f32,
    /// Its gradient along and across, per mm.
    pub(crate) slope: [f32; 2],
    /// How the light is gathered, about −1 to 1.
    pub(crate) sheen: f32,
    /// How much the slope differs within a pixel, per mm.
    pub(crate) rough: f32,
}

/// Thickness over a sheet at a place along and across its axis.
pub(crate) fn blown(s: [f32; 2], seed: u32, mm_per_px: f32) -> Blown {
    let at = |p: [f32; 2], per_mm: [f32; 2], k: u32| {
        value_noise([p[0] * per_mm[0], p[1] * per_mm[1]], seed.wrapping_add(k))
    };
    let warp = at(s, WARP_PER_MM, 4);
    let w = [s[0], s[1] + WARP_MM * warp[0]];
    let drift = at(w, DRIFT_PER_MM, 0);
    let band = at(w, BAND_PER_MM, 1);
    let ream = at(w, REAM_PER_MM, 2);
    let hair = at(w, HAIR_PER_MM, 5);
    let ream_left = REAM_SHARE * fade(REAM_FINEST_PER_MM, mm_per_px);
    let hair_left = HAIR_SHARE * fade(HAIR_PER_MM[1], mm_per_px);
    let steep = REAM_SHARPNESS * ream[0];
    let within = (1.0 - steep * steep).max(0.0);
    let profile = within * within - REAM_MEAN;
    let down = -4.0 * within * steep * REAM_SHARPNESS;
    let gradient: [f32; 2] = std::array::from_fn(|k| {
        DRIFT_SHARE * drift[1 + k] * DRIFT_PER_MM[k]
            + BAND_SHARE * band[1 + k] * BAND_PER_MM[k]
            + ream_left * down * ream[1 + k] * REAM_PER_MM[k]
            + hair_left * hair[1 + k] * HAIR_PER_MM[k]
    });
    let bent = [WARP_MM * warp[1] * WARP_PER_MM[0], WARP_MM * warp[2] * WARP_PER_MM[1]];
    Blown {
        value: DRIFT_SHARE * drift[0] + BAND_SHARE * band[0] + ream_left * profile + hair_left * hair[0],
        slope: [gradient[0] + gradient[1] * bent[0], gradient[1] * (1.0 + bent[1])],
        sheen: SHEEN_REAM * (ream_left / REAM_SHARE) * profile
            + SHEEN_HAIR * (hair_left / HAIR_SHARE) * hair[0],
        rough: REAM_SHARE * REAM_FINEST_PER_MM * (REAM_FINEST_PER_MM * mm_per_px).min(1.0)
            + HAIR_SHARE * HAIR_PER_MM[1] * (HAIR_PER_MM[1] * mm_per_px).min(1.0),
    }
}

/// Streaks and wisps, −1 to 1.
pub(crate) fn flow(s: [f32; 2], seed: u32, mm_per_px: f32) -> f32 {
    let at = |p: [f32; 2], per_mm: [f32; 2], k: u32| {
        value_noise([p[0] * per_mm[0], p[1] * per_mm[1]], seed.wrapping_add(k))[0]
    };
    let w = [s[0], s[1] + FLOW_WARP_MM * at(s, FLOW_WARP_PER_MM, 7)];
    let fine = FLOW_FINE_SHARE * fade(FLOW_FINE_PER_MM[1], mm_per_px);
    let mixed = at(w, FLOW_PER_MM, 6) + fine * at(w, FLOW_FINE_PER_MM, 8);
    (FLOW_CONTRAST * mixed).clamp(-1.0, 1.0)
}

/// How far a flash is left on its way from an etched middle (−1) to the rim of its piece (1).
pub(crate) fn etched(position: [f32; 2], middle: [f32; 2], per_radius: f32, seed: u32) -> f32 {
    let d = [position[0] - middle[0], position[1] - middle[1]];
    let uneven = value_noise([position[0] * ETCH_PER_MM, position[1] * ETCH_PER_MM], seed.wrapping_add(6))[0];
    let away = ((d[0] * d[0] + d[1] * d[1]).sqrt() * per_radius + ETCH_UNEVEN * uneven).clamp(0.0, 1.0);
    2.0 * away * away * (3.0 - 2.0 * away) - 1.0
}

/// What the bubbles of one order do at a point.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Seeds {
    /// Of the view along and across, −1 to 1.
    pub(crate) turn: [f32; 2],
    /// Of the light, about −1 to 1.
    pub(crate) gather: f32,
    /// 0 to 1.
    pub(crate) glint: f32,
    /// 1 inside a bubble, 0 at its rim.
    pub(crate) cover: f32,
}

/// Bubbles of one order.
pub(crate) fn seeds(s: [f32; 2], cell_mm: f32, share: f32, seed: u32, mm_per_px: f32) -> Seeds {
    let wide = cell_mm * SEED_CELL_ASPECT;
    let q = [s[0] / cell_mm, s[1] / wide];
    let cell = q.map(f32::floor);
    let (x, y) = (cell[0] as i32, cell[1] as i32);
    let size = 0.5 + 0.5 * lattice(x, y, seed.wrapping_add(9));
    if size >= share {
        return Seeds::default();
    }
    // Small ones are many, wide ones few.
    let scale = size / share;
    let across = SEED_WIDEST * (0.25 + 0.75 * scale * scale);
    let along = across * SEED_CELL_ASPECT / SEED_ASPECT;
    let middle = [
        0.5 + (0.5 - along) * lattice(x, y, seed.wrapping_add(10)),
        0.5 + (0.5 - across) * lattice(x, y, seed.wrapping_add(11)),
    ];
    let d = [(q[0] - cell[0] - middle[0]) / along, (q[1] - cell[1] - middle[1]) / across];
    let out = d[0] * d[0] + d[1] * d[1];
    let left = fade(0.5 / (across * wide), mm_per_px);
    if out >= 1.0 || left <= 0.0 {
        return Seeds::default();
    }
    let inside = (1.0 - out) * left;
    let spot = (1.0 - 8.0 * ((d[0] - 0.3) * (d[0] - 0.3) + (d[1] + 0.35) * (d[1] + 0.35))).max(0.0);
    Seeds {
        turn: [d[0] * inside, d[1] * inside],
        gather: inside * (1.0 - 6.0 * out * out),
        glint: left * spot * spot,
        cover: (4.0 * inside).min(1.0),
    }
}

/// The texture that a roller leaves: slope along and across and height, each about −1 to 1.
pub(crate) fn ripple(s: [f32; 2], per_mm: f32, seed: u32) -> [f32; 3] {
    let q = [s[0] * per_mm * RIPPLE_ASPECT, s[1] * per_mm];
    let a = value_noise(q, seed.wrapping_add(12));
    let b = value_noise([q[1] * RIPPLE_SECOND, q[0] * RIPPLE_SECOND], seed.wrapping_add(13));
    [
        a[1] * RIPPLE_ASPECT + RIPPLE_SECOND_SHARE * b[2],
        a[2] + RIPPLE_SECOND_SHARE * b[1],
        a[0] + RIPPLE_SECOND_SHARE * b[0],
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gradient_is_the_slope_of_the_value() {
        let (mut least, mut most) = (f32::MAX, f32::MIN);
        for k in 0..400 {
            let p = [(k % 20) as f32 * 31.7 - 200.0, (k / 20) as f32 * 53.1 - 300.0];
            let at = |dx: f32, dy: f32| blown([p[0] + dx, p[1] + dy], 9, 0.01).value;
            let Blown { value, slope: [gx, gy], .. } = blown(p, 9, 0.01);
            let h = 0.05;
            // 5e-4: rounding of f32 over a step of 0.1 mm and the third derivative of the finest lines.
            assert!(((at(h, 0.0) - at(-h, 0.0)) / (2.0 * h) - gx).abs() < 5e-4);
            assert!(((at(0.0, h) - at(0.0, -h)) / (2.0 * h) - gy).abs() < 5e-4);
            least = least.min(value);
            most = most.max(value);
        }
        assert!(least >= -1.0 && most <= 1.0 && least < -0.4 && most > 0.4, "{least} {most}");
    }

    #[test]
    fn sheets_differ_and_stay_the_same() {
        let at = |seed| blown([100.0, 50.0], seed, 0.1).value;
        assert!((at(1) - at(2)).abs() > 1e-3);
        assert_eq!(at(1).to_bits(), at(1).to_bits());
    }

    /// Means over many places of many sheets.
    fn mean(of: impl Fn([f32; 2], u32) -> f32) -> f64 {
        let (places, sheets) = (40_000_u32, 10);
        (0..places)
            .map(|k| {
                // A lattice of irrational steps: no cell of any noise is preferred.
                let p = [
                    (f64::from(k) * 0.754_877_666).fract() as f32 * 4000.0,
                    (f64::from(k) * 0.569_840_291).fract() as f32 * 4000.0,
                ];
                f64::from(of(p, 1000 * (k % sheets)))
            })
            .sum::<f64>()
            / f64::from(places)
    }

    // Three standard errors of 400 to 40 000 independent cells.
    #[test]
    fn every_variation_has_a_mean_of_nothing() {
        for (name, limit, value) in [
            ("thickness", 0.03, mean(|p, seed| blown(p, seed, 0.01).value)),
            ("sheen", 0.03, mean(|p, seed| blown(p, seed, 0.01).sheen)),
            ("slope along", 0.001, mean(|p, seed| blown(p, seed, 0.01).slope[0])),
            ("slope across", 0.003, mean(|p, seed| blown(p, seed, 0.01).slope[1])),
            ("flow", 0.05, mean(|p, seed| flow(p, seed, 0.01))),
            ("seeds", 0.005, mean(|p, seed| seeds(p, 9.0, 0.6, seed, 0.01).gather)),
            ("ripple", 0.01, mean(|p, seed| ripple(p, 0.25, seed)[2])),
        ] {
            assert!(value.abs() < limit, "{name}: {value}");
        }
    }

    #[test]
    fn what_is_finer_than_a_pixel_is_gone_and_makes_the_surface_rough() {
        for k in 0..50 {
            let p = [k as f32 * 13.0, k as f32 * 7.0];
            let far = blown(p, 3, 50.0);
            assert!(far.sheen.abs() < 1e-6 && far.rough > blown(p, 3, 0.1).rough);
            assert_eq!(seeds(p, 9.0, 0.9, 3, 20.0), Seeds::default());
        }
    }
}
