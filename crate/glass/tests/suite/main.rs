//! Panes, paint and the library: against the check data and by laws that no table gives.

mod colloids;
mod common;
mod laws;
mod paint_laws;
mod panes;
mod recipes;
