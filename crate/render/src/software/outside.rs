//! What lies behind a point of the panel: sky, trees and buildings, ground and sun; CPU twin of
//! `shaders/outside.wgsl`.

use glam::{Vec2, Vec3, Vec3Swizzles as _, Vec4};

use crate::light::tables::LightTables;
use crate::shared::constants::{
    BELL_END, DETAIL_LEFT, DISC_SOFTNESS_RAD, FIELD_WIDTH, GLARE_RAD, GROUND_BELOW_M, GROUND_FAR_PER_M,
    GROUND_FARTHEST, GROUND_PER_M, GROUND_SHARE, GROUND_SHOWN, GROUND_UNEVEN, HORIZON_SOFTNESS_RAD,
    KEY_GROUND, KEY_GROUND_FAR, KEY_LEAVES, KEY_LEAVES_FINE, KEY_SHADE, KEY_SHADE_FINE, KEY_SIDE,
    KEY_SIDE_FINE, LEAVES_CONTRAST, LEAVES_FINE_PER_RAD, LEAVES_FINE_SHARE, LEAVES_PER_RAD, SHADE_FINE_SHARE,
    SHADE_PER_RAD, SHADE_UNEVEN, SIDE_FINE_SHARE, SIDE_STRAYS_RAD, SUN_RADIUS_RAD,
};
use crate::shared::frame::Frame;
use crate::shared::records::{FieldBearing, FieldNode};
use crate::software::prelude::{mix, value_noise};

/// What lies behind a point, as weights of the light columns.
#[derive(Clone, Copy)]
pub(crate) struct Behind {
    pub(crate) sky: Vec4,
    pub(crate) fifth: f32,
    pub(crate) ground: f32,
    pub(crate) disc: f32,
    /// The layers above the horizontal, for the reference path; `None` at an upright edge.
    pub(crate) shares: Option<Vec3>,
}

/// How the world behind a point is seen.
#[derive(Clone, Copy)]
pub(crate) struct Through {
    /// The point itself.
    pub(crate) at: Vec2,
    /// The point of the panel whose direction is really seen.
    pub(crate) seen: Vec2,
    /// How far it is blurred, radians.
    pub(crate) blur: f32,
    /// Share of the sun's light scattered slightly aside.
    pub(crate) glare: f32,
    /// Share of the point covered by a bubble, through which the sun's disc is not seen.
    pub(crate) covered: f32,
}

/// Gaps in the leaves, from their mean share: 0 the average, 1 an open gap.
fn leaf_gap(mean: f32, slant: Vec2, soft_rad: f32) -> f32 {
    let coarse = value_noise(slant * LEAVES_PER_RAD, KEY_LEAVES).x;
    let fine = value_noise(slant * LEAVES_FINE_PER_RAD, KEY_LEAVES_FINE).x;
    let n = coarse * (DETAIL_LEFT - soft_rad * LEAVES_PER_RAD).clamp(0.0, 1.0)
        + LEAVES_FINE_SHARE * fine * (DETAIL_LEFT - soft_rad * LEAVES_FINE_PER_RAD).clamp(0.0, 1.0);
    (LEAVES_CONTRAST * n).clamp(-1.0, 1.0) * mean.min(1.0 - mean) / (1.0 - mean)
}

/// How much lighter than average this part of the trees or buildings is.
fn shade_at(slant: Vec2, soft_rad: f32) -> f32 {
    value_noise(slant * SHADE_PER_RAD, KEY_SHADE).x
        + SHADE_FINE_SHARE
            * value_noise(slant * LEAVES_PER_RAD, KEY_SHADE_FINE).x
            * (DETAIL_LEFT - soft_rad * LEAVES_PER_RAD).clamp(0.0, 1.0)
}

