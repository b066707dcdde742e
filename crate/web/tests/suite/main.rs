//! The interface for the page and its workers, tested natively and as WebAssembly in a browser.

mod demos;
#[cfg(not(target_arch = "wasm32"))]
#[path = "../../../render/tests/suite/grid.rs"]
mod grid;
mod page_and_worker;
#[cfg(target_arch = "wasm32")]
mod pictures;
mod scattering;
#[cfg(not(target_arch = "wasm32"))]
mod small_edits;
mod surroundings;
mod variants;

#[cfg(target_arch = "wasm32")]
wasm_bindgen_test::wasm_bindgen_test_configure!(run_in_browser);
