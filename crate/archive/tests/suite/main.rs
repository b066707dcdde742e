//! Scene files as bytes: what is written is read back, and nothing else is.
#![cfg(not(target_arch = "wasm32"))]

mod files;
mod mutations;
mod refusals;
mod samples;
