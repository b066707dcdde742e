//! An order in which points are triangulated quickly one after the other.

use glam::DVec2;

/// Bits of a coordinate along the curve.
const BITS: u32 = 16;
/// Each round but the last holds an eighth of the next.
const ROUND_BITS: u32 = 3;

/// The indices of points in rounds of growing size, each along a Hilbert curve: every point lies close to the one before,
/// and the rounds before have already parted the plane around it (Amenta, Choi & Rote 2003, "Incremental constructions con
/// BRIO"; source from memory).
pub(crate) fn insertion_order(points: impl ExactSizeIterator<Item = DVec2> + Clone) -> Vec<u32> {
    let (mut low, mut high) = (DVec2::INFINITY, DVec2::NEG_INFINITY);
    for p in points.clone() {
        (low, high) = (low.min(p), high.max(p));
    }
    let scale = f64::from((1_u32 << BITS) - 1) / (high - low).max_element().max(1e-9);
    let mut keys: Vec<(u64, u32)> = points
        .enumerate()
        .map(|(i, p)| {
            let [x, y] = ((p - low) * scale).to_array().map(|v| v as u64);
            let round = u64::from(scrambled(i as u64).leading_zeros() / ROUND_BITS);
            ((63 - round) << (2 * BITS) | hilbert(x, y), i as u32)
        })
        .collect();
    keys.sort_unstable();
    keys.into_iter().map(|(_, i)| i).collect()
}

/// A fixed mixture of a number's bits (the finaliser of SplitMix64; constants from memory).
fn scrambled(mut v: u64) -> u64 {
    v = v.wrapping_add(0x9E37_79B9_7F4A_7C15);
    v = (v ^ (v >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    v = (v ^ (v >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    v ^ (v >> 31)
}

/// Place along the Hilbert curve.
fn hilbert(mut x: u64, mut y: u64) -> u64 {
    let mut along = 0;
    for bit in (0..BITS).rev() {
        let (right, upper) = (x >> bit & 1, y >> bit & 1);
        along = along << 2 | (3 * right) ^ upper;
        // The quarter's curve is turned or mirrored.
        if upper == 0 {
            if right == 1 {
                let mask = (1 << bit) - 1;
                (x, y) = (!x & mask, !y & mask);
            }
            (x, y) = (y, x);
        }
    }
    along
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_passes_from_neighbour_to_neighbour() {
        let side = 64;
        let mut along: Vec<(u64, [i64; 2])> = (0..side * side)
            .map(|i| (hilbert(i % side, i / side), [(i % side) as i64, (i / side) as i64]))
            .collect();
        along.sort_unstable();
        assert!(along.windows(2).all(|pair| {
            let ([a, b], [c, d]) = (pair[0].1, pair[1].1);
            (a - c).abs() + (b - d).abs() == 1
        }));
    }

    #[test]
    fn every_point_comes_once() {
        let points: Vec<DVec2> =
            (0..1000).map(|i| DVec2::new(f64::from(i % 37), f64::from(i % 11))).collect();
        let mut order = insertion_order(points.iter().copied());
        assert!(order[..5] != [0, 1, 2, 3, 4]);
        order.sort_unstable();
        assert!(order.iter().copied().eq(0..1000));
    }
}
