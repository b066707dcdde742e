//! CPU twin of `shaders/paint.wgsl`.

use glam::Vec2;

use crate::shared::constants::{
    CLOUD_PER_MM, CLOUD_SHARE, FADE_FLOOR, HAIRS_PER_MM, KEY_CLOUD, KEY_HAIRS_LEFT, KEY_HAIRS_RIGHT,
    KEY_STIPPLE, STIPPLE_PER_MM, STIPPLE_SHARE, STROKE_FRINGE_PX,
};
use crate::shared::frame::Frame;
use crate::shared::records::Piece;
use crate::software::prelude::{faded_noise, mix};

/// Density relative to the stated one. `brush.x`: mm to the edges of the piece.
pub(crate) fn paint_density(frame: &Frame, piece: &Piece, position: Vec2, brush: Vec2, seed: u32) -> f32 {
    let strength = frame.variation;
    let mut density = 1.0;
    if piece.fade_per_mm > 0.0 {
        let thinned = (-brush.x.max(0.0) * piece.fade_per_mm).exp();
        density = mix(1.0, piece.fade_scale * (FADE_FLOOR + (1.0 - FADE_FLOOR) * thinned), strength);
    }
    if piece.paint_amplitude > 0.0 {
        let grain = STIPPLE_SHARE * faded_noise(frame, position, STIPPLE_PER_MM, seed + KEY_STIPPLE)
            + CLOUD_SHARE * faded_noise(frame, position, CLOUD_PER_MM, seed + KEY_CLOUD);
        density *= 1.0 + strength * piece.paint_amplitude * grain;
    }
    density
}

/// Share of a pixel under an overlay's line; 1 for a piece itself. `brush`: mm to the left of the middle, half the
/// width.
pub(crate) fn stroke_share(frame: &Frame, piece: &Piece, position: Vec2, brush: Vec2) -> f32 {
    if piece.softness_mm <= 0.0 {
        return 1.0;
    }
    let soft = piece.softness_mm.max(frame.mm_per_px);
    let stray = piece.ragged_mm * frame.variation;
    let left = brush.y - brush.x + stray * faded_noise(frame, position, HAIRS_PER_MM, KEY_HAIRS_LEFT);
    let right = brush.y + brush.x + stray * faded_noise(frame, position, HAIRS_PER_MM, KEY_HAIRS_RIGHT);
    ((left / soft + 0.5).clamp(0.0, 1.0) + (right / soft + 0.5).clamp(0.0, 1.0) - 1.0).max(0.0)
}

/// The brush values of a vertex once its fringe has moved it; only strokes have any on their fringe.
pub(crate) fn moved_brush(frame: &Frame, brush: Vec2, fringe: Vec2) -> Vec2 {
    // WGSL's `sign`, which is 0 for 0.
    let side = if brush.x.abs() > 0.0 { brush.x.signum() } else { 0.0 };
    Vec2::new(brush.x + side * fringe.length().min(STROKE_FRINGE_PX) * frame.mm_per_px, brush.y)
}
