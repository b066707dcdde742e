//! What the shaders read of a piece.

use crate::glazing::optics::{PieceOptics, index_of, inner_cosine, paint_scale};
use crate::light::field::Eye;
use crate::shared::constants::PIECE_TEXELS;
use crate::window::model::{Overlay, PieceModel};

/// What the shader reads of a piece, its table beginning at `base`.
pub(crate) fn piece_texels(
    piece: &PieceModel,
    overlay: Option<&Overlay>,
    optics: &PieceOptics,
    eye: Eye,
    base: usize,
) -> [[f32; 4]; PIECE_TEXELS as usize] {
    let n = index_of(piece);
    let (sheet, shift) = (&piece.sheet, &optics.shift);
    let surface = &sheet.surface;
    let (sine, cosine) = sheet.axis_deg.to_radians().sin_cos();
    let inverse = |step: f64| if step > 0.0 { (1.0 / step) as f32 } else { 0.0 };
    // A wedge of angle a bends a ray by (n − 1)·a: the gradient of thickness, times the eye's distance in the
    // shader, is how far the point of the panel moves whose direction is really seen.
    let bend = (n - 1.0) * sheet.thickness_mm * sheet.thickness_amplitude;
    let [x, y] = optics.middle_mm;
    let radius = (optics.area_mm2 / std::f64::consts::PI).sqrt();
    let single = |v: [f64; 4]| v.map(|v| v as f32);
    [
        [base as f32, optics.paint_nodes() as f32, optics.thickness.0 as f32, inverse(optics.thickness.1)],
        [
            piece.thickness_factor as f32,
            piece.paint_factor as f32,
            optics.paint.0 as f32,
            inverse(optics.paint.1),
        ],
        single([sheet.thickness_amplitude, sheet.paint_amplitude, cosine, sine]),
        single([sheet.origin_mm[0], sheet.origin_mm[1], bend, f64::from(sheet.seed & 0xff_ffff)]),
        single([
            inner_cosine(eye, optics.middle_mm, n),
            1.0 / (n * n),
            surface.glare,
            paint_scale(piece) * std::f64::consts::LOG2_10,
        ]),
        single([optics.mix_nodes as f64, sheet.mix_amplitude, shift.mix, shift.thickness]),
        single([surface.sheen, surface.seed_cell_mm.max(0.1), surface.seeds, shift.gain]),
        single([surface.ripple_rad, surface.ripple_per_mm, surface.ripple_sheen, surface.haze_rad]),
        [x as f32, y as f32, inverse(radius), f32::from(u8::from(sheet.etched))],
        match overlay {
            None => [inverse(piece.fade.length_mm), piece.fade.scale as f32, 0.0, 0.0],
            Some(overlay) => [0.0, 1.0, overlay.softness_mm.max(1e-3) as f32, overlay.ragged_mm as f32],
        },
    ]
}
