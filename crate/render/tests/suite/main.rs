//! The picture: against the spectral path, against committed pictures, and each way of drawing against the others.

mod agreement;
mod backends;
mod common;
mod edits;
mod follow;
mod gamut;
mod golden;
mod grid;
mod inner_walls;
mod lobes;
mod means;
mod paint;
mod walls;
