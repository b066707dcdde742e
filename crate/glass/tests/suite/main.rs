//! Panes, paint and the library: compared with the check data, and tested by laws that no table gives.

mod colloids;
mod common;
mod laws;
mod lobes;
mod mie;
mod names;
mod paint_laws;
mod panes;
mod recipes;
mod silver_stain;
mod streaks;
