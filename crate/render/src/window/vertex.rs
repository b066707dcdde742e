//! Corners and triangles as the passes read them.

use crate::shared::layout::layout;

layout! {
    /// A vertex of glass.
    pub struct GlassVertex {
        /// Panel mm.
        pub position: [f32; 2],
        /// Movement for each pixel's worth of mm.
        pub fringe: [f32; 2],
        /// 1 inside, 0 on the outer edge of the fringe.
        pub coverage: f32,
        /// Of a piece the distance to its edges in mm and 0; of an overlay the distance to the left of its line and
        /// half its width, both mm.
        pub brush: [f32; 2],
        /// Index of the piece; those of overlays follow.
        pub piece: u32,
    }
}

layout! {
    /// A vertex of lead, bar or wall.
    pub struct SolidVertex {
        /// Panel mm.
        pub position: [f32; 2],
        /// Movement for each pixel's worth of mm.
        pub fringe: [f32; 2],
        /// 1 inside, 0 on the outer edge of the fringe.
        pub coverage: f32,
        /// −1 on the right edge of the line, 1 on its left; 0 in the middle of a joint, 1 on its rim; for the reveal 0
        /// at the opening, 1 at the wall.
        pub across: f32,
        /// Unit vector to the left of the line; away from the middle of a joint.
        pub left: [f32; 2],
        /// Half the width of the line or the reach of the joint, mm; 0 where there is none.
        pub half_mm: f32,
        /// One of the `MATERIAL_` constants.
        pub material: u32,
    }
}

/// Triangles of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh<V> {
    /// Corners.
    pub vertices: Vec<V>,
    /// Three to a triangle.
    pub indices: Vec<u32>,
}

impl<V> Default for Mesh<V> {
    fn default() -> Self {
        Self { vertices: Vec::new(), indices: Vec::new() }
    }
}
