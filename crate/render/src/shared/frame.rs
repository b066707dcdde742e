//! The uniforms of every pass over the panel plane.

use glam::{Vec2, Vec3};

use crate::shared::layout::{Layout as _, agrees, layout};

layout! {
    /// Where a picture is seen from, what it shows, and in which light.
    pub(crate) struct Frame {
        /// Panel point in the middle of the picture, and clip units per mm.
        pub(crate) centre_mm: Vec2,
        pub(crate) clip_per_mm: Vec2,
        /// The eye, panel mm, z into the room.
        pub(crate) eye_mm: Vec3,
        pub(crate) mm_per_px: f32,
        /// Unit vector toward the sun in the panel's frame; 1 where it shines.
        pub(crate) toward_sun: Vec3,
        pub(crate) sun_shines: f32,
        /// Lower-left node of the direction field; one over its width, and rows of nodes per mm upward.
        pub(crate) field_origin_mm: Vec2,
        pub(crate) field_widths_per_mm: f32,
        pub(crate) field_rows_per_mm: f32,
        /// Columns and rows of the field's nodes.
        pub(crate) field_nodes: Vec2,
        /// The factor applied to luminance before it is stored.
        pub(crate) exposure: f32,
        /// How much of the sheets' variation and of the detail outside is drawn, 0 to 1.
        pub(crate) variation: f32,
        /// Light from a white surface that faces the window, linear RGB.
        pub(crate) room_white: Vec3,
        pub(crate) px_per_mm: f32,
        /// Nodes per mm of the grid of what the wall hides.
        pub(crate) stone_per_mm: Vec2,
        /// Share of a bent view's shift with which the edge of the stone shifts, and 1 if there is a wall.
        pub(crate) stone_shift: f32,
        pub(crate) has_wall: f32,
        /// Nodes per mm of the grid of light that pieces scatter forward, and its first row in the field.
        pub(crate) forward_per_mm: Vec2,
        pub(crate) forward_row: f32,
        /// The first row of the inner reveal in the field.
        pub(crate) inner_row: f32,
    }
}

const _: () = assert!(agrees(Frame::FIELDS, size_of::<Frame>()));
