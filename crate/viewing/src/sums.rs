//! Sums over wavelength samples without temporaries: the inner loops.

use spectra::Spectrum;

/// `sum += a · b`, sample by sample.
#[inline]
pub(crate) fn add_product(sum: &mut Spectrum, a: &Spectrum, b: &Spectrum) {
    for ((s, a), b) in sum.samples_mut().iter_mut().zip(a.samples()).zip(b.samples()) {
        *s += a * b;
    }
}
