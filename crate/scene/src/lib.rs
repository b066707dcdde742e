//! The document.

pub mod document;
mod edit;

pub use document::*;
pub use edit::{Edit, EditError};
