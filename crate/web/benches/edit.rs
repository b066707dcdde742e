//! What one moved point costs from the edit to the page's messages, beside doing it for the whole window.

#![allow(missing_docs, reason = "criterion's macros make public items")]

#[cfg(not(target_arch = "wasm32"))]
mod moved_point;

#[cfg(not(target_arch = "wasm32"))]
criterion::criterion_main!(moved_point::benches);

/// Measured natively.
#[cfg(target_arch = "wasm32")]
fn main() {}
