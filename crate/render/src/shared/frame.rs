//! The uniforms that every pass over the panel plane reads.

use bytemuck::{Pod, Zeroable};

/// Twin of `Frame` in `shaders/prelude.wgsl`.
#[repr(C)]
#[derive(Clone, Copy, Debug, Default, PartialEq, Pod, Zeroable)]
pub(crate) struct Frame {
    pub(crate) view: [f32; 4],
    pub(crate) eye: [f32; 4],
    pub(crate) sun: [f32; 4],
    pub(crate) field_map: [f32; 4],
    pub(crate) field_size: [f32; 4],
    pub(crate) room: [f32; 4],
}

impl Frame {
    pub(crate) fn exposure(&self) -> f32 {
        self.field_size[2]
    }

    /// How much of the sheets' variation and the outside's detail is drawn.
    pub(crate) fn strength(&self) -> f32 {
        self.field_size[3]
    }
}
