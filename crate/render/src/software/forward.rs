//! CPU twin of `shaders/forward.wgsl`.

use glam::{Vec2, Vec3Swizzles as _, Vec4};

use crate::light::tables::LightTables;
use crate::shared::constants::{BELL_END, FORWARD_COLUMNS, FORWARD_ROWS};
use crate::shared::frame::Frame;
use crate::shared::records::Piece;

/// Light that a piece scatters forward toward the eye where the point of the panel with the direction `seen` lies:
/// weights of the three spectra of blurred light and of the sun's bell.
pub(crate) fn ahead(frame: &Frame, tables: &LightTables, piece: &Piece, seen: Vec2) -> Vec4 {
    let last = Vec2::new((FORWARD_COLUMNS - 1) as f32, (FORWARD_ROWS - 1) as f32);
    let at = ((seen - frame.field_origin_mm) * frame.forward_per_mm).clamp(Vec2::ZERO, last);
    let near = at.floor().min(last - Vec2::ONE);
    let share = at - near;
    let columns = tables.ahead.len() / FORWARD_ROWS as usize;
    let node = |x: f32, y: f32| {
        let row = (near.y + y) as usize * columns;
        let at = &tables.ahead[row + (piece.forward_column + near.x + x) as usize];
        at.weights.extend(at.sunlit)
    };
    let row = |y: f32| node(0.0, y) * (1.0 - share.x) + node(1.0, y) * share.x;
    let here = row(0.0) * (1.0 - share.y) + row(1.0) * share.y;
    let to_seen = (seen - frame.eye_mm.xy()).extend(-frame.eye_mm.z);
    let away = to_seen.xy() / to_seen.length() - frame.toward_sun.xy();
    let bell = (-(away.dot(away) * piece.bell).min(BELL_END)).exp();
    here.truncate().extend(here.w * bell)
}
