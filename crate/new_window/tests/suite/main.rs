//! New windows: what the page sends and gets.
#![cfg(not(target_arch = "wasm32"))]

mod lines;
mod opening;
mod page;
