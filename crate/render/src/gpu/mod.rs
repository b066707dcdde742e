//! The picture on a graphics device.

pub(crate) mod device;
pub(crate) mod mesh;
pub(crate) mod owned;
pub(crate) mod pipeline;
pub(crate) mod read_back;
pub(crate) mod renderer;
pub(crate) mod shaders;
pub(crate) mod spread;
pub(crate) mod tables;
pub(crate) mod target;
pub(crate) mod warm_up;
pub(crate) mod wgsl_text;

#[cfg(target_arch = "wasm32")]
pub(crate) mod canvas;
#[cfg(not(target_arch = "wasm32"))]
pub(crate) mod headless;
