//! From scene light to what a screen is sent; CPU twin of `shaders/tone.wgsl`.

use bytemuck::{Pod, Zeroable};

use crate::eye::look::{Gamut, Mode};
use crate::eye::spread::Plan;
use crate::rgb::{P3_FROM_RGB, P3_LUMINANCE, XYZ_FROM_RGB};

/// Twin of `Tone` in `shaders/tone.wgsl`.
#[repr(C)]
#[derive(Clone, Copy, Debug, Default, PartialEq, Pod, Zeroable)]
pub(crate) struct Tone {
    pub(crate) rows: [[f32; 4]; 3],
    pub(crate) direct: [[f32; 4]; 3],
    pub(crate) veil: [f32; 4],
    pub(crate) flags: [f32; 4],
    pub(crate) luminance: [f32; 4],
}

impl Tone {
    /// `plan`: how light spreads in the eye, where it does.
    pub(crate) fn new(mode: Mode, gamut: Gamut, show_clipped: bool, plan: Option<&Plan>) -> Self {
        let (matrix, luminance) = match gamut {
            Gamut::Srgb => ([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]], XYZ_FROM_RGB[1]),
            Gamut::DisplayP3 => (P3_FROM_RGB, P3_LUMINANCE),
        };
        let four = |v: [f64; 3]| [v[0] as f32, v[1] as f32, v[2] as f32, 0.0];
        let flag = |on: bool| if on { 1.0 } else { 0.0 };
        let [r, g, b] = plan.map_or([0.0; 3], |p| p.veil);
        Self {
            rows: matrix.map(four),
            direct: plan.map_or([[0.0; 4]; 3], |p| p.direct),
            veil: [r, g, b, flag(mode == Mode::Appearance)],
            flags: [flag(show_clipped), flag(plan.is_some()), plan.map_or(0.0, |p| p.margin as f32), 0.0],
            luminance: four(luminance),
        }
    }
}
