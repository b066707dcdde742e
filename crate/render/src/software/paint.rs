//! CPU twin of `shaders/paint.wgsl`.

use crate::shared::constants::{
    CLOUD_PER_MM, CLOUD_SHARE, FADE_FLOOR, HAIRS_PER_MM, STIPPLE_PER_MM, STIPPLE_SHARE,
};
use crate::shared::frame::Frame;
use crate::software::prelude::value_noise;

fn seen_noise(frame: &Frame, position: [f32; 2], per_mm: f32, seed: u32) -> f32 {
    value_noise(position.map(|x| x * per_mm), seed)[0] * (1.6 - 2.0 * frame.eye[3] * per_mm).clamp(0.0, 1.0)
}

/// Density over the stated one. `brush[0]`: mm to the edges of the piece; `painted`: the piece's sixth texel;
/// `stippled`: how uneven the stipple is, 0 to 1.
pub(crate) fn paint_density(
    frame: &Frame,
    position: [f32; 2],
    brush: [f32; 2],
    painted: [f32; 4],
    stippled: f32,
    seed: u32,
) -> f32 {
    let strength = frame.field_size[3];
    let mut density = 1.0;
    if painted[0] > 0.0 {
        let fade = painted[1] * (FADE_FLOOR + (1.0 - FADE_FLOOR) * (-brush[0].max(0.0) * painted[0]).exp());
        density = 1.0 * (1.0 - strength) + fade * strength;
    }
    if stippled > 0.0 {
        let grain = STIPPLE_SHARE * seen_noise(frame, position, STIPPLE_PER_MM, seed + 3)
            + CLOUD_SHARE * seen_noise(frame, position, CLOUD_PER_MM, seed + 4);
        density *= 1.0 + strength * stippled * grain;
    }
    density
}

/// Share of a pixel that lies under an overlay's line, 1 for a piece itself. `brush`: mm to the left of the middle,
/// half the width.
pub(crate) fn stroke_share(frame: &Frame, position: [f32; 2], brush: [f32; 2], painted: [f32; 4]) -> f32 {
    if painted[2] <= 0.0 {
        return 1.0;
    }
    let soft = painted[2].max(frame.eye[3]);
    let stray = painted[3] * frame.field_size[3];
    let left = brush[1] - brush[0] + stray * seen_noise(frame, position, HAIRS_PER_MM, 81);
    let right = brush[1] + brush[0] + stray * seen_noise(frame, position, HAIRS_PER_MM, 82);
    ((left / soft + 0.5).clamp(0.0, 1.0) + (right / soft + 0.5).clamp(0.0, 1.0) - 1.0).max(0.0)
}

/// The numbers of a corner where its fringe has moved it to: only strokes have any on their fringe.
pub(crate) fn moved_brush(frame: &Frame, brush: [f32; 2], fringe: [f32; 2]) -> [f32; 2] {
    let side = if brush[0] > 0.0 {
        1.0
    } else if brush[0] < 0.0 {
        -1.0
    } else {
        0.0
    };
    let length = (fringe[0] * fringe[0] + fringe[1] * fringe[1]).sqrt();
    [brush[0] + side * length.min(0.5) * frame.eye[3], brush[1]]
}
