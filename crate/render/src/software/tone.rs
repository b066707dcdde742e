//! From scene light to the screen; CPU twin of `shaders/tone.wgsl`.

use glam::Vec3;

use crate::eye::tone::Tone;
use crate::shared::constants::{
    CLIP_ABOVE, CLIP_BELOW, CLIP_FLOOR, CLIP_SLOPE, CURVE_FROM, CURVE_OFFSET, CURVE_POWER, CURVE_SCALE,
    CURVE_SLOPE, DARKEST, SHOULDER_START, STRIPE_CONTRAST, STRIPE_LIGHT, STRIPE_PX, STRIPES_PX, WHITE_FROM,
    WHITE_OVER,
};
use crate::software::spread::by_rows;

/// Scene light in the eye: its own share, the light spread from near it, and the veil.
pub(crate) fn seen(tone: &Tone, light: Vec3, spread: Vec3) -> Vec3 {
    by_rows([tone.direct_red, tone.direct_green, tone.direct_blue], light) + spread + tone.veil
}

/// The curve of sRGB: linear 0–1 to encoded 0–1. IEC 61966-2-1:1999.
fn encode(v: f32) -> f32 {
    let c = v.clamp(0.0, 1.0);
    if c <= CURVE_FROM { CURVE_SLOPE * c } else { CURVE_SCALE * c.powf(1.0 / CURVE_POWER) - CURVE_OFFSET }
}

fn colour_true(c: Vec3) -> Vec3 {
    c / c.max_element().max(1.0)
}

fn appearance(c: Vec3, y: f32) -> Vec3 {
    let least = c.min_element();
    let grey = y.max(DARKEST);
    let toward = (-least / (grey - least).max(DARKEST)).clamp(0.0, 1.0);
    let inside = c * (1.0 - toward) + grey * toward;
    let most = inside.max_element();
    let over = (most - SHOULDER_START).max(0.0);
    let rolled =
        most.min(SHOULDER_START) + (1.0 - SHOULDER_START) * (1.0 - (-over / (1.0 - SHOULDER_START)).exp());
    let scaled = inside * (rolled / most.max(DARKEST));
    let whiter = 1.0 - (-(most - WHITE_FROM).max(0.0) / WHITE_OVER).exp();
    scaled * (1.0 - whiter) + rolled * whiter
}

/// One pixel: light (linear RGB times exposure) to encoded RGB. `at`: its place in the picture.
///
/// If asked for, stripes mark what a screen with these primaries cannot show: rising to the right where the light
/// is too bright, falling where the colour is too pure.
pub(crate) fn tone(tone: &Tone, light: Vec3, at: [u32; 2]) -> Vec3 {
    let c = by_rows([tone.to_red, tone.to_green, tone.to_blue], light);
    let y = tone.luminance.dot(c);
    let mut shown = if tone.appearance > 0.5 { appearance(c, y) } else { colour_true(c) };
    if tone.mark_clipped > 0.5 {
        let (most, least) = (c.max_element(), c.min_element());
        let too_bright = (most - CLIP_ABOVE) * CLIP_SLOPE;
        let too_pure = (-least / most.max(CLIP_FLOOR) - CLIP_BELOW) * CLIP_SLOPE;
        let striped = |place: u32| place % STRIPES_PX < STRIPE_PX;
        let rising = if striped(at[0] + at[1]) { too_bright } else { 0.0 };
        let falling = if striped(at[0] + (STRIPES_PX - 1) * at[1]) { too_pure } else { 0.0 };
        let mark = rising.max(falling).clamp(0.0, 1.0);
        let stripe = (STRIPE_LIGHT - STRIPE_CONTRAST * y).clamp(0.0, 1.0);
        shown = shown * (1.0 - mark) + stripe * mark;
    }
    shown.map(encode)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::look::Mode;
    use crate::rgb::Gamut;

    #[test]
    fn colour_true_keeps_chromaticity_and_scale_within_the_gamut() {
        let t = Tone::new(Mode::ColourTrue, Gamut::Srgb, false, None);
        let decode = |v: f32| if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) };
        for c in
            [[0.2, 0.4, 0.1], [1.0, 0.5, 0.25], [3.0, 1.5, 0.75], [0.001, 0.002, 0.0]].map(Vec3::from_array)
        {
            let out = tone(&t, c, [0, 0]).map(decode);
            let scale = out[1] / c[1];
            assert!((out[0] - c[0] * scale).abs() < 1e-5 && (out[2] - c[2] * scale).abs() < 1e-5);
            assert!(scale <= 1.0 + 1e-5 && (c[0] > 1.0 || (scale - 1.0).abs() < 1e-4));
        }
    }

    #[test]
    fn too_bright_and_too_pure_are_marked_differently_and_only_on_request() {
        let marked = Tone::new(Mode::ColourTrue, Gamut::Srgb, true, None);
        let plain = Tone::new(Mode::ColourTrue, Gamut::Srgb, false, None);
        let changed = |light: [f32; 3], at| {
            let light = Vec3::from_array(light);
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
                    let out = tone(&t, Vec3::from_array(hue) * level, [0, 0]);
                    assert!(out.to_array().iter().all(|v| (0.0..=1.0).contains(v)));
                    let most = out.max_element();
                    assert!(most >= before - 1e-6);
                    before = most;
                }
            }
        }
    }
}
