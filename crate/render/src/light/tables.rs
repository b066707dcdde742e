//! Everything about an instant that the shaders read.

use crate::eye::shares::Viewer;
use crate::output::view::View;
use crate::shared::constants::{FIELD_WIDTH, PIECE_TEXELS, PIECES_PER_ROW, RESPONSE_TEXELS, RESPONSE_WIDTH};
use crate::shared::frame::Frame;
use crate::window::region::Bounds;

/// Everything about an instant that the shaders read, ready to be uploaded.
#[derive(Clone, Debug, PartialEq)]
pub struct LightTables {
    /// RGBA texels of the response tables, `RESPONSE_WIDTH` to a row.
    pub(crate) responses: Vec<[f32; 4]>,
    /// `PIECE_TEXELS` for each piece.
    pub(crate) pieces: Vec<[f32; 4]>,
    /// `FIELD_TEXELS` for each node of the direction field, `FIELD_WIDTH` to a row, and two rows of bearings.
    pub(crate) field: Vec<[f32; 4]>,
    /// Nodes of the field along x and y.
    pub(crate) field_size: [usize; 2],
    /// Its lower-left node, mm, then one over its width and cells per mm upward.
    pub(crate) field_map: [f32; 4],
    /// Eye, panel mm.
    pub(crate) eye_mm: [f32; 3],
    /// Toward the sun; fourth number 1 where it shines.
    pub(crate) sun: [f32; 4],
    /// Area of each piece, mm², and its middle.
    pub(crate) places: Vec<(f64, [f64; 2])>,
    /// As in [`Light::room_white_cd_m2`].
    pub(crate) room_white_cd_m2: Option<f64>,
    /// Of the window.
    pub(crate) bounds: Bounds,
    /// Who looks.
    pub(crate) viewer: Viewer,
}

/// How a list of texels lies in a texture: width and height.
pub(crate) fn texture_size(texels: usize, width: u32) -> [u32; 2] {
    [width, (texels as u32).div_ceil(width).max(1)]
}

impl LightTables {
    /// Nodes in all response tables together.
    pub fn nodes(&self) -> usize {
        self.responses.len() / RESPONSE_TEXELS as usize
    }

    pub(crate) fn response_size(&self) -> [u32; 2] {
        texture_size(self.responses.len(), RESPONSE_WIDTH)
    }

    pub(crate) fn field_texture_size(&self) -> [u32; 2] {
        texture_size(self.field.len(), FIELD_WIDTH)
    }

    pub(crate) fn piece_size(&self) -> [u32; 2] {
        texture_size(self.pieces.len(), PIECES_PER_ROW * PIECE_TEXELS)
    }

    /// The uniforms of a frame. `exposure`: what luminance is multiplied by before it is stored. `variation`: 0 draws every sheet even.
    pub(crate) fn frame(&self, view: &View, exposure: f64, variation: f64, room_white: f64) -> Frame {
        let [w, h] = view.size_px.map(f64::from);
        let clip = |pixels: f64| (2.0 / (pixels * view.mm_per_px)) as f32;
        Frame {
            view: [view.centre_mm[0] as f32, view.centre_mm[1] as f32, clip(w), clip(h)],
            eye: [self.eye_mm[0], self.eye_mm[1], self.eye_mm[2], view.mm_per_px as f32],
            sun: self.sun,
            field_map: self.field_map,
            field_size: [
                self.field_size[0] as f32,
                self.field_size[1] as f32,
                exposure as f32,
                variation.clamp(0.0, 1.0) as f32,
            ],
            room: [room_white as f32, room_white as f32, room_white as f32, (1.0 / view.mm_per_px) as f32],
        }
    }
}
