// Shared by every pass that draws in the panel plane. Lengths in panel mm, angles in degrees, light in cd/m² per
// channel of linear RGB with sRGB primaries, signed. The constants in CAPITALS come before this text.

struct Frame {
    view: vec4f,       // centre x, y; clip units per mm x, y
    eye: vec4f,        // x, y, z; mm per pixel
    sun: vec4f,        // unit vector toward the sun in the panel's frame; 1 where it shines
    field_map: vec4f,  // origin x, y; cells per mm x, y
    field_size: vec4f, // columns, rows; exposure; strength of the glass's variation
    room: vec4f,       // light from a white surface that faces the window, RGB; pixels per mm
}

@group(0) @binding(0) var<uniform> frame: Frame;
@group(0) @binding(1) var responses: texture_2d<f32>;
@group(0) @binding(2) var pieces: texture_2d<f32>;
@group(0) @binding(3) var field: texture_2d<f32>;

// Corners are set on the coarsest grid within a pixel that a driver may have (Vulkan asks for 4 bits): left to
// themselves drivers round to grids of their own, and edges differ by up to 1/32 of a pixel.
fn clip_from_panel(position: vec2f, fringe: vec2f) -> vec4f {
    let moved = position + fringe * frame.eye.w;
    let nodes = floor((moved - frame.view.xy) * frame.room.w * NODES_PER_PIXEL + 0.5);
    return vec4f(nodes * (frame.eye.w / NODES_PER_PIXEL) * frame.view.zw, 0.0, 1.0);
}

// Integers, because drivers differ in the sine of large numbers. -1 to 1.
fn lattice(x: i32, y: i32, seed: u32) -> f32 {
    var h = (bitcast<u32>(x) * HASH_X) ^ (bitcast<u32>(y) * HASH_Y) ^ (seed * HASH_SEED);
    h = (h ^ (h >> 16u)) * HASH_MIX_1;
    h = (h ^ (h >> 15u)) * HASH_MIX_2;
    h = h ^ (h >> 16u);
    return f32(h >> 8u) / 8388608.0 - 1.0;
}

// Smooth noise and its two derivatives.
fn value_noise(p: vec2f, seed: u32) -> vec3f {
    let cell = floor(p);
    let f = p - cell;
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

fn finite_half(c: vec3f) -> vec3f {
    return clamp(c, vec3f(-HALF_LIMIT), vec3f(HALF_LIMIT));
}
