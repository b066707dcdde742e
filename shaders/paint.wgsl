// Fired paint as the brush left it: how dense it is at a point of a piece, and how much of a stroke is there.
// Twin: crate/render/src/paint_pass.rs

// Noise that fades before it is finer than the pixels, -1 to 1.
fn seen_noise(position: vec2f, per_mm: f32, seed: u32) -> f32 {
    return value_noise(position * per_mm, seed).x * clamp(1.6 - 2.0 * frame.eye.w * per_mm, 0.0, 1.0);
}

// Density over the stated one. `brush.x`: mm to the edges of the piece; `painted`: the piece's sixth texel;
// `stippled`: how uneven the stipple is, 0 to 1.
fn paint_density(position: vec2f, brush: vec2f, painted: vec4f, stippled: f32, seed: u32) -> f32 {
    let strength = frame.field_size.w;
    var density = 1.0;
    if painted.x > 0.0 {
        let fade = painted.y * (FADE_FLOOR + (1.0 - FADE_FLOOR) * exp(-max(brush.x, 0.0) * painted.x));
        density = mix(1.0, fade, strength);
    }
    if stippled > 0.0 {
        let grain = STIPPLE_SHARE * seen_noise(position, STIPPLE_PER_MM, seed + 3u)
            + CLOUD_SHARE * seen_noise(position, CLOUD_PER_MM, seed + 4u);
        density *= 1.0 + strength * stippled * grain;
    }
    return density;
}

// Share of a pixel that lies under an overlay's line, 1 for a piece itself. `brush`: mm to the left of the middle,
// half the width.
fn stroke_share(position: vec2f, brush: vec2f, painted: vec4f) -> f32 {
    if painted.z <= 0.0 {
        return 1.0;
    }
    let soft = max(painted.z, frame.eye.w);
    let stray = painted.w * frame.field_size.w;
    let left = brush.y - brush.x + stray * seen_noise(position, HAIRS_PER_MM, 81u);
    let right = brush.y + brush.x + stray * seen_noise(position, HAIRS_PER_MM, 82u);
    return max(clamp(left / soft + 0.5, 0.0, 1.0) + clamp(right / soft + 0.5, 0.0, 1.0) - 1.0, 0.0);
}

// The numbers of a corner where its fringe has moved it to: only strokes have any on their fringe.
fn moved_brush(brush: vec2f, fringe: vec2f) -> vec2f {
    return vec2f(brush.x + sign(brush.x) * min(length(fringe), 0.5) * frame.eye.w, brush.y);
}
