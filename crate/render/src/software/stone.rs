//! The stone of the outer reveal and the overhang before the glass, bars and mesh, and the outside beyond
//! them; CPU twin of `shaders/stone.wgsl`.

use glam::{Vec2, Vec4};

use crate::light::tables::LightTables;
use crate::shared::constants::{STONE_COLUMNS, STONE_ROWS};
use crate::shared::frame::Frame;
use crate::software::outside::{Behind, Through, outside};

/// What lies behind a point, as weights of the light columns.
pub(crate) fn behind(frame: &Frame, tables: &LightTables, through: Through) -> Behind {
    if frame.has_wall <= 0.0 {
        return outside(frame, tables, through);
    }
    // A bent view of what is near shifts less than one of what is far.
    let seen = through.at * (1.0 - frame.stone_shift) + through.seen * frame.stone_shift;
    let last = Vec2::new((STONE_COLUMNS - 1) as f32, (STONE_ROWS - 1) as f32);
    let at = ((seen - frame.field_origin_mm) * frame.stone_per_mm).clamp(Vec2::ZERO, last);
    let near = at.floor().min(last - Vec2::ONE);
    let share = at - near;
    // The texels of a node.
    let node = |x: f32, y: f32| -> [Vec4; 3] {
        bytemuck::cast(tables.stone[y as usize * STONE_COLUMNS as usize + x as usize])
    };
    let mixed =
        |a: [Vec4; 3], b: [Vec4; 3], share: f32| [0, 1, 2].map(|k| a[k] * (1.0 - share) + b[k] * share);
    let row = |y: f32| mixed(node(near.x, y), node(near.x + 1.0, y), share.x);
    let [sky, rest, last_texel] = mixed(row(near.y), row(near.y + 1.0), share.y);
    let [fifth, ground, disc, distance] = rest.to_array();
    let soft_mm = frame.mm_per_px.max(through.blur * frame.eye_mm.z * frame.stone_shift);
    let free = (distance / soft_mm + 0.5).clamp(0.0, 1.0);
    let hidden = 1.0 - free;
    let mut light = Behind {
        sky: sky * hidden,
        fifth: fifth * hidden,
        ground: ground * hidden,
        disc: disc * hidden,
        shares: None,
    };
    if free > 0.0 {
        let beyond = outside(frame, tables, through);
        let passed = free * last_texel.w;
        light.sky += beyond.sky * passed;
        light.fifth += beyond.fifth * passed;
        light.ground += beyond.ground * passed;
        light.disc += beyond.disc * passed;
    }
    light
}
