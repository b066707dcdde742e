//! Everything about an instant that the shaders read.

use std::borrow::Cow;

use glam::{Vec2, Vec3};
use plane::PanelPoint;

use crate::eye::shares::Viewer;
use crate::output::view::View;
use crate::shared::constants::{
    FIELD_WIDTH, FORWARD_COLUMNS, FORWARD_ROWS, PIECES_PER_ROW, RESPONSE_WIDTH, STONE_COLUMNS, STONE_ROWS,
};
use crate::shared::frame::Frame;
use crate::shared::layout::Layout as _;
use crate::shared::records::{
    FieldBearing, FieldForward, FieldInner, FieldNode, FieldStone, Forward, Piece, Response,
};
use crate::window::region::Bounds;

/// Everything about an instant that the shaders read, ready for upload.
#[derive(Clone, Debug, PartialEq)]
pub struct LightTables {
    /// Nodes of all pieces, one piece after the other.
    pub(crate) responses: Vec<Response>,
    /// What those that scatter forward do besides, in the same order.
    pub(crate) forwards: Vec<Forward>,
    /// Pieces, then overlays.
    pub(crate) pieces: Vec<Piece>,
    /// Nodes of the direction field, row by row, the lowest first.
    pub(crate) nodes: Vec<FieldNode>,
    /// `FIELD_WIDTH` bearings.
    pub(crate) bearings: Vec<FieldBearing>,
    /// What the wall hides, row by row, the lowest first; empty without a wall.
    pub(crate) stone: Vec<FieldStone>,
    /// How far behind the glass the edge of the stone lies, mm.
    pub(crate) stone_depth_mm: f32,
    /// Light that pieces scatter forward, row by row, the lowest first; in each row, one width after the
    /// other. Empty if none do.
    pub(crate) ahead: Vec<FieldForward>,
    /// The sides of the inner reveal, by node of their net; empty without one.
    pub(crate) inner: Vec<FieldInner>,
    /// Nodes of the field along x and y.
    pub(crate) field_size: [usize; 2],
    /// The field's lower-left node, mm.
    pub(crate) field_origin_mm: Vec2,
    /// One over the field's width, and rows per mm upward.
    pub(crate) field_widths_per_mm: f32,
    pub(crate) field_rows_per_mm: f32,
    /// Eye, panel mm.
    pub(crate) eye_mm: Vec3,
    /// Unit vector toward the sun; `None` if it is down.
    pub(crate) toward_sun: Option<Vec3>,
    /// Area, mm², and middle of each piece and overlay.
    pub(crate) places: Vec<(f64, PanelPoint)>,
    /// Luminance of a white surface that faces the window, cd/m²; `None` for a dim room.
    pub(crate) room_white_cd_m2: Option<f64>,
    /// Bounds of the field.
    pub(crate) bounds: Bounds,
    /// The viewer.
    pub(crate) viewer: Viewer,
}

/// Places among the nodes of what is scattered forward that this many responses take.
pub(crate) fn before_forwards(responses: usize) -> usize {
    responses * (Response::TEXELS / Forward::TEXELS) as usize
}

/// Width and height of a texture for this many texels.
fn texture_size(texels: usize, width: u32) -> [u32; 2] {
    [width, (texels as u32).div_ceil(width).max(1)]
}

impl LightTables {
    /// Nodes in all response tables together.
    pub fn nodes(&self) -> usize {
        self.responses.len()
    }

    pub(crate) fn response_size(&self) -> [u32; 2] {
        let forwards = self.forwards.len() * Forward::TEXELS as usize;
        texture_size(self.responses.len() * Response::TEXELS as usize + forwards, RESPONSE_WIDTH)
    }

