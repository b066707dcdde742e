// Fired paint: its density at a point of a piece, and the coverage of a stroke.
// Twin: crate/render/src/software/paint.rs

// Density relative to the stated one. `brush.x`: mm to the edges of the piece.
fn paint_density(piece: Piece, position: vec2f, brush: vec2f, seed: u32) -> f32 {
    let strength = frame.variation;
    var density = 1.0;
    if piece.fade_per_mm > 0.0 {
        let thinned = exp(-max(brush.x, 0.0) * piece.fade_per_mm);
        density = mix(1.0, piece.fade_scale * (FADE_FLOOR + (1.0 - FADE_FLOOR) * thinned), strength);
    }
    if piece.paint_amplitude > 0.0 {
        let grain = STIPPLE_SHARE * faded_noise(position, STIPPLE_PER_MM, seed + KEY_STIPPLE)
            + CLOUD_SHARE * faded_noise(position, CLOUD_PER_MM, seed + KEY_CLOUD);
        density *= 1.0 + strength * piece.paint_amplitude * grain;
    }
    return density;
}

// Share of a pixel under an overlay's line; 1 for a piece itself. `brush`: mm to the left of the middle, half the
// width.
fn stroke_share(piece: Piece, position: vec2f, brush: vec2f) -> f32 {
    if piece.softness_mm <= 0.0 {
        return 1.0;
    }
    let soft = max(piece.softness_mm, frame.mm_per_px);
    let stray = piece.ragged_mm * frame.variation;
    let left = brush.y - brush.x + stray * faded_noise(position, HAIRS_PER_MM, KEY_HAIRS_LEFT);
    let right = brush.y + brush.x + stray * faded_noise(position, HAIRS_PER_MM, KEY_HAIRS_RIGHT);
    return max(clamp(left / soft + 0.5, 0.0, 1.0) + clamp(right / soft + 0.5, 0.0, 1.0) - 1.0, 0.0);
}

// The brush values of a vertex once its fringe has moved it; only strokes have any on their fringe.
fn moved_brush(brush: vec2f, fringe: vec2f) -> vec2f {
    return vec2f(brush.x + sign(brush.x) * min(length(fringe), STROKE_FRINGE_PX) * frame.mm_per_px, brush.y);
}
