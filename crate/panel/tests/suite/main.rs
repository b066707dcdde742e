//! Drawings become panels: closed forms, laws, near misses and hostile files.

mod geometry;
mod laws;
mod live;
mod near_misses;
