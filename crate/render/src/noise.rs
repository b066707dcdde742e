//! Integer-hash noise and the thickness of a blown sheet; twins of the functions in `shaders/prelude.wgsl` and
//! `shaders/glass.wgsl`.

use crate::constants::{
    DRIFT_PER_MM, DRIFT_SHARE, HASH_MIX_1, HASH_MIX_2, HASH_SEED, HASH_X, HASH_Y, REAM_PER_MM, REAM_SHARE,
    STREAK_PER_MM, STREAK_SHARE,
};

/// A number from −1 to 1 for each corner of a lattice.
fn lattice(x: i32, y: i32, seed: u32) -> f32 {
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

/// Thickness over a sheet, −1 to 1 of its amplitude, and its gradient per mm, at a panel position.
pub(crate) fn sheet_thickness(position: [f32; 2], origin: [f32; 2], axis: [f32; 2], seed: u32) -> [f32; 3] {
    let q = [position[0] + origin[0], position[1] + origin[1]];
    let s = [q[0] * axis[0] + q[1] * axis[1], q[1] * axis[0] - q[0] * axis[1]];
    let mut value = 0.0;
    let mut slope = [0.0; 2];
    let octaves = [(DRIFT_PER_MM, DRIFT_SHARE), (STREAK_PER_MM, STREAK_SHARE), (REAM_PER_MM, REAM_SHARE)];
    for (k, (per_mm, share)) in octaves.into_iter().enumerate() {
        let n = value_noise([s[0] * per_mm[0], s[1] * per_mm[1]], seed.wrapping_add(k as u32));
        value += share * n[0];
        slope[0] += share * n[1] * per_mm[0];
        slope[1] += share * n[2] * per_mm[1];
    }
    [value, slope[0] * axis[0] - slope[1] * axis[1], slope[0] * axis[1] + slope[1] * axis[0]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_gradient_is_the_slope_of_the_value() {
        let axis = [0.6, 0.8];
        let (mut least, mut most) = (f32::MAX, f32::MIN);
        for k in 0..400 {
            let p = [(k % 20) as f32 * 31.7 - 200.0, (k / 20) as f32 * 53.1 - 300.0];
            let at = |dx: f32, dy: f32| sheet_thickness([p[0] + dx, p[1] + dy], [11.0, 5.0], axis, 9)[0];
            let [value, gx, gy] = sheet_thickness(p, [11.0, 5.0], axis, 9);
            let h = 0.05;
            // 2e-4: rounding of f32 over a step of 0.1 mm.
            assert!(((at(h, 0.0) - at(-h, 0.0)) / (2.0 * h) - gx).abs() < 2e-4);
            assert!(((at(0.0, h) - at(0.0, -h)) / (2.0 * h) - gy).abs() < 2e-4);
            least = least.min(value);
            most = most.max(value);
        }
        assert!(least >= -1.0 && most <= 1.0 && least < -0.4 && most > 0.4, "{least} {most}");
    }

    #[test]
    fn sheets_differ_and_stay_the_same() {
        let at = |seed| sheet_thickness([100.0, 50.0], [0.0; 2], [1.0, 0.0], seed)[0];
        assert!((at(1) - at(2)).abs() > 1e-3);
        assert_eq!(at(1).to_bits(), at(1).to_bits());
    }
}
