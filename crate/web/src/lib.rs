//! The page's interface: one wasm module, of which the page's thread and its workers each hold an instance.
//!
//! The page's thread has [`SceneDocument`] (open, edit, undo, save, point at a piece). One worker has [`Figures`],
//! another `Picture`, which draws; the same edits keep both up to date. Without a graphics card, a third worker has
//! `SoftwarePicture`. Everything is passed as text, structured data as JSON.
//!
//! `contract` defines the shape of all JSON; the TypeScript types are generated from it.
//!
//! Out of scope: all computation. This crate only calls the others and words their answers for the page.

mod choices;
mod contract;
mod document;
#[cfg(target_arch = "wasm32")]
mod drawn_scene;
mod error;
mod figures;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod generate;
mod glasses;
mod json;
mod layers;
mod memory;
mod overview;
#[cfg(target_arch = "wasm32")]
mod picture;
#[cfg(target_arch = "wasm32")]
mod picture_request;
mod request;
mod scattering;
mod section;
mod shapes;
#[cfg(target_arch = "wasm32")]
mod software;
mod surroundings;
#[cfg(target_arch = "wasm32")]
mod turn;

pub use choices::choices;
pub use document::{SceneDocument, most_bytes};
pub use figures::Figures;
#[cfg(target_arch = "wasm32")]
pub use picture::Picture;
#[cfg(target_arch = "wasm32")]
pub use software::SoftwarePicture;
