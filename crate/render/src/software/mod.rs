//! The picture drawn on the CPU, and the CPU twins of the shaders.

pub(crate) mod forward;
pub(crate) mod glass;
pub(crate) mod outside;
pub(crate) mod paint;
pub(crate) mod picture;
pub(crate) mod prelude;
pub(crate) mod raster;
pub(crate) mod sheet;
pub(crate) mod solid;
pub(crate) mod spread;
pub(crate) mod stone;
pub(crate) mod tone;