/// How much lighter than average this patch of the ground is.
fn ground_patch(to_seen: Vec3, level: f32, soft_rad: f32) -> f32 {
    let down = (-to_seen.y).max(GROUND_FARTHEST * level);
    let at = Vec2::new(to_seen.x, -to_seen.z) * (GROUND_BELOW_M / down);
    let slant = down / level;
    // Apparent height of a patch of 1 m relative to the blur.
    let shown = slant * slant / (GROUND_BELOW_M * soft_rad);
    GROUND_SHARE
        * value_noise(at * GROUND_PER_M, KEY_GROUND).x
        * (shown / GROUND_PER_M - GROUND_SHOWN).clamp(0.0, 1.0)
        + value_noise(at * GROUND_FAR_PER_M, KEY_GROUND_FAR).x
            * (shown / GROUND_FAR_PER_M - GROUND_SHOWN).clamp(0.0, 1.0)
}

fn between(a: FieldBearing, b: FieldBearing, share: f32) -> FieldBearing {
    FieldBearing {
        edges: a.edges * (1.0 - share) + b.edges * share,
        column: mix(a.column, b.column, share),
        jump: mix(a.jump, b.jump, share),
        detail: a.detail * (1.0 - share) + b.detail * share,
        leaves: mix(a.leaves, b.leaves, share),
        ..a
    }
}

fn mix4(a: Vec4, b: Vec4, share: f32) -> Vec4 {
    a * (1.0 - share) + b * share
}

/// What lies behind a point of the panel.
pub(crate) fn outside(frame: &Frame, tables: &LightTables, through: Through) -> Behind {
    let last = (FIELD_WIDTH - 1) as f32;
    let seen = through.seen;
    let across = ((seen.x - frame.field_origin_mm.x) * frame.field_widths_per_mm).clamp(0.0, 1.0) * last;
    let left = across.floor().min((FIELD_WIDTH - 2) as f32);
    let bearing = |k: f32| tables.bearings[k as usize];
    let jump = bearing(left).jump;
    // Cells over which an upright edge fades, and how far its outline deviates here.
    let cells = frame.field_widths_per_mm * last;
    let soft = cells * frame.mm_per_px.max(through.blur * frame.eye_mm.z);
    let height = (seen.y - frame.eye_mm.y) / frame.eye_mm.z;
    let strays = frame.variation
        * SIDE_STRAYS_RAD
        * frame.eye_mm.z
        * cells
        * (value_noise(Vec2::new(height * LEAVES_PER_RAD, 0.5), KEY_SIDE).x
            + SIDE_FINE_SHARE * value_noise(Vec2::new(height * LEAVES_FINE_PER_RAD, 0.5), KEY_SIDE_FINE).x);
    let beyond = (across + strays - jump) / soft + 0.5;
    let beside = (beyond <= 0.0 && across <= jump) || (beyond >= 1.0 && across >= jump);
    if jump < 0.0 || (beside && (jump.floor() - left).abs() > 0.5) {
        let here = between(bearing(left), bearing(left + 1.0), across - left);
        return behind_at(frame, tables, through, here);
    }
    // An upright edge runs through this pixel.
    let share = beyond.clamp(0.0, 1.0);
    let edge = jump.floor();
    let a = behind_at(frame, tables, through, bearing(edge));
    let b = behind_at(frame, tables, through, bearing(edge + 1.0));
    Behind {
        sky: mix4(a.sky, b.sky, share),
        fifth: mix(a.fifth, b.fifth, share),
        ground: mix(a.ground, b.ground, share),
        disc: mix(a.disc, b.disc, share),
        shares: None,
    }
}

