//! A spectrum that can be moved along the wavelength axis: a band or edge whose position is not known exactly.

use spectra::{GRID_STEP_NM, SAMPLES, Spectrum};

/// A spectrum without negative values and the cubic spline through its samples.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Movable {
    samples: Spectrum,
    /// Second derivatives at the samples, times the step squared over 6.
    bends: Spectrum,
}

impl Movable {
    /// Natural cubic spline: no bend at either end. For equal steps the bends b follow from the samples y by
    /// b₋ + 4 b + b₊ = y₋ − 2 y + y₊.
    ///
    /// # Source
    /// C. de Boor, *A Practical Guide to Splines* (1978), chapter IV (from memory).
    pub(crate) fn new(samples: Spectrum) -> Self {
        let (mut bends, mut above) = (Spectrum::ZERO, Spectrum::ZERO);
        for i in 1..SAMPLES - 1 {
            let right = samples[i - 1] - 2.0 * samples[i] + samples[i + 1];
            let pivot = 4.0 - above[i - 1];
            above[i] = 1.0 / pivot;
            bends[i] = (right - bends[i - 1]) / pivot;
        }
        for i in (1..SAMPLES - 1).rev() {
            bends[i] -= above[i] * bends[i + 1];
        }
        Self { samples, bends }
    }

    /// As it is.
    pub(crate) fn unmoved(&self) -> &Spectrum {
        &self.samples
    }

    /// Moved towards longer wavelengths by `nm`. Constant beyond both ends; never below 0. NaN for NaN.
    pub(crate) fn moved(&self, nm: f64) -> Spectrum {
        if nm.is_nan() {
            return Spectrum::splat(f64::NAN);
        }
        let last = (SAMPLES - 1) as f64;
        let steps = nm / GRID_STEP_NM;
        let mut moved = Spectrum::ZERO;
        for (i, sample) in moved.samples_mut().iter_mut().enumerate() {
            let at = (i as f64 - steps).clamp(0.0, last);
            let left = (at.floor() as usize).min(SAMPLES - 2);
            let (t, y, b) = (at - left as f64, &self.samples, &self.bends);
            let u = 1.0 - t;
            let spline =
                u * y[left] + t * y[left + 1] + (u * u * u - u) * b[left] + (t * t * t - t) * b[left + 1];
            *sample = spline.max(0.0);
        }
        moved
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn edge(at_nm: f64) -> Spectrum {
        Spectrum::from_fn(|nm| 0.02 + 1.6 / (1.0 + ((nm - at_nm) / 6.0).exp()))
    }

    #[test]
    fn a_moved_edge_is_the_edge_elsewhere() {
        let movable = Movable::new(edge(598.0));
        for nm in [-40.0, -7.3, -2.5, 0.0, 1.0, 5.0, 31.7] {
            let worst = (movable.moved(nm) - edge(598.0 + nm)).map(f64::abs).max();
            assert!(worst < 1.5e-3, "{nm}: {worst}");
        }
        assert!((movable.moved(0.0) - edge(598.0)).map(f64::abs).max() < 1e-14);
    }

    #[test]
    fn beyond_the_ends_it_is_constant_and_never_negative() {
        let line = Movable::new(Spectrum::from_fn(|nm| nm - 380.0));
        assert!((line.moved(1e300) - Spectrum::ZERO).map(f64::abs).max() < 1e-12);
        assert!((line.moved(-1e300) - Spectrum::splat(400.0)).map(f64::abs).max() < 1e-12);
        assert!((line.moved(2.5)[10] - 47.5).abs() < 1e-12);
        let comb = Movable::new(Spectrum::from_fn(|nm| if nm as i64 % 10 == 0 { 1.0 } else { 0.0 }));
        assert!(comb.moved(1.7).min() >= 0.0);
        assert!(line.moved(f64::NAN)[0].is_nan());
    }
}
