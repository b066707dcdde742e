//! Spectra and the colour of light: how 81 numbers look to an eye, a standard observer or a display.
//!
//! [`Spectrum`] is used throughout the project: 81 samples from 380 to 780 nm by 5 nm. Everything summed over
//! wavelength is the **plain sum** of the 81 samples times 5 nm, here and in every other crate, so that figures are
//! comparable (a trapezoid or an interpolated integral differs by up to 0.4 % on steep glasses).
//!
//! Colour types and conversions are palette's, matrices glam's. This crate adds what they lack: spectra, observers
//! and illuminants by table, [`Xyz`] with its two scales, (u′, v′), colour temperature, dominant wavelength,
//! rendering and metamerism indices, display matrices at full precision.
//!
//! Out of scope: the optics of glass (`glass`), where light comes from (`daylight`), files and pictures, words for
//! a colour (`viewing`).

pub mod adaptation;
mod cct;
mod chromaticity;
mod ciede2000;
mod dominant;
pub mod glare_spread;
pub mod illuminant;
mod lab;
mod metamerism;
mod observer;
pub mod reflectance;
mod rendering;
pub mod rgb;
mod spectrum;
mod table;
mod tristimulus;

pub use adaptation::{AdaptationError, ConeSpace, adapt};
pub use cct::{CctDuv, LARGEST_DUV, planckian_u_prime_v_prime};
pub use chromaticity::{Chromaticity, UvPrime};
pub use ciede2000::ciede2000;
pub use dominant::Dominant;
pub use illuminant::{IlluminantError, planck};
pub use lab::{Lab, OwnWhite, chroma_and_hue_deg, difference_1976};
pub use metamerism::{MetamerismIndex, metamerism_index};
pub use observer::{LUMINOUS_EFFICACY, Observer, luminous, observer_functions, spectrum_locus};
pub use rendering::{ColourRendering, LARGEST_ACCURATE_DISTANCE, RenderingError, colour_rendering};
pub use spectrum::{GRID_FIRST_NM, GRID_STEP_NM, SAMPLES, Spectrum, wavelengths_nm};
pub use tristimulus::{TristimulusWeights, Xyz};
