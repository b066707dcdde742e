// Shared by every pass that draws in the panel plane. Lengths in panel mm, angles in radians, light in cd/m² per
// channel of linear RGB with sRGB primaries, signed. The constants in CAPITALS and the structures that Rust fills
// precede this text. Twin: crate/render/src/software/prelude.rs

@group(0) @binding(0) var<uniform> frame: Frame;
@group(0) @binding(1) var responses: texture_2d<f32>;
@group(0) @binding(2) var pieces: texture_2d<f32>;
@group(0) @binding(3) var field: texture_2d<f32>;

// Vertices snap to the coarsest sub-pixel grid that a driver may have (Vulkan requires 4 bits). Otherwise drivers
// round to grids of their own, and edges differ by up to 1/32 of a pixel.
fn clip_from_panel(position: vec2f, fringe: vec2f) -> vec4f {
    let moved = position + fringe * frame.mm_per_px;
    let nodes = floor((moved - frame.centre_mm) * frame.px_per_mm * NODES_PER_PIXEL + 0.5);
    return vec4f(nodes * (frame.mm_per_px / NODES_PER_PIXEL) * frame.clip_per_mm, 0.0, 1.0);
}

// A number from -1 to 1 for each corner of a lattice. Integers, because drivers differ in the sine of large numbers.
fn lattice(x: i32, y: i32, seed: u32) -> f32 {
    var h = (bitcast<u32>(x) * HASH_X) ^ (bitcast<u32>(y) * HASH_Y) ^ (seed * HASH_SEED);
    h = (h ^ (h >> HASH_SHIFT_1)) * HASH_MIX_1;
    h = (h ^ (h >> HASH_SHIFT_2)) * HASH_MIX_2;
    h = h ^ (h >> HASH_SHIFT_1);
    return f32(h >> HASH_DROPPED) / HASH_HALF - 1.0;
}

// Smooth noise from -1 to 1, and its derivatives by x and y.
fn value_noise(p: vec2f, seed: u32) -> vec3f {
    let cell = floor(p);
    let f = p - cell;
    // The quintic with continuous slope and curvature, and its derivative.
    let u = f * f * f * (f * (f * 6.0 - 15.0) + 10.0);
    let du = 30.0 * f * f * (f * (f - 2.0) + 1.0);
    let x = i32(cell.x);
    let y = i32(cell.y);
    let a = lattice(x, y, seed);
    let b = lattice(x + 1, y, seed);
    let c = lattice(x, y + 1, seed);
    let d = lattice(x + 1, y + 1, seed);
    let twist = a - b - c + d;
    return vec3f(
        a + (b - a) * u.x + (c - a) * u.y + twist * u.x * u.y,
        du.x * (b - a + twist * u.y),
        du.y * (c - a + twist * u.x),
    );
}

// Noise that fades out before it is finer than the pixels, -1 to 1.
fn faded_noise(position: vec2f, per_mm: f32, seed: u32) -> f32 {
    let left = clamp(NOISE_LEFT - NOISE_LEFT_SLOPE * frame.mm_per_px * per_mm, 0.0, 1.0);
    return value_noise(position * per_mm, seed).x * left;
}

// Clamps to the range of a half float.
fn finite_half(c: vec3f) -> vec3f {
    return clamp(c, vec3f(-HALF_LIMIT), vec3f(HALF_LIMIT));
}
