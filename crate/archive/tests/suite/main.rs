//! Scene files as bytes: what is written is read back, and nothing else is.

mod files;
mod mutations;
mod refusals;
mod samples;
