//! Spectra and the colour of light: what an eye, a standard observer or a display makes of 81 numbers.
//!
//! [`Spectrum`] is the one currency of the whole project: 81 samples from 380 to 780 nm by 5 nm. Everything
//! summed over wavelength is the **plain sum** of the 81 samples times 5 nm, here and in every other crate, so
//! that figures compare (a trapezoid or an interpolated integral differs by up to 0.4 % on steep glasses).
//!
//! Out of scope: what a glass does to light (`glass`), where light comes from (`daylight`), files and pictures,
//! words for a colour (`viewing`).

mod chromaticity;
mod ciede2000;
pub mod illuminant;
mod lab;
mod observer;
mod spectrum;
mod table;
mod tristimulus;

pub use chromaticity::{Chromaticity, UvPrime};
pub use ciede2000::ciede2000;
pub use illuminant::planck;
pub use lab::Lab;
pub use observer::{LUMINOUS_EFFICACY, Observer, luminous, observer_functions, spectrum_locus};
pub use spectrum::{GRID_FIRST_NM, GRID_STEP_NM, SAMPLES, Spectrum, wavelengths_nm};
pub use tristimulus::{TristimulusWeights, Xyz};
