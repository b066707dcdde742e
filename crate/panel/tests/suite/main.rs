//! Drawings become panels: closed forms, laws, near misses and hostile files.

mod geometry;
mod laws;
mod near_misses;
mod svg;
