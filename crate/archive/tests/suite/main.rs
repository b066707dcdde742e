//! Scene files as bytes: what is written is read back, and nothing else is.

mod files;
#[cfg(not(target_arch = "wasm32"))]
mod mutations;
mod refusals;
mod samples;
