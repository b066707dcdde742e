//! What is not known of a scene, and what follows for its figures.
//!
//! - `deviations`: how far each thing may be off, and why that much. All constants are there.
//! - `window`: the causes in the window itself, by piece: colourants, sheets, paints and so on, each shared by all that
//!   have it.
//! - `piece`: how much of its light a piece passes when they differ, in `bands` of the spectrum.
//! - `around`: what room, ground, buildings and sky may change; `skies`: the figures under another sky; `far`: other
//!   skylines and trees, `horizon` what they change; `buildings`: what those near change; `room`: what each of its surfaces changes.
//! - `walls`: what is not known of walls with depth; `other_wall`: the figures behind a wall that differs a little,
//!   as `wall_changes` says;
//!   `inner_reveal`: what an inner reveal gives to the room.
//! - `sun_apart`: the light without the sun's beam and with it, where a cause may switch the sun on or off; `sun_edges`: what
//!   may hide it; `nodes`: effects that are no smooth curve.
//! - `ranges`: the draws, and the figures' ranges as they are reported.

mod around;
mod bands;
#[cfg(test)]
mod brute_force;
mod buildings;
mod deviations;
#[cfg(test)]
mod edge_cases;
mod effect;
mod error;
mod exchange;
mod faces;
mod far;
mod fired;
mod forward;
mod glass_causes;
mod horizon;
mod inner_reveal;
#[cfg(test)]
mod known;
mod levels;
mod listed;
mod names;
mod nodes;
mod other_wall;
mod piece;
mod plates;
mod ranges;
mod room;
#[cfg(test)]
mod same_draws;
mod sheets;
mod skies;
mod sun_apart;
mod sun_edges;
mod wall_changes;
mod walls;
#[cfg(test)]
mod walls_anew;
mod window;

pub use error::RangesError;
pub use ranges::{Dependence, LightRanges, PieceRange, Ranges};
