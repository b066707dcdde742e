//! The cost of one moved point, from the edit to the page's messages, compared with processing the whole window.

#![allow(missing_docs, reason = "criterion's macros make public items")]

#[cfg(not(target_arch = "wasm32"))]
mod moved_point;

#[cfg(not(target_arch = "wasm32"))]
criterion::criterion_main!(moved_point::benches);

/// Measured natively.
#[cfg(target_arch = "wasm32")]
fn main() {}
