//! Vertices and triangles as the passes read them.

use crate::shared::layout::layout;

layout! {
    /// A vertex of glass.
    pub struct GlassVertex {
        /// Panel mm.
        pub position: [f32; 2],
        /// Movement in mm per pixel's size in mm.
        pub fringe: [f32; 2],
        /// 1 inside, 0 on the outer edge of the fringe.
        pub coverage: f32,
        /// For a piece, the distance to its edges in mm, and 0. For an overlay, the distance to the left of its
        /// line and half its width, both mm.
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
        /// Movement in mm per pixel's size in mm.
        pub fringe: [f32; 2],
        /// 1 inside, 0 on the outer edge of the fringe.
        pub coverage: f32,
        /// −1 on the right edge of the line, 1 on its left; 0 in the middle of a joint, 1 on its rim; on the reveal
        /// 0 at the opening, 1 at the wall.
        pub across: f32,
        /// Unit vector to the left of the line; on a joint, away from its middle.
        pub left: [f32; 2],
        /// Half the width of the line or the reach of the joint, mm; 0 if there is none. A side of the inner reveal has
        /// the unit vector into the opening in `left` and here, and in `across` its product with a point of the side.
        pub half_mm: f32,
        /// One of the `MATERIAL_` constants.
        pub material: u32,
        /// Distance of what stands before the plane of the glass, mm; 0 for what lies in it.
        pub depth_mm: f32,
        /// Of a side of the inner reveal: its number among the nodes of the net.
        pub node: u32,
    }
}

/// Triangles of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh<V> {
    /// Vertices.
    pub vertices: Vec<V>,
    /// Three to a triangle.
    pub indices: Vec<u32>,
}

impl<V> Default for Mesh<V> {
    fn default() -> Self {
        Self { vertices: Vec::new(), indices: Vec::new() }
    }
}
