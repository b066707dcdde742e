//! Which standard normal number each draw has in each dimension: Latin hypercube sampling with a fixed seed.
//!
//! The normal distribution is cut into as many strata of equal probability as there are draws. Every dimension visits
//! the middle of every stratum exactly once, in an order of its own. A figure that depends on one number alone is thus
//! as good as exact, one that is a sum of effects of single numbers nearly so, and any other at least as good as with
//! plain random draws. There may be any number of dimensions, which low-discrepancy sequences do not allow without
//! long tables.
//!
//! # Source
//! M. D. McKay, R. J. Beckman & W. J. Conover, *Technometrics* 21 (1979) 239–245; never worse than n/(n − 1) times the
//! variance of plain draws: A. B. Owen, *SIAM J. Numer. Anal.* 34 (1997) 1884–1910 (both from memory).

use crate::normal::quantile;

/// Any number would do; this one is fixed.
const SEED: u64 = 0x636c_6572_6573_746f;

/// The normal numbers of all draws.
pub(crate) struct Strata {
    /// Middle of each stratum, ascending.
    middles: Vec<f64>,
    /// By dimension and draw: the stratum.
    orders: Vec<Vec<u32>>,
}

impl Strata {
    /// `draws` fits in 32 bits.
    pub(crate) fn new(draws: usize, dimensions: usize) -> Self {
        let middles = (0..draws).map(|i| quantile((i as f64 + 0.5) / draws as f64)).collect();
        Self { middles, orders: (0..dimensions).map(|dimension| shuffled(draws, dimension)).collect() }
    }

    /// Standard normal.
    #[inline]
    pub(crate) fn normal(&self, dimension: usize, draw: usize) -> f64 {
        self.middles[self.orders[dimension][draw] as usize]
    }
}

/// 0 to n − 1 in random order (Fisher & Yates), a different one for each dimension.
fn shuffled(n: usize, dimension: usize) -> Vec<u32> {
    let mut random = SplitMix(SEED);
    random.0 ^= SplitMix(dimension as u64).next();
    let mut order: Vec<u32> = (0..n as u32).collect();
    for i in (1..n).rev() {
        order.swap(i, random.below(i as u32 + 1) as usize);
    }
    order
}

/// SplitMix64: G. L. Steele, D. Lea & C. H. Flood, OOPSLA 2014 (from memory).
struct SplitMix(u64);

impl SplitMix {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A whole number below `n`. With at most 2^22 draws the upper bits are even to 1e-3 of 1e-6.
    fn below(&mut self, n: u32) -> u32 {
        (((self.next() >> 32) * u64::from(n)) >> 32) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_visits_every_stratum_once() {
        let strata = Strata::new(1000, 5);
        for order in &strata.orders {
            let mut seen = order.clone();
            sorting::values(&mut seen);
            assert!(seen.iter().copied().eq(0..1000));
        }
        assert!(strata.middles.is_sorted());
    }

    // For independent numbers the correlation of n draws has the standard deviation 1/√n, here 0.0156.
    #[test]
    fn dimensions_are_independent() {
        let (n, dimensions) = (4096, 40);
        let strata = Strata::new(n, dimensions);
        let mut squares = Vec::new();
        for a in 0..dimensions {
            for b in 0..a {
                let sum: f64 = (0..n).map(|i| strata.normal(a, i) * strata.normal(b, i)).sum();
                squares.push((sum / n as f64).powi(2) * n as f64);
            }
        }
        let mean = squares.iter().sum::<f64>() / squares.len() as f64;
        assert!((0.8..1.2).contains(&mean), "{mean}");
        assert!(squares.iter().all(|s| *s < 4.5f64.powi(2)));
    }

    // Fixed for good: another order would change printed figures.
    #[test]
    fn the_order_is_fixed() {
        assert_eq!(shuffled(8, 0), shuffled(8, 0));
        assert_ne!(shuffled(8, 0), shuffled(8, 1));
    }
}
