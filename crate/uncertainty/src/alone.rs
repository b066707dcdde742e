//! One cause at a time: what it does to a figure while all others are at their centre.

use crate::cause::Causes;
use crate::draw::{Draw, Layout};
use crate::normal::quantile;

/// Draws in which one cause is away from its centre.
pub struct Alone {
    layout: Layout,
    values: Vec<usize>,
}

impl Alone {
    /// Of these causes, which are named by their place in [`Causes::list`].
    pub fn new(causes: &Causes) -> Self {
        Self { layout: Layout::new(causes), values: causes.list().iter().map(|cause| cause.values).collect() }
    }

    /// Every cause at its centre.
    pub fn centre(&self) -> Draw {
        self.layout.centre()
    }

    /// How many values a cause has ([`Causes::each`]); 0 for none of these.
    pub fn values(&self, cause: usize) -> usize {
        self.values.get(cause).copied().unwrap_or_default()
    }

    /// How many independent normal numbers a cause has: one for each number, several for a curve.
    pub fn normals(&self, cause: usize) -> usize {
        self.layout.by_cause().nth(cause).map_or(0, |dimensions| dimensions.len())
    }

    /// Normal number `normal` of a cause at `z` standard deviations.
    pub fn one(&self, cause: usize, normal: usize, z: f64) -> Draw {
        let dimension = self.layout.by_cause().nth(cause).map(|dimensions| dimensions.start + normal);
        self.layout.at(|d| if Some(d) == dimension { z } else { 0.0 })
    }

    /// All normal numbers of a cause at `z` standard deviations.
    pub fn all(&self, cause: usize, z: f64) -> Draw {
        let dimensions = self.layout.by_cause().nth(cause).unwrap_or(0..0);
        self.layout.at(|d| if dimensions.contains(&d) { z } else { 0.0 })
    }

    /// Variance of a figure due to one normal number alone, by three nodes: exact for a figure that is a polynomial of
    /// second order in it.
    ///
    /// # Source
    /// Gauss–Hermite quadrature: nodes 0 and ±√3, weights 2/3 and 1/6 (Abramowitz & Stegun 25.4.46, from memory).
    pub fn variance(
        &self,
        cause: usize,
        normal: usize,
        middle: f64,
        mut figure: impl FnMut(&Draw) -> f64,
    ) -> f64 {
        let z = 3f64.sqrt();
        let [less, more] = [-z, z].map(|z| figure(&self.one(cause, normal, z)));
        let mean = 2.0 / 3.0 * middle + (less + more) / 6.0;
        2.0 / 3.0 * (middle - mean).powi(2) + ((less - mean).powi(2) + (more - mean).powi(2)) / 6.0
    }

    /// The same where the figure may jump: by the middles of 40 strata of equal probability, out to ±2.24 standard deviations.
    pub fn variance_with_jumps(
        &self,
        cause: usize,
        normal: usize,
        mut figure: impl FnMut(&Draw) -> f64,
    ) -> f64 {
        const STRATA: usize = 40;
        let (mut sum, mut squares) = (0.0, 0.0);
        for stratum in 0..STRATA {
            let z = quantile((stratum as f64 + 0.5) / STRATA as f64);
            let found = figure(&self.one(cause, normal, z));
            sum += found;
            squares += found * found;
        }
        let mean = sum / STRATA as f64;
        (squares / STRATA as f64 - mean * mean).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cause::{Form, Origin};

    #[test]
    fn a_cause_moves_alone_and_has_its_variance() {
        let mut causes = Causes::new();
        let a = causes.number("a", 2.0, 0.5, Form::Normal, Origin::Assumption).unwrap();
        let each = causes.each("each", 3, 1.0, 0.1, Form::Normal, Origin::Assumption).unwrap();
        let curve = causes.curve("curve", 0.2, Some(100.0), Origin::Assumption).unwrap();
        let alone = Alone::new(&causes);
        assert_eq!((alone.values(0), alone.values(1), alone.values(9)), (1, 3, 0));
        assert_eq!((alone.normals(0), alone.normals(1)), (1, 3));
        let draw = alone.one(1, 2, 1.0);
        assert_eq!(each.iter().map(|id| draw.number(*id)).collect::<Vec<_>>(), [1.0, 1.0, 1.1]);
        assert!(each.iter().all(|id| (alone.all(1, -1.0).number(*id) - 0.9).abs() < 1e-15));
        assert!((draw.number(a) - 2.0).abs() < 1e-15);
        // (2 + z/2)² has the variance 4·1 + ½·(½)²·½ … = 4 + 1/8.
        let found = alone.variance(0, 0, 4.0, |draw| draw.number(a).powi(2));
        assert!((found - 4.125).abs() < 1e-12, "{found}");
        // A jump by 1 that one case of five is beyond has the variance of a coin of that kind.
        let jump = |draw: &Draw| f64::from(u8::from(draw.number(a) > 2.0 + 0.5 * 0.841_621));
        let found = alone.variance_with_jumps(0, 0, jump);
        assert!((found - 0.16).abs() < 1e-12, "{found}");
        let of_curve: f64 = (0..alone.normals(2))
            .map(|k| alone.variance(2, k, 0.0, |draw| draw.curve(curve).map_or(0.0, |c| c[40].ln())))
            .sum();
        assert!((of_curve - 0.04).abs() < 1e-6, "{of_curve}");
    }
}
