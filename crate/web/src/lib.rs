//! What the page calls: one wasm module, of which the page's thread and its workers each hold an instance.
//!
//! The page's thread has [`SceneDocument`] (open, edit, undo, save, point at a piece). One worker has [`Figures`],
//! another `Picture`, which draws, both kept in step by the same edits; where there is no graphics card, a third has
//! `SoftwarePicture`. Everything crosses as text, JSON where it has parts.
//!
//! Out of scope: every computation. This crate only asks the others and puts their answers into words for the page.

mod demos;
mod document;
mod error;
mod figures;
mod history;
mod overview;
#[cfg(target_arch = "wasm32")]
mod picture;
mod section;
#[cfg(target_arch = "wasm32")]
mod shown;
#[cfg(target_arch = "wasm32")]
mod software;
mod surroundings;
#[cfg(target_arch = "wasm32")]
mod turn;
mod vary;
#[cfg(target_arch = "wasm32")]
mod wish;
mod words;

pub use demos::{demo, demo_names};
pub use document::{SceneDocument, most_bytes};
pub use figures::Figures;
#[cfg(target_arch = "wasm32")]
pub use picture::Picture;
#[cfg(target_arch = "wasm32")]
pub use software::SoftwarePicture;
pub use surroundings::choices;
pub use viewing::Similarity as Alike;
