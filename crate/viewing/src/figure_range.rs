//! The range of one figure, and to how many digits it and its ends are printed.

use schemars::JsonSchema;
use serde::Serialize;

/// A figure's range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FigureRange {
    /// The figure is as likely above it as below. Where the range is skewed it is not the figure that is printed, for
    /// which everything is taken at its most likely value.
    pub median: f64,
    /// Lower end: the figure is below it in one case of twenty.
    pub p05: f64,
    /// Upper end: the figure is above it in one case of twenty.
    pub p95: f64,
    /// A power of ten: more exact digits of the figure mean nothing. Its range is at least four of them wide.
    pub step: f64,
    /// The power of ten to whose multiples the figure that is printed is rounded: `step`, or less where it would not keep a
    /// significant digit, as in a dark and thus skewed one.
    pub figure_step: f64,
    /// The same for the lower end.
    pub p05_step: f64,
    /// The same for the upper end.
    pub p95_step: f64,
}

impl FigureRange {
    /// The range of a figure that is printed as this, with its median and both ends.
    pub fn new(figure: f64, median: f64, p05: f64, p95: f64) -> Self {
        let step = step(p95 - p05);
        let [figure_step, p05_step, p95_step] = [figure, p05, p95].map(|value| own_step(value, step));
        Self { median, p05, p95, step, figure_step, p05_step, p95_step }
    }

    /// Whether it goes about as far up from the median as down, so that one standard deviation says enough of it: the two
    /// differ by less than a quarter of the larger. Our choice.
    pub fn is_symmetric(&self) -> bool {
        let [up, down] = [self.p95 - self.median, self.median - self.p05];
        (up - down).abs() < 0.25 * up.max(down) || up + down <= 0.0
    }

    /// The standard deviation of a normal distribution with this range.
    pub fn sd(&self) -> f64 {
        /// 95th percentile of the standard normal distribution.
        const P95: f64 = 1.644_853_626_951_472_2;
        0.5 * (self.p95 - self.p05) / P95
    }
}

/// The power of ten that is at most a quarter of a width; 0 without any.
fn step(width: f64) -> f64 {
    if width > 0.0 { 10f64.powf((width / 4.0).log10().floor()) } else { 0.0 }
}

/// This step, or less, so that a value keeps a significant digit.
fn own_step(value: f64, step: f64) -> f64 {
    let size = value.abs();
    if size > 0.0 { step.min(10f64.powf(size.log10().floor())) } else { step }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_step_is_the_digit_that_still_means_something() {
        for (width, expected) in [(106.0, 10.0), (39.0, 1.0), (41.0, 10.0), (0.9, 0.1), (4000.0, 1000.0)] {
            assert!((step(width) / expected - 1.0).abs() < 1e-9, "{width}: {}", step(width));
        }
        assert!(step(0.0).abs() <= 0.0);
    }

    #[test]
    fn a_skewed_figure_and_its_ends_keep_a_digit_each() {
        for ([figure, p05, p95], expected) in [
            // Deep purple.
            ([4.46, 0.9, 22.0], [1.0, 0.1, 1.0]),
            ([4.46, 0.06, 52.0], [1.0, 0.01, 10.0]),
            ([0.4, 0.006, 3.0], [0.1, 0.001, 0.1]),
            // Most figures are known to a step that all three have.
            ([149.0, 101.4, 194.4], [10.0, 10.0, 10.0]),
            ([0.0, 0.0, 0.0], [0.0, 0.0, 0.0]),
        ] {
            let range = FigureRange::new(figure, figure, p05, p95);
            let found = [range.figure_step, range.p05_step, range.p95_step];
            for (found, expected) in found.into_iter().zip(expected) {
                assert!((found - expected).abs() <= 1e-9 * expected, "{range:?}");
            }
        }
    }

    #[test]
    fn a_range_is_symmetric_up_to_a_quarter() {
        for (p05, p95, expected) in
            [(90.0, 110.0, true), (92.4, 110.0, true), (92.6, 110.0, false), (90.0, 113.4, false)]
        {
            assert_eq!(FigureRange::new(100.0, 100.0, p05, p95).is_symmetric(), expected, "{p05} {p95}");
        }
        assert!(!FigureRange::new(4.46, 4.5, 0.9, 22.0).is_symmetric());
    }
}
