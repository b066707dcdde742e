//! CPU twin of `shaders/prelude.wgsl`.

use crate::shared::constants::{HALF_LIMIT, HASH_MIX_1, HASH_MIX_2, HASH_SEED, HASH_X, HASH_Y};
use crate::vector::V3;

/// A number from −1 to 1 for each corner of a lattice.
pub(crate) fn lattice(x: i32, y: i32, seed: u32) -> f32 {
    let mut h =
        (x as u32).wrapping_mul(HASH_X) ^ (y as u32).wrapping_mul(HASH_Y) ^ seed.wrapping_mul(HASH_SEED);
    h = (h ^ (h >> 16)).wrapping_mul(HASH_MIX_1);
    h = (h ^ (h >> 15)).wrapping_mul(HASH_MIX_2);
    h ^= h >> 16;
    (h >> 8) as f32 / 8_388_608.0 - 1.0
}

/// Smooth noise between −1 and 1 and its derivatives by x and y.
pub(crate) fn value_noise(p: [f32; 2], seed: u32) -> [f32; 3] {
    let cell = p.map(f32::floor);
    let f = [p[0] - cell[0], p[1] - cell[1]];
    let u = f.map(|f| f * f * f * (f * (f * 6.0 - 15.0) + 10.0));
    let du = f.map(|f| 30.0 * f * f * (f * (f - 2.0) + 1.0));
    let (x, y) = (cell[0] as i32, cell[1] as i32);
    let a = lattice(x, y, seed);
    let b = lattice(x.wrapping_add(1), y, seed);
    let c = lattice(x, y.wrapping_add(1), seed);
    let d = lattice(x.wrapping_add(1), y.wrapping_add(1), seed);
    let twist = a - b - c + d;
    [
        a + (b - a) * u[0] + (c - a) * u[1] + twist * u[0] * u[1],
        du[0] * (b - a + twist * u[1]),
        du[1] * (c - a + twist * u[0]),
    ]
}

pub(crate) fn finite_half(c: V3) -> V3 {
    c.map(|v| v.clamp(-HALF_LIMIT, HALF_LIMIT))
}

pub(crate) fn apply_rows(rows: &[[f32; 4]; 3], v: V3) -> V3 {
    rows.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}
