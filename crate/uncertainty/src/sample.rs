//! Figures at the centre and at every draw, and what follows from them.

use crate::cause::Causes;
use crate::draw::{Draw, Layout};
use crate::portable::ln;
use crate::strata::Strata;

/// Number of draws for figures that are printed: 2^15. The crate's documentation states the error that remains.
pub const DRAWS: usize = 1 << 15;
/// Fewest draws: fewer say nothing about the 5th percentile.
pub const FEWEST_DRAWS: usize = 64;
/// Most draws.
pub const MOST_DRAWS: usize = 1 << 22;

/// How well a figure is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Distribution {
    /// With every cause at its centre. Where a figure is skewed it is neither the median nor the mean.
    pub centre: f64,
    /// Half of all draws lie below it.
    pub median: f64,
    /// 5th percentile: one draw in twenty lies below it.
    pub p05: f64,
    /// 95th percentile: one draw in twenty lies above it.
    pub p95: f64,
    /// Mean of the draws.
    pub mean: f64,
    /// Standard deviation of the natural logarithm: 0.2 is about 20 %. `None` for a figure that may be 0 or less.
    pub sd_ln: Option<f64>,
}

/// A figure's median and the two ends of the range that holds nine draws of ten.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Range {
    /// Half of all draws lie below it.
    pub median: f64,
    /// One draw in twenty lies below it.
    pub p05: f64,
    /// One draw in twenty lies above it.
    pub p95: f64,
}

/// Figures at the centre and in every draw.
pub struct Sample {
    centres: Vec<f64>,
    values: Vec<Vec<f64>>,
}

/// Evaluates `figures` at the centre and at each of `draws` draws: [`DRAWS`] for figures that are printed, fewer where
/// the hand waits. The same input gives the same draws on every platform, to the bit.
///
/// # Errors
/// [`SampleError::Draws`] unless there are 64 to 2^22; [`SampleError::NotFinite`] if a figure is ever infinite or not a
/// number.
pub fn sample<const N: usize>(
    causes: &Causes,
    draws: usize,
    mut figures: impl FnMut(&Draw) -> [f64; N],
) -> Result<[Distribution; N], SampleError> {
    let sample = sample_all(causes, draws, N, |draw, into| into.copy_from_slice(&figures(draw)))?;
    Ok(std::array::from_fn(|figure| sample.distribution(figure)))
}

/// The same for any number of figures, of which `figures` writes all in their order; it is called first with every
/// cause at its centre. What is wanted of them is then computed one by one.
///
/// # Errors
/// As [`sample`].
pub fn sample_all(
    causes: &Causes,
    draws: usize,
    count: usize,
    mut figures: impl FnMut(&Draw, &mut [f64]),
) -> Result<Sample, SampleError> {
    if !(FEWEST_DRAWS..=MOST_DRAWS).contains(&draws) {
        return Err(SampleError::Draws { found: draws });
    }
    let layout = Layout::new(causes);
    let strata = Strata::new(draws, layout.dimensions());
    let mut draw = layout.centre();
    let mut centres = vec![0.0; count];
    figures(&draw, &mut centres);
    let mut values: Vec<Vec<f64>> = (0..count).map(|_| Vec::with_capacity(draws)).collect();
    let mut row = vec![0.0; count];
    for i in 0..draws {
        layout.set(&mut draw, &strata, i);
        figures(&draw, &mut row);
        for (values, figure) in values.iter_mut().zip(&row) {
            values.push(*figure);
        }
    }
    for (figure, (centre, values)) in centres.iter().zip(&values).enumerate() {
        if !centre.is_finite() || values.iter().any(|value| !value.is_finite()) {
            return Err(SampleError::NotFinite { figure });
        }
    }
    Ok(Sample { centres, values })
}

impl Sample {
    /// All that can be said of a figure. All 0 without that figure.
    pub fn distribution(&self, figure: usize) -> Distribution {
        let centre = self.centres.get(figure).copied().unwrap_or_default();
        let values = self.values.get(figure).cloned().unwrap_or_else(|| vec![0.0]);
        distribution(centre, values)
    }

    /// Its range alone, which costs little. All 0 without that figure.
    pub fn range(&self, figure: usize) -> Range {
        let Some(values) = self.values.get(figure) else { return Range::default() };
        let mut values = values.clone();
        sorting::numbers(&mut values);
        range(&values)
    }

    /// With every cause at its centre; 0 without that figure.
    pub fn centre(&self, figure: usize) -> f64 {
        self.centres.get(figure).copied().unwrap_or_default()
    }

    /// In every draw, in their order.
    pub fn values(&self, figure: usize) -> &[f64] {
        self.values.get(figure).map_or(&[], Vec::as_slice)
    }
}

fn range(ascending: &[f64]) -> Range {
    let [median, p05, p95] = [50.0, 5.0, 95.0].map(|percent| percentile(ascending, percent));
    Range { median, p05, p95 }
}

fn distribution(centre: f64, mut values: Vec<f64>) -> Distribution {
    let positive = centre > 0.0 && values.iter().all(|value| *value > 0.0);
    // Relative to the centre, so that a figure that does not vary has no spread at all.
    let logs = positive.then(|| values.iter().map(|value| ln(value / centre)).collect::<Vec<f64>>());
    let mean = mean_of(&values);
    sorting::numbers(&mut values);
    let Range { median, p05, p95 } = range(&values);
    Distribution {
        centre,
        median,
        p05,
        p95,
        mean,
        sd_ln: logs.map(|logs| {
            let mean = mean_of(&logs);
            mean_of(&logs.iter().map(|log| (log - mean).powi(2)).collect::<Vec<f64>>()).sqrt()
        }),
    }
}

fn mean_of(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Of ascending values, by straight lines between the middles of equal shares: value number i, counted from 0, of n is
/// the percentile 100·(i + ½)/n (Hazen's plotting position).
fn percentile(ascending: &[f64], percent: f64) -> f64 {
    let last = ascending.len() - 1;
    let place = (percent / 100.0 * ascending.len() as f64 - 0.5).clamp(0.0, last as f64);
    let below = place.floor();
    let (a, b) = (ascending[below as usize], ascending[(below as usize + 1).min(last)]);
    a + (b - a) * (place - below)
}

/// Why there is no distribution.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SampleError {
    /// Too few or too many draws.
    #[error("draws: expected {FEWEST_DRAWS} to {MOST_DRAWS}, found {found}")]
    Draws {
        /// The number given.
        found: usize,
    },
    /// A figure is infinite or not a number, at the centre or in a draw.
    #[error("figure {figure}, counted from 0: expected finite numbers, found one beyond their range")]
    NotFinite {
        /// Its place, from 0.
        figure: usize,
    },
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentiles_of_equal_steps() {
        let values: Vec<f64> = (0..100).map(f64::from).collect();
        for (percent, expected) in [(50.0, 49.5), (5.0, 4.5), (95.0, 94.5), (0.0, 0.0), (100.0, 99.0)] {
            assert!((percentile(&values, percent) - expected).abs() < 1e-12);
        }
        assert!((percentile(&[3.0], 5.0) - 3.0).abs() < 1e-12);
    }
}
