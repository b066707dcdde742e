use std::ops::{AddAssign, Mul};

/// An amount of light that can be summed and weighted: a number, or a spectrum, which a reflectance of the same type
/// multiplies sample by sample. Its default is darkness.
pub trait Light: Copy + Default + AddAssign + Mul<f64, Output = Self> + Mul<Self, Output = Self> {}

impl<T: Copy + Default + AddAssign + Mul<f64, Output = T> + Mul<T, Output = T>> Light for T {}

/// The sum of amounts, each with its weight.
pub(crate) fn weighted_sum<V: Light>(terms: impl IntoIterator<Item = (V, f64)>) -> V {
    let mut sum = V::default();
    for (amount, weight) in terms {
        sum += amount * weight;
    }
    sum
}
