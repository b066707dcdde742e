//! What the pieces are made of, and what they do to light.

pub(crate) mod forward;
pub(crate) mod makeup;
pub(crate) mod optics;
pub(crate) mod sample;
pub(crate) mod sheet;
