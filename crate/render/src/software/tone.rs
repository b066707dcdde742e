//! From scene light to what a screen is sent; CPU twin of `shaders/tone.wgsl`.

use crate::eye::tone::Tone;
use crate::shared::constants::{
    CLIP_ABOVE, CLIP_BELOW, CLIP_FLOOR, CLIP_SLOPE, SHOULDER_START, WHITE_FROM, WHITE_OVER,
};
use crate::software::prelude::apply_rows;
use crate::vector::{V3, dot3};

impl Tone {
    /// Scene light as the eye has it: its own share, what is spread from near it, and the veil.
    pub(crate) fn seen(&self, light: V3, spread: V3) -> V3 {
        let direct = apply_rows(&self.direct, light);
        std::array::from_fn(|k| direct[k] + spread[k] + self.veil[k])
    }
}

/// The curve of sRGB: linear 0–1 to encoded 0–1. IEC 61966-2-1:1999.
pub fn encode(v: f32) -> f32 {
    let c = v.clamp(0.0, 1.0);
    if c <= 0.003_130_8 { 12.92 * c } else { 1.055 * c.powf(1.0 / 2.4) - 0.055 }
}

fn colour_true(c: V3) -> V3 {
    let most = c[0].max(c[1]).max(c[2].max(1.0));
    c.map(|v| v / most)
}

fn appearance(c: V3, y: f32) -> V3 {
    let least = c[0].min(c[1].min(c[2]));
    let grey = y.max(1e-6);
    let toward = (-least / (grey - least).max(1e-6)).clamp(0.0, 1.0);
    let inside = c.map(|v| v * (1.0 - toward) + grey * toward);
    let most = inside[0].max(inside[1].max(inside[2]));
    let over = (most - SHOULDER_START).max(0.0);
    let rolled =
        most.min(SHOULDER_START) + (1.0 - SHOULDER_START) * (1.0 - (-over / (1.0 - SHOULDER_START)).exp());
    let scaled = inside.map(|v| v * (rolled / most.max(1e-6)));
    let whiter = 1.0 - (-(most - WHITE_FROM).max(0.0) / WHITE_OVER).exp();
    scaled.map(|v| v * (1.0 - whiter) + rolled * whiter)
}

/// One pixel: light (linear RGB times exposure) to encoded RGB. `at`: its place in the picture.
///
/// Where asked, stripes mark what a screen of these primaries cannot show: rising to the right where the light is
/// too bright, falling where the colour is too pure.
pub(crate) fn tone(tone: &Tone, light: V3, at: [u32; 2]) -> V3 {
    let three = |v: [f32; 4]| [v[0], v[1], v[2]];
    let c = tone.rows.map(|row| dot3(three(row), light));
    let y = dot3(three(tone.luminance), c);
    let mut shown = if tone.veil[3] > 0.5 { appearance(c, y) } else { colour_true(c) };
    if tone.flags[0] > 0.5 {
        let most = c[0].max(c[1].max(c[2]));
        let least = c[0].min(c[1].min(c[2]));
        let too_bright = (most - CLIP_ABOVE) * CLIP_SLOPE;
        let too_pure = (-least / most.max(CLIP_FLOOR) - CLIP_BELOW) * CLIP_SLOPE;
        let rising = if (at[0] + at[1]) % 8 < 2 { too_bright } else { 0.0 };
        let falling = if (at[0] + 7 * at[1]) % 8 < 2 { too_pure } else { 0.0 };
        let mark = rising.max(falling).clamp(0.0, 1.0);
        let stripe = (1.5 - 2.0 * y).clamp(0.0, 1.0);
        shown = shown.map(|v| v * (1.0 - mark) + stripe * mark);
    }
    shown.map(encode)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::look::{Gamut, Mode};

    #[test]
    fn colour_true_keeps_chromaticity_and_scale_within_the_gamut() {
        let t = Tone::new(Mode::ColourTrue, Gamut::Srgb, false, None);
        let decode = |v: f32| if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) };
        for c in [[0.2, 0.4, 0.1], [1.0, 0.5, 0.25], [3.0, 1.5, 0.75], [0.001, 0.002, 0.0]] {
            let out = tone(&t, c, [0, 0]).map(decode);
            let scale = out[1] / c[1];
            assert!((out[0] - c[0] * scale).abs() < 1e-5 && (out[2] - c[2] * scale).abs() < 1e-5);
            assert!(scale <= 1.0 + 1e-5 && (c[0] > 1.0 || (scale - 1.0).abs() < 1e-4));
        }
    }

    #[test]
    fn too_bright_and_too_pure_are_marked_apart_and_only_when_asked() {
        let marked = Tone::new(Mode::ColourTrue, Gamut::Srgb, true, None);
        let plain = Tone::new(Mode::ColourTrue, Gamut::Srgb, false, None);
        let changed = |light, at| {
            let (a, b) = (tone(&marked, light, at), tone(&plain, light, at));
            (0..3).map(|k| (a[k] - b[k]).abs()).fold(0.0, f32::max) > 0.1
        };
        let (pure, bright, shown) = ([0.5, -0.1, 0.0], [1.5, 1.4, 1.3], [0.5, 0.1, 0.0]);
        // Along a falling and along a rising line.
        for k in 0..16 {
            assert!(changed(pure, [k, k]) && changed(bright, [k, 16 - k]));
        }
        assert!(!changed(pure, [4, 0]) && !changed(bright, [4, 0]));
        assert!((0..16).any(|k| !changed(pure, [k, 16 - k])) && (0..16).any(|k| !changed(bright, [k, k])));
        assert!((0..64).all(|k| !changed(shown, [k % 8, k / 8])));
    }

    #[test]
    fn appearance_rises_with_light_and_stays_inside() {
        for gamut in [Gamut::Srgb, Gamut::DisplayP3] {
            let t = Tone::new(Mode::Appearance, gamut, false, None);
            for hue in [[1.0, 1.0, 1.0], [1.0, -0.1, 0.02], [-0.2, 0.1, 1.3], [0.6, 0.5, 0.1]] {
                let mut before = -1.0;
                for k in 0..200 {
                    let level = 0.001 * 1.07_f32.powi(k);
                    let out = tone(&t, hue.map(|v| v * level), [0, 0]);
                    assert!(out.iter().all(|v| (0.0..=1.0).contains(v)));
                    let most = out[0].max(out[1].max(out[2]));
                    assert!(most >= before - 1e-6);
                    before = most;
                }
            }
        }
    }
}