    /// The texture of responses: those, then what is scattered forward.
    pub(crate) fn response_texels(&self) -> Cow<'_, [[f32; 4]]> {
        let responses: &[[f32; 4]] = bytemuck::cast_slice(&self.responses);
        if self.forwards.is_empty() {
            return Cow::Borrowed(responses);
        }
        Cow::Owned([responses, bytemuck::cast_slice(&self.forwards)].concat())
    }

    /// The first of a piece's nodes in `forwards`; `None` if it scatters nothing forward.
    pub(crate) fn first_forward(&self, piece: &Piece) -> Option<usize> {
        (piece.first_forward as usize)
            .checked_sub(before_forwards(self.responses.len()))
            .filter(|_| piece.first_forward > 0.0)
    }

    pub(crate) fn piece_size(&self) -> [u32; 2] {
        texture_size(self.pieces.len() * Piece::TEXELS as usize, PIECES_PER_ROW * Piece::TEXELS)
    }

    pub(crate) fn field_texture_size(&self) -> [u32; 2] {
        let stone_rows = if self.stone.is_empty() { 0 } else { STONE_ROWS };
        let forward_rows = if self.ahead.is_empty() { 0 } else { FORWARD_ROWS };
        [
            FIELD_WIDTH,
            self.field_size[1] as u32 + FieldBearing::TEXELS + stone_rows + forward_rows + self.inner_rows(),
        ]
    }

    /// Rows that the inner reveal takes in that texture.
    fn inner_rows(&self) -> u32 {
        (self.inner.len() as u32 * FieldInner::TEXELS).div_ceil(FIELD_WIDTH)
    }

    /// The texture of the field: its nodes, one row per row of texels; then the bearings, where each texel of
    /// a bearing has its own row; then what the wall hides, and what is scattered forward, one row per row of
    /// nodes; then the inner reveal, as many nodes in a row as there is room for.
    pub(crate) fn field_texels(&self) -> Vec<[f32; 4]> {
        let width = FIELD_WIDTH as usize;
        let [columns, rows] = self.field_size;
        let mut texels: Vec<[f32; 4]> = Vec::with_capacity(width * (rows + FieldBearing::TEXELS as usize));
        for row in self.nodes.chunks(columns) {
            texels.extend_from_slice(bytemuck::cast_slice(row));
            texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
        }
        let bearings: &[[f32; 4]] = bytemuck::cast_slice(&self.bearings);
        for k in 0..FieldBearing::TEXELS as usize {
            texels.extend(bearings.iter().skip(k).step_by(FieldBearing::TEXELS as usize));
            texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
        }
        for row in self.stone.chunks(STONE_COLUMNS as usize) {
            texels.extend_from_slice(bytemuck::cast_slice(row));
            texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
        }
        for row in self.ahead.chunks((self.ahead.len() / FORWARD_ROWS as usize).max(1)) {
            texels.extend_from_slice(bytemuck::cast_slice(row));
            texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
        }
        texels.extend_from_slice(bytemuck::cast_slice(&self.inner));
        texels.resize(texels.len().next_multiple_of(width), [0.0; 4]);
        texels
    }

    /// The uniforms of a frame. `exposure`: the factor applied to luminance before it is stored. `variation`: 0
    /// draws every sheet even.
    pub(crate) fn frame(&self, view: &View, exposure: f64, variation: f64, room_white: f64) -> Frame {
        let [w, h] = view.size_px.map(f64::from);
        let clip = |pixels: f64| (2.0 / (pixels * view.mm_per_px)) as f32;
        let [columns, rows] = self.field_size.map(|n| n as f32);
        let [width, height] = self.bounds.size().map(|side| side as f32);
        Frame {
            centre_mm: view.centre_mm.vector().as_vec2(),
            clip_per_mm: Vec2::new(clip(w), clip(h)),
            eye_mm: self.eye_mm,
            mm_per_px: view.mm_per_px as f32,
            toward_sun: self.toward_sun.unwrap_or(Vec3::Z),
            sun_shines: if self.toward_sun.is_some() { 1.0 } else { 0.0 },
            field_origin_mm: self.field_origin_mm,
            field_widths_per_mm: self.field_widths_per_mm,
            field_rows_per_mm: self.field_rows_per_mm,
            field_nodes: Vec2::new(columns, rows),
            exposure: exposure as f32,
            variation: variation.clamp(0.0, 1.0) as f32,
            room_white: Vec3::splat(room_white as f32),
            px_per_mm: (1.0 / view.mm_per_px) as f32,
            stone_per_mm: Vec2::new((STONE_COLUMNS - 1) as f32 / width, (STONE_ROWS - 1) as f32 / height),
            stone_shift: self.stone_depth_mm / (self.stone_depth_mm + self.eye_mm.z),
            has_wall: if self.stone.is_empty() { 0.0 } else { 1.0 },
            forward_per_mm: Vec2::new(
                (FORWARD_COLUMNS - 1) as f32 / width,
                (FORWARD_ROWS - 1) as f32 / height,
            ),
            forward_row: (self.field_texture_size()[1] - self.inner_rows()).saturating_sub(FORWARD_ROWS)
                as f32,
            inner_row: (self.field_texture_size()[1] - self.inner_rows()) as f32,
        }
    }
}
