//! What is not known of a scene, and what follows for its figures.
//!
//! - `deviations`: how far each thing may be off, and why that much. All constants are there.
//! - `window`: the causes in the window itself, by piece: colourants, sheets, paints and so on, each shared by all that
//!   have it.
//! - `piece`: how much of its light a piece passes when they differ.
//! - `around`: what room, ground and sky may change.
//! - `ranges`: the draws, and the figures' ranges as they are reported.

mod around;
#[cfg(test)]
mod brute_force;
mod deviations;
mod exchange;
mod figure_range;
mod fired;
mod glass_causes;
mod listed;
mod names;
mod piece;
mod ranges;
mod sheets;
mod window;

pub use figure_range::FigureRange;
pub use ranges::{Dependence, LightRanges, PieceRange, Ranges};
