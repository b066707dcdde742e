//! From scene light to what a screen is sent; CPU twin of `shaders/tone.wgsl`.

use bytemuck::{Pod, Zeroable};

use crate::{
    constants::{CLIP_ABOVE, CLIP_BELOW, CLIP_FLOOR, CLIP_SLOPE, SHOULDER_START, WHITE_FROM, WHITE_OVER},
    rgb::{P3_FROM_RGB, P3_LUMINANCE, XYZ_FROM_RGB},
    vector::{V3, dot3},
};

/// What a picture is for. Whoever shows one says which.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mode {
    /// Colours to be compared: scaled by one number, chromaticity kept, nothing rolled off.
    ColourTrue,
    /// What it feels like from the dim room: a soft shoulder for what is bright, a veil over what is dark.
    #[default]
    Appearance,
}

/// Primaries of the picture; the encoding curve is that of sRGB for both.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Gamut {
    /// IEC 61966-2-1.
    #[default]
    Srgb,
    /// The wider gamut of most recent screens.
    DisplayP3,
}

/// Twin of `Tone` in `shaders/tone.wgsl`.
#[repr(C)]
#[derive(Clone, Copy, Debug, Default, PartialEq, Pod, Zeroable)]
pub(crate) struct Tone {
    pub(crate) rows: [[f32; 4]; 3],
    pub(crate) veil: [f32; 4],
    pub(crate) flags: [f32; 4],
    pub(crate) luminance: [f32; 4],
}

impl Tone {
    /// `veil`: light spread over the whole eye, times exposure; used in appearance mode only.
    pub(crate) fn new(mode: Mode, gamut: Gamut, veil: f32, show_clipped: bool) -> Self {
        let (matrix, luminance) = match gamut {
            Gamut::Srgb => ([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], XYZ_FROM_RGB[1]),
            Gamut::DisplayP3 => (P3_FROM_RGB, P3_LUMINANCE),
        };
        let four = |v: [f64; 3]| [v[0] as f32, v[1] as f32, v[2] as f32, 0.0];
        let veil = if mode == Mode::Appearance { veil } else { 0.0 };
        Self {
            rows: matrix.map(four),
            veil: [veil, veil, veil, if mode == Mode::Appearance { 1.0 } else { 0.0 }],
            flags: [if show_clipped { 1.0 } else { 0.0 }, 0.0, 0.0, 0.0],
            luminance: four(luminance),
        }
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

/// One pixel: scene light (linear RGB times exposure) to encoded RGB. `at`: its place in the picture.
pub(crate) fn tone(tone: &Tone, light: V3, at: [u32; 2]) -> V3 {
    let three = |v: [f32; 4]| [v[0], v[1], v[2]];
    let lit = [0, 1, 2].map(|k| light[k] + tone.veil[k]);
    let c = tone.rows.map(|row| dot3(three(row), lit));
    let y = dot3(three(tone.luminance), c);
    let mut shown = if tone.veil[3] > 0.5 { appearance(c, y) } else { colour_true(c) };
    if tone.flags[0] > 0.5 && (at[0] + at[1]) % 8 < 2 {
        let mark = excess(c).clamp(0.0, 1.0);
        let stripe = (1.5 - 2.0 * y).clamp(0.0, 1.0);
        shown = shown.map(|v| v * (1.0 - mark) + stripe * mark);
    }
    shown.map(encode)
}

/// How far a colour is beyond what a screen of these primaries can show: 0 and less not at all, 1 far.
fn excess(c: V3) -> f32 {
    let most = c[0].max(c[1].max(c[2]));
    let least = c[0].min(c[1].min(c[2]));
    let too_bright = (most - CLIP_ABOVE) * CLIP_SLOPE;
    let too_pure = (-least / most.max(CLIP_FLOOR) - CLIP_BELOW) * CLIP_SLOPE;
    too_bright.max(too_pure)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colour_true_keeps_chromaticity_and_scale_within_the_gamut() {
        let t = Tone::new(Mode::ColourTrue, Gamut::Srgb, 0.1, false);
        let decode = |v: f32| if v <= 0.040_45 { v / 12.92 } else { ((v + 0.055) / 1.055).powf(2.4) };
        for c in [[0.2, 0.4, 0.1], [1.0, 0.5, 0.25], [3.0, 1.5, 0.75], [0.001, 0.002, 0.0]] {
            let out = tone(&t, c, [0, 0]).map(decode);
            let scale = out[1] / c[1];
            assert!((out[0] - c[0] * scale).abs() < 1e-5 && (out[2] - c[2] * scale).abs() < 1e-5);
            assert!(scale <= 1.0 + 1e-5 && (c[0] > 1.0 || (scale - 1.0).abs() < 1e-4));
        }
    }

    #[test]
    fn clipped_pixels_are_marked_only_when_asked() {
        let marked = Tone::new(Mode::ColourTrue, Gamut::Srgb, 0.0, true);
        let plain = Tone::new(Mode::ColourTrue, Gamut::Srgb, 0.0, false);
        let red_beyond = [0.5, -0.1, 0.0];
        let changed = |light, at| {
            let (a, b) = (tone(&marked, light, at), tone(&plain, light, at));
            (0..3).map(|k| (a[k] - b[k]).abs()).fold(0.0, f32::max)
        };
        assert!(changed(red_beyond, [0, 0]) > 0.1);
        assert!(changed(red_beyond, [4, 0]) <= 0.0 && changed([0.5, 0.1, 0.0], [0, 0]) <= 0.0);
    }

    #[test]
    fn appearance_rises_with_light_and_stays_inside() {
        for gamut in [Gamut::Srgb, Gamut::DisplayP3] {
            let t = Tone::new(Mode::Appearance, gamut, 0.002, false);
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
