//! The viewer's eye: exposure, the spread of light in it, and the tone curve.

pub(crate) mod exposure;
pub(crate) mod look;
pub(crate) mod shares;
pub(crate) mod spread;
pub(crate) mod tone;
pub(crate) mod uniforms;
