//! The document: reading, checking, changing and resolving it.

mod attachments;
mod buildings;
mod changing;
mod demo_scenes;
mod deposits;
mod frozen;
mod lines;
mod own_glasses;
mod reading;
mod resolving;
mod scattering;
mod snow;
mod variants;
mod walls;
mod working_planes;
