use std::ops::{Add, AddAssign, Div, Index, IndexMut, Mul, MulAssign, Neg, Sub, SubAssign};

/// Number of samples of a spectrum.
pub const SAMPLES: usize = 81;
/// First wavelength of the grid, nm.
pub const GRID_FIRST_NM: f64 = 380.0;
/// Step of the grid, nm.
pub const GRID_STEP_NM: f64 = 5.0;

/// The 81 wavelengths of the grid, nm, ascending.
pub fn wavelengths_nm() -> impl ExactSizeIterator<Item = f64> + Clone {
    (0..SAMPLES).map(|i| GRID_FIRST_NM + GRID_STEP_NM * i as f64)
}

/// A quantity by wavelength: 81 samples, 380–780 nm by 5 nm.
///
/// The meaning of the numbers (radiance in W·m⁻²·sr⁻¹·nm⁻¹, irradiance in W·m⁻²·nm⁻¹, a transmittance 0–1, …) is
/// stated wherever a spectrum is passed; arithmetic is sample by sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spectrum([f64; SAMPLES]);

// Short operations are compiled into the crates that use them. The page's WebAssembly is linked as one, where the compiler
// decides so by itself, and hints would only make it larger.
impl Spectrum {
    /// Zero at every wavelength.
    pub const ZERO: Self = Self([0.0; SAMPLES]);
    /// One at every wavelength: the transmittance of empty space, or the equal-energy light.
    pub const ONE: Self = Self([1.0; SAMPLES]);

    /// From its samples, 380 nm first.
    pub const fn new(samples: [f64; SAMPLES]) -> Self {
        Self(samples)
    }

    /// From a slice; `None` unless it has exactly 81 samples.
    pub fn from_slice(samples: &[f64]) -> Option<Self> {
        samples.try_into().ok().map(Self)
    }

    /// The same value at every wavelength.
    pub const fn splat(value: f64) -> Self {
        Self([value; SAMPLES])
    }

    /// `f` of the wavelength in nm, sampled on the grid.
    pub fn from_fn(mut f: impl FnMut(f64) -> f64) -> Self {
        let mut samples = [0.0; SAMPLES];
        for (sample, nm) in samples.iter_mut().zip(wavelengths_nm()) {
            *sample = f(nm);
        }
        Self(samples)
    }

    /// From points (wavelength nm, value), ascending in wavelength, joined by straight lines and held constant
    /// beyond both ends. An empty table gives zero.
    pub fn from_table(points: &[(f64, f64)]) -> Self {
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return Self::ZERO };
        Self::from_fn(|nm| {
            let after = points.partition_point(|p| p.0 <= nm);
            match after {
                0 => first.1,
                n if n == points.len() => last.1,
                n => {
                    let ((x0, y0), (x1, y1)) = (points[n - 1], points[n]);
                    y0 + (y1 - y0) * (nm - x0) / (x1 - x0)
                }
            }
        })
    }

    /// The samples, 380 nm first.
    pub const fn samples(&self) -> &[f64; SAMPLES] {
        &self.0
    }

    /// The samples, 380 nm first, mutable.
    pub const fn samples_mut(&mut self) -> &mut [f64; SAMPLES] {
        &mut self.0
    }

    /// `f` of every sample.
    #[cfg_attr(not(target_family = "wasm"), inline)]
    pub fn map(&self, mut f: impl FnMut(f64) -> f64) -> Self {
        let mut out = self.0;
        for v in &mut out {
            *v = f(*v);
        }
        Self(out)
    }

    /// `f` of every pair of samples.
    #[cfg_attr(not(target_family = "wasm"), inline)]
    pub fn zip_map(&self, other: &Self, mut f: impl FnMut(f64, f64) -> f64) -> Self {
        let mut out = self.0;
        for (a, b) in out.iter_mut().zip(&other.0) {
            *a = f(*a, *b);
        }
        Self(out)
    }

    /// Every sample raised to `exponent`: converts an internal transmittance to another thickness.
    pub fn powf(&self, exponent: f64) -> Self {
        self.map(|v| v.powf(exponent))
    }

    /// Plain sum of the 81 samples (not times the step).
    pub fn sum(&self) -> f64 {
        self.dot(&Self::ONE)
    }

    /// Plain sum of the product with `other`, sample by sample (not times the step).
    #[cfg_attr(not(target_family = "wasm"), inline)]
    pub fn dot(&self, other: &Self) -> f64 {
        // Four sums side by side: a compiler may not reorder floating-point additions, so one running sum would
        // prevent vector instructions. The order is explicit and hence the same on every machine.
        const LANES: usize = 4;
        let ((a, a_rest), (b, b_rest)) = (self.0.as_chunks::<LANES>(), other.0.as_chunks::<LANES>());
        let mut lanes = [0.0; LANES];
        for (a, b) in a.iter().zip(b) {
            for k in 0..LANES {
                lanes[k] += a[k] * b[k];
            }
        }
        lanes.iter().sum::<f64>() + a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum::<f64>()
    }

    /// `self += factor · other`, without a temporary.
    pub fn add_scaled(&mut self, factor: f64, other: &Self) {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a += factor * b;
        }
    }

    /// Integral over wavelength by the plain sum: Σ · 5 nm.
    pub fn integral(&self) -> f64 {
        self.sum() * GRID_STEP_NM
    }

    /// Largest sample.
    pub fn max(&self) -> f64 {
        self.0.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }

    /// Smallest sample.
    pub fn min(&self) -> f64 {
        self.0.iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// Whether every sample is a finite number.
    pub fn is_finite(&self) -> bool {
        self.0.iter().all(|v| v.is_finite())
    }
}

