//! Sun, sky and the light of an instant: compared with published values, and tested by laws that always hold.

mod clear_spectra;
mod common;
mod outside;
mod skies;
mod sun;
mod sun_path;
mod surroundings;
