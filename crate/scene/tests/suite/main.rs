//! The document: reading, checking, changing and resolving it.

mod changing;
mod demo_scenes;
mod frozen;
mod lines;
mod reading;
mod resolving;
mod variants;