impl Default for Spectrum {
    fn default() -> Self {
        Self::ZERO
    }
}

impl Index<usize> for Spectrum {
    type Output = f64;
    fn index(&self, sample: usize) -> &f64 {
        &self.0[sample]
    }
}

impl IndexMut<usize> for Spectrum {
    fn index_mut(&mut self, sample: usize) -> &mut f64 {
        &mut self.0[sample]
    }
}

macro_rules! sample_by_sample {
    ($operator:ident, $method:ident) => {
        impl $operator for Spectrum {
            type Output = Self;
            #[cfg_attr(not(target_family = "wasm"), inline)]
            fn $method(self, other: Self) -> Self {
                self.zip_map(&other, f64::$method)
            }
        }
        impl $operator<f64> for Spectrum {
            type Output = Self;
            #[cfg_attr(not(target_family = "wasm"), inline)]
            fn $method(self, other: f64) -> Self {
                self.map(|v| v.$method(other))
            }
        }
    };
}
sample_by_sample!(Add, add);
sample_by_sample!(Sub, sub);
sample_by_sample!(Mul, mul);
sample_by_sample!(Div, div);

impl AddAssign for Spectrum {
    #[cfg_attr(not(target_family = "wasm"), inline)]
    fn add_assign(&mut self, other: Self) {
        self.add_scaled(1.0, &other);
    }
}

impl SubAssign for Spectrum {
    #[cfg_attr(not(target_family = "wasm"), inline)]
    fn sub_assign(&mut self, other: Self) {
        self.add_scaled(-1.0, &other);
    }
}

impl MulAssign<f64> for Spectrum {
    #[cfg_attr(not(target_family = "wasm"), inline)]
    fn mul_assign(&mut self, factor: f64) {
        self.0.iter_mut().for_each(|v| *v *= factor);
    }
}

impl MulAssign for Spectrum {
    #[cfg_attr(not(target_family = "wasm"), inline)]
    fn mul_assign(&mut self, other: Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(v, other)| *v *= other);
    }
}

impl Neg for Spectrum {
    type Output = Self;
    fn neg(self) -> Self {
        self.map(|v| -v)
    }
}

impl std::iter::Sum for Spectrum {
    fn sum<I: Iterator<Item = Self>>(spectra: I) -> Self {
        spectra.fold(Self::ZERO, |total, s| total + s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_runs_from_380_to_780() {
        let grid: Vec<f64> = wavelengths_nm().collect();
        assert_eq!((grid.len(), grid[0], grid[80]), (81, 380.0, 780.0));
    }

    #[test]
    fn a_table_is_joined_by_lines_and_held_constant_beyond_its_ends() {
        let s = Spectrum::from_table(&[(400.0, 1.0), (410.0, 3.0)]);
        assert_eq!((s[0], s[4], s[5], s[6], s[80]), (1.0, 1.0, 2.0, 3.0, 3.0));
    }
}
