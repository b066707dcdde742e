//! The document: reading, checking, changing and resolving it.

mod attachments;
mod buildings;
mod changing;
mod demo_scenes;
mod frozen;
mod lines;
mod reading;
mod resolving;
mod snow;
mod variants;
mod working_planes;
