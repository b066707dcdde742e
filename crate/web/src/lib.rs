//! What the page calls: one wasm module, of which the page's thread and its workers each hold an instance.
//!
//! The page's thread has [`SceneDocument`] (open, edit, undo, save, point at a piece). One worker has [`Figures`],
//! another `Picture`, which draws, both kept in step by the same edits; where there is no graphics card, a third has
//! `SoftwarePicture`. Everything crosses as text, JSON where it has parts.
//!
//! The shape of everything that crosses as JSON is in `contract`, from which the types of TypeScript are generated.
//!
//! Out of scope: every computation. This crate only asks the others and puts their answers into words for the page.

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
mod overview;
#[cfg(target_arch = "wasm32")]
mod picture;
#[cfg(target_arch = "wasm32")]
mod picture_request;
mod request;
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
