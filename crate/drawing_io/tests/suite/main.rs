//! Windows from SVG files as drawing programs write them, and hostile files.

// Numbers that are exact by construction are compared exactly.
#![allow(clippy::float_cmp)]

mod around;
mod faults;
mod habits;
mod hostile;
mod layers;
mod left_out;
mod lost_panes;
mod mending;
mod open_edge;
mod shapes;
mod window;
mod writers;
