// The surface and the second quality of a sheet of glass. Twin: crate/render/src/software/sheet.rs

// How much remains of detail with `per_mm` cells.
fn fade(per_mm: f32) -> f32 {
    return clamp((1.0 - per_mm * frame.mm_per_px) * FADE_SLOPE, 0.0, 1.0);
}

// The blown surface of a sheet at a place along and across its axis.
struct Blown {
    value: f32,   // deviation of thickness, about -1 to 1 of its amplitude
    slope: vec2f, // its gradient along and across, per mm
    sheen: f32,   // how the light is gathered, about -1 to 1
    rough: f32,   // how much the slope varies within a pixel, per mm
}

fn blown(s: vec2f, seed: u32) -> Blown {
    let warp = value_noise(s * WARP_PER_MM, seed + KEY_WARP);
    let w = vec2f(s.x, s.y + WARP_MM * warp.x);
    let drift = value_noise(w * DRIFT_PER_MM, seed + KEY_DRIFT);
    let band = value_noise(w * BAND_PER_MM, seed + KEY_BAND);
    let ream = value_noise(w * REAM_PER_MM, seed + KEY_REAM);
    let hair = value_noise(w * HAIR_PER_MM, seed + KEY_HAIR);
    let ream_left = REAM_SHARE * fade(REAM_FINEST_PER_MM);
    let hair_left = HAIR_SHARE * fade(HAIR_PER_MM.y);
    let steep = REAM_SHARPNESS * ream.x;
    let within = max(1.0 - steep * steep, 0.0);
    let profile = within * within - REAM_MEAN;
    let down = -4.0 * within * steep * REAM_SHARPNESS;
    let gradient = DRIFT_SHARE * drift.yz * DRIFT_PER_MM
        + BAND_SHARE * band.yz * BAND_PER_MM
        + ream_left * down * ream.yz * REAM_PER_MM
        + hair_left * hair.yz * HAIR_PER_MM;
    let bent = WARP_MM * warp.yz * WARP_PER_MM;
    return Blown(
        DRIFT_SHARE * drift.x + BAND_SHARE * band.x + ream_left * profile + hair_left * hair.x,
        vec2f(gradient.x + gradient.y * bent.x, gradient.y * (1.0 + bent.y)),
        SHEEN_REAM * (ream_left / REAM_SHARE) * profile + SHEEN_HAIR * (hair_left / HAIR_SHARE) * hair.x,
        REAM_SHARE * REAM_FINEST_PER_MM * min(REAM_FINEST_PER_MM * frame.mm_per_px, 1.0)
            + HAIR_SHARE * HAIR_PER_MM.y * min(HAIR_PER_MM.y * frame.mm_per_px, 1.0),
    );
}

// Streaks and wisps, -1 to 1.
fn flow(s: vec2f, seed: u32) -> f32 {
    let w = vec2f(s.x, s.y + FLOW_WARP_MM * value_noise(s * FLOW_WARP_PER_MM, seed + KEY_FLOW_WARP).x);
    let fine = FLOW_FINE_SHARE * fade(FLOW_FINE_PER_MM.y);
    let mixed = value_noise(w * FLOW_PER_MM, seed + KEY_FLOW).x
        + fine * value_noise(w * FLOW_FINE_PER_MM, seed + KEY_FLOW_FINE).x;
    return clamp(FLOW_CONTRAST * mixed, -1.0, 1.0);
}

// How much of a flash remains between an etched middle (-1) and the rim of its piece (1).
fn etched(position: vec2f, middle: vec2f, per_radius: f32, seed: u32) -> f32 {
    let d = position - middle;
    let uneven = value_noise(position * ETCH_PER_MM, seed + KEY_ETCH).x;
    let away = clamp(sqrt(d.x * d.x + d.y * d.y) * per_radius + ETCH_UNEVEN * uneven, 0.0, 1.0);
    return 2.0 * away * away * (3.0 - 2.0 * away) - 1.0;
}

// The effect of the bubbles of one order at a point.
struct Seeds {
    turn: vec2f, // deflection of the view along and across, -1 to 1
    gather: f32, // gathering of light, about -1 to 1
    glint: f32,  // 0 to 1
    cover: f32,  // 1 inside a bubble, 0 at its rim
}

fn seeds(s: vec2f, cell_mm: f32, share: f32, seed: u32) -> Seeds {
    let wide = cell_mm * SEED_CELL_ASPECT;
    let q = vec2f(s.x / cell_mm, s.y / wide);
    let cell = floor(q);
    let x = i32(cell.x);
    let y = i32(cell.y);
    let size = 0.5 + 0.5 * lattice(x, y, seed + KEY_SEED_SIZE);
    if size >= share {
        return Seeds(vec2f(0.0), 0.0, 0.0, 0.0);
    }
    // Small bubbles are many, wide ones few.
    let scale = size / share;
    let across = SEED_WIDEST * (SEED_NARROWEST + (1.0 - SEED_NARROWEST) * scale * scale);
    let along = across * SEED_CELL_ASPECT / SEED_ASPECT;
    let middle = vec2f(
        0.5 + (0.5 - along) * lattice(x, y, seed + KEY_SEED_ALONG),
        0.5 + (0.5 - across) * lattice(x, y, seed + KEY_SEED_ACROSS),
    );
    let d = (q - cell - middle) / vec2f(along, across);
    let out = d.x * d.x + d.y * d.y;
    let left = fade(0.5 / (across * wide));
    if out >= 1.0 || left <= 0.0 {
        return Seeds(vec2f(0.0), 0.0, 0.0, 0.0);
    }
    let inside = (1.0 - out) * left;
    let off = d - SEED_SPOT;
    let spot = max(1.0 - SEED_SPOT_SHARPNESS * (off.x * off.x + off.y * off.y), 0.0);
    return Seeds(d * inside, inside * (1.0 - SEED_RIM * out * out), left * spot * spot, min(SEED_COVER * inside, 1.0));
}

// The texture that a roller leaves: slope along and across and height, each about -1 to 1.
fn ripple(s: vec2f, per_mm: f32, seed: u32) -> vec3f {
    let q = vec2f(s.x * per_mm * RIPPLE_ASPECT, s.y * per_mm);
    let a = value_noise(q, seed + KEY_RIPPLE);
    let b = value_noise(q.yx * RIPPLE_SECOND, seed + KEY_RIPPLE_SECOND);
    return vec3f(
        a.y * RIPPLE_ASPECT + RIPPLE_SECOND_SHARE * b.z,
        a.z + RIPPLE_SECOND_SHARE * b.y,
        a.x + RIPPLE_SECOND_SHARE * b.x,
    );
}
