//! Views, tiles and files.

pub mod png;
pub(crate) mod tiles;
pub(crate) mod view;
