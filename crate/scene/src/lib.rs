//! The document.

mod check;
pub mod document;
mod edit;
mod fault;
mod read;
mod schema;

pub use check::check;
pub use document::*;
pub use edit::{Edit, EditError};
pub use fault::{Fault, Faults};
pub use read::{MOST_BYTES, read, read_edit, write};
pub use schema::SCHEMA;
