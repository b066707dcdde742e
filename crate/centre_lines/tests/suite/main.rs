//! Nets of known centre lines are stroked, and the lines found again.

// Points that lines share are the same to the bit.
#![allow(clippy::float_cmp)]

mod faults;
mod hostile;
mod joints;
mod laws;
mod measure;
mod nets;
mod panes;
mod stroked;
