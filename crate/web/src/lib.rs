//! What the page calls: one wasm module, of which the page's thread and a worker each hold an instance.
//!
//! The page's thread has [`SceneDocument`] (open, edit, undo, save, point at a piece) and `Picture`, which draws it;
//! the worker has [`Figures`], kept in step by the same edits. Everything crosses as text, JSON where it has parts.
//!
//! Out of scope: every computation. This crate only asks the others and puts their answers into words for the page.

mod alike;
mod demos;
mod document;
mod error;
mod figures;
mod history;
#[cfg(target_arch = "wasm32")]
mod look;
mod overview;
#[cfg(target_arch = "wasm32")]
mod picture;
mod section;
#[cfg(target_arch = "wasm32")]
mod shown;
#[cfg(target_arch = "wasm32")]
mod software;
mod surroundings;
mod swatch;
#[cfg(target_arch = "wasm32")]
mod turn;
mod vary;
mod words;

pub use alike::Alike;
pub use demos::{demo, demo_names};
pub use document::{SceneDocument, most_bytes};
pub use figures::Figures;
#[cfg(target_arch = "wasm32")]
pub use picture::Picture;
#[cfg(target_arch = "wasm32")]
pub use software::SoftwarePicture;
pub use surroundings::choices;
