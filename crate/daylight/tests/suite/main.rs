//! Sun, sky and the light of an instant: against published values and by laws that always hold.

mod clear_spectra;
mod common;
mod outside;
mod skies;
mod sun;