/// The same, given the values for the bearing.
fn behind_at(frame: &Frame, tables: &LightTables, through: Through, here: FieldBearing) -> Behind {
    let seen = through.seen;
    let strength = frame.variation;
    let last = frame.field_nodes - Vec2::ONE;
    let row = (seen.y - frame.field_origin_mm.y) * frame.field_rows_per_mm;
    let at = Vec2::new(here.column.clamp(0.0, last.x), row.clamp(0.0, last.y));
    let corner = at.floor().min((last - Vec2::ONE).max(Vec2::ZERO));
    let share = at - corner;
    let (x, y) = (corner.x as usize, corner.y as usize);
    let [columns, rows] = tables.field_size;
    let (x1, y1) = ((x + 1).min(columns - 1), (y + 1).min(rows - 1));
    let near = [&tables.nodes[y * columns + x], &tables.nodes[y * columns + x1]];
    let far = [&tables.nodes[y1 * columns + x], &tables.nodes[y1 * columns + x1]];
    let value = |of: fn(&FieldNode) -> Vec4| {
        mix4(mix4(of(near[0]), of(near[1]), share.x), mix4(of(far[0]), of(far[1]), share.x), share.y)
    };

    let to_seen = (seen - frame.eye_mm.xy()).extend(-frame.eye_mm.z);
    let distance = to_seen.length();
    let pixel_rad = frame.mm_per_px / distance;
    // Heights of the edges where the line of sight meets the panel: tangents, because drivers differ in arcsines.
    let level = to_seen.xz().length();
    let soft_rad = pixel_rad.max(HORIZON_SOFTNESS_RAD.max(through.blur));
    let edges = (here.edges + strength * here.detail).extend(0.0);
    let above =
        edges.map(|tangent| ((to_seen.y - tangent * level) / (soft_rad * distance) + 0.5).clamp(0.0, 1.0));
    let mut shares = Vec3::new(above.x, (above.y - above.x).max(0.0), (above.z - above.y).max(0.0));
    let slant = to_seen.xy() / frame.eye_mm.z;
    let leaves = if here.leaves > 0.0 { shares.y } else { shares.z };
    if here.leaves.abs() > 0.0 && leaves > 0.0 {
        let gap = strength * leaves * leaf_gap(here.leaves.abs(), slant, soft_rad);
        shares += gap * if here.leaves > 0.0 { Vec3::new(1.0, -1.0, 0.0) } else { Vec3::new(0.0, 1.0, -1.0) };
    }
    if strength > 0.0 && shares.y + shares.z > 0.0 {
        let shade = 1.0 + strength * SHADE_UNEVEN * shade_at(slant, soft_rad);
        shares *= Vec3::new(1.0, shade, shade);
    }
    let mut ground = 1.0 - above.z;
    if ground > 0.0 && strength > 0.0 {
        ground *= 1.0 + strength * GROUND_UNEVEN * ground_patch(to_seen, level, soft_rad);
    }
    let chord = (to_seen / distance - frame.toward_sun).length();
    let edge_rad = pixel_rad.max(DISC_SOFTNESS_RAD);
    let sharp = ((SUN_RADIUS_RAD - chord) / edge_rad + 0.5).clamp(0.0, 1.0);
    // A blurred disc is wider and fainter: a bell of the same volume.
    let bell_rad = (0.5 * SUN_RADIUS_RAD * SUN_RADIUS_RAD + through.blur * through.blur).sqrt();
    let bell = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (bell_rad * bell_rad)
        * (-(chord * chord / (bell_rad * bell_rad)).min(BELL_END)).exp();
    let smeared = (2.0 * through.blur / SUN_RADIUS_RAD).clamp(0.0, 1.0);
    let disc = mix(sharp, bell, smeared) * above.y * (1.0 - through.covered);
    let wide = 1.0 + chord * chord / (GLARE_RAD * GLARE_RAD);
    let lobe = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (GLARE_RAD * GLARE_RAD * wide * wide);
    Behind {
        sky: value(|n| n.above) * shares.x + value(|n| n.between) * shares.y + value(|n| n.below) * shares.z,
        fifth: value(|n| n.fifths.extend(0.0)).truncate().dot(shares),
        ground,
        disc: mix(disc, lobe, through.glare) * frame.sun_shines,
        shares: Some(shares),
    }
}
