//! The interface for the page and its workers, tested natively and as WebAssembly under Node.

#[cfg(not(target_arch = "wasm32"))]
#[path = "../../../render/tests/suite/grid.rs"]
mod grid;
mod page_and_worker;
#[cfg(not(target_arch = "wasm32"))]
mod small_edits;
mod surroundings;
mod variants;
