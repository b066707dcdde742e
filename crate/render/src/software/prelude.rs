//! CPU twin of `shaders/prelude.wgsl`.

use glam::{Vec2, Vec3};

use crate::shared::constants::{
    HALF_LIMIT, HASH_DROPPED, HASH_HALF, HASH_MIX_1, HASH_MIX_2, HASH_SEED, HASH_SHIFT_1, HASH_SHIFT_2,
    HASH_X, HASH_Y, NODES_PER_PIXEL, NOISE_LEFT, NOISE_LEFT_SLOPE,
};
use crate::shared::frame::Frame;

/// Clip coordinates of a vertex, on the grid that vertices snap to.
pub(crate) fn clip_from_panel(frame: &Frame, position: Vec2, fringe: Vec2) -> Vec2 {
    let moved = position + fringe * frame.mm_per_px;
    let nodes = ((moved - frame.centre_mm) * frame.px_per_mm * NODES_PER_PIXEL + 0.5).floor();
    nodes * (frame.mm_per_px / NODES_PER_PIXEL) * frame.clip_per_mm
}

/// A number from −1 to 1 for each corner of a lattice.
pub(crate) fn lattice(x: i32, y: i32, seed: u32) -> f32 {
    let mut h =
        (x as u32).wrapping_mul(HASH_X) ^ (y as u32).wrapping_mul(HASH_Y) ^ seed.wrapping_mul(HASH_SEED);
    h = (h ^ (h >> HASH_SHIFT_1)).wrapping_mul(HASH_MIX_1);
    h = (h ^ (h >> HASH_SHIFT_2)).wrapping_mul(HASH_MIX_2);
    h ^= h >> HASH_SHIFT_1;
    (h >> HASH_DROPPED) as f32 / HASH_HALF - 1.0
}

/// Smooth noise between −1 and 1, and its derivatives by x and y.
pub(crate) fn value_noise(p: Vec2, seed: u32) -> Vec3 {
    let cell = p.floor();
    let f = p - cell;
    let u = f * f * f * (f * (f * 6.0 - 15.0) + 10.0);
    let du = 30.0 * f * f * (f * (f - 2.0) + 1.0);
    let (x, y) = (cell.x as i32, cell.y as i32);
    let a = lattice(x, y, seed);
    let b = lattice(x.wrapping_add(1), y, seed);
    let c = lattice(x, y.wrapping_add(1), seed);
    let d = lattice(x.wrapping_add(1), y.wrapping_add(1), seed);
    let twist = a - b - c + d;
    Vec3::new(
        a + (b - a) * u.x + (c - a) * u.y + twist * u.x * u.y,
        du.x * (b - a + twist * u.y),
        du.y * (c - a + twist * u.x),
    )
}

/// Noise that fades out before it is finer than the pixels, −1 to 1.
pub(crate) fn faded_noise(frame: &Frame, position: Vec2, per_mm: f32, seed: u32) -> f32 {
    let left = (NOISE_LEFT - NOISE_LEFT_SLOPE * frame.mm_per_px * per_mm).clamp(0.0, 1.0);
    value_noise(position * per_mm, seed).x * left
}

/// Clamps to the range of a half float.
pub(crate) fn finite_half(c: Vec3) -> Vec3 {
    c.map(|v| v.clamp(-HALF_LIMIT, HALF_LIMIT))
}

/// WGSL's `mix` of numbers.
pub(crate) fn mix(a: f32, b: f32, share: f32) -> f32 {
    a * (1.0 - share) + b * share
}
