//! What lies behind a point of the panel.

use crate::light::tables::LightTables;
use crate::shared::constants::{
    DISC_SOFTNESS_RAD, FIELD_TEXELS, FIELD_WIDTH, GLARE_RAD, GROUND_BELOW_M, GROUND_FAR_PER_M, GROUND_PER_M,
    GROUND_UNEVEN, HORIZON_SOFTNESS_RAD, LEAVES_CONTRAST, LEAVES_FINE_PER_RAD, LEAVES_PER_RAD, SHADE_PER_RAD,
    SHADE_UNEVEN, SIDE_STRAYS_RAD, SUN_RADIUS_RAD,
};
use crate::shared::frame::Frame;
use crate::software::prelude::value_noise;
use crate::vector::{V3, dot3, mix4};

/// What lies behind a point, as weights of the light columns.
#[derive(Clone, Copy)]
pub(crate) struct Behind {
    pub(crate) sky: [f32; 4],
    pub(crate) fifth: f32,
    pub(crate) ground: f32,
    pub(crate) disc: f32,
    /// The layers above the horizontal, for those who want to know; `None` at an upright edge.
    pub(crate) shares: Option<V3>,
}

/// How what lies behind is looked at.
#[derive(Clone, Copy)]
pub(crate) struct Through {
    /// The point of the panel whose direction is really seen.
    pub(crate) seen: [f32; 2],
    /// How far it is smeared, radians.
    pub(crate) blur: f32,
    /// Share of the sun's light that goes on a little aside.
    pub(crate) glare: f32,
    /// Share of the point that a bubble covers: the sun's disc is not seen through it.
    pub(crate) covered: f32,
}

/// Gaps in the leaves, from a mean share of gaps: 0 as they are in the mean, 1 an open gap.
fn leaf_gap(mean: f32, slant: [f32; 2], soft_rad: f32) -> f32 {
    let coarse = value_noise(slant.map(|x| x * LEAVES_PER_RAD), 71)[0];
    let fine = value_noise(slant.map(|x| x * LEAVES_FINE_PER_RAD), 72)[0];
    let n = coarse * (1.5 - soft_rad * LEAVES_PER_RAD).clamp(0.0, 1.0)
        + 0.6 * fine * (1.5 - soft_rad * LEAVES_FINE_PER_RAD).clamp(0.0, 1.0);
    (LEAVES_CONTRAST * n).clamp(-1.0, 1.0) * mean.min(1.0 - mean) / (1.0 - mean)
}

/// How much lighter than in the mean a part of what stands before the sky is.
fn shade_at(slant: [f32; 2], soft_rad: f32) -> f32 {
    value_noise(slant.map(|x| x * SHADE_PER_RAD), 91)[0]
        + 0.5
            * value_noise(slant.map(|x| x * LEAVES_PER_RAD), 92)[0]
            * (1.5 - soft_rad * LEAVES_PER_RAD).clamp(0.0, 1.0)
}

/// How much lighter than in the mean a patch of the ground is.
fn ground_patch(to_seen: V3, level: f32, soft_rad: f32) -> f32 {
    let down = (-to_seen[1]).max(1e-3 * level);
    let at = [to_seen[0], -to_seen[2]].map(|x| x * (GROUND_BELOW_M / down));
    let slant = down / level;
    // Height of a patch of 1 m as it is seen, over how far it is smeared.
    let shown = slant * slant / (GROUND_BELOW_M * soft_rad);
    0.5 * value_noise(at.map(|x| x * GROUND_PER_M), 81)[0] * (shown / GROUND_PER_M - 0.7).clamp(0.0, 1.0)
        + value_noise(at.map(|x| x * GROUND_FAR_PER_M), 82)[0]
            * (shown / GROUND_FAR_PER_M - 0.7).clamp(0.0, 1.0)
}

/// What lies behind a point of the panel.
pub(crate) fn behind(frame: &Frame, tables: &LightTables, through: Through) -> Behind {
    let width = FIELD_WIDTH as usize;
    let seen = through.seen;
    let across = ((seen[0] - frame.field_map[0]) * frame.field_map[2]).clamp(0.0, 1.0) * (width - 1) as f32;
    let left = across.floor().min((width - 2) as f32);
    // The bearings' edges and columns, then their detail.
    let bearing = |k: f32, row: usize| tables.field[(tables.field_size[1] + row) * width + k as usize];
    let before = bearing(left, 0);
    let jump = before[3];
    // Cells over which an upright edge fades, and how far its outline strays here.
    let cells = frame.field_map[2] * (width - 1) as f32;
    let soft = cells * frame.eye[3].max(through.blur * frame.eye[2]);
    let height = (seen[1] - frame.eye[1]) / frame.eye[2];
    let strays = frame.strength()
        * SIDE_STRAYS_RAD
        * frame.eye[2]
        * cells
        * (value_noise([height * LEAVES_PER_RAD, 0.5], 73)[0]
            + 0.4 * value_noise([height * LEAVES_FINE_PER_RAD, 0.5], 74)[0]);
    let beyond = (across + strays - jump) / soft + 0.5;
    let beside = (beyond <= 0.0 && across <= jump) || (beyond >= 1.0 && across >= jump);
    if jump < 0.0 || (beside && (jump.floor() - left).abs() > 0.5) {
        let mixed = |row| mix4(bearing(left, row), bearing(left + 1.0, row), across - left);
        return behind_at(frame, tables, through, mixed(0), mixed(1));
    }
    let share = beyond.clamp(0.0, 1.0);
    let edge = jump.floor();
    let a = behind_at(frame, tables, through, bearing(edge, 0), bearing(edge, 1));
    let b = behind_at(frame, tables, through, bearing(edge + 1.0, 0), bearing(edge + 1.0, 1));
    let mixed = |a: f32, b: f32| a * (1.0 - share) + b * share;
    Behind {
        sky: mix4(a.sky, b.sky, share),
        fifth: mixed(a.fifth, b.fifth),
        ground: mixed(a.ground, b.ground),
        disc: mixed(a.disc, b.disc),
        shares: None,
    }
}

/// The same with the edges and the column that hold for the bearing, and their detail.
fn behind_at(
    frame: &Frame,
    tables: &LightTables,
    through: Through,
    here: [f32; 4],
    detail: [f32; 4],
) -> Behind {
    let seen = through.seen;
    let strength = frame.strength();
    let last = [frame.field_size[0] - 1.0, frame.field_size[1] - 1.0];
    let up = (seen[1] - frame.field_map[1]) * frame.field_map[3];
    let at = [here[2].clamp(0.0, last[0]), up.clamp(0.0, last[1])];
    let corner: [f32; 2] = std::array::from_fn(|k| at[k].floor().min((last[k] - 1.0).max(0.0)));
    let share = [at[0] - corner[0], at[1] - corner[1]];
    let (x, y) = (corner[0] as usize, corner[1] as usize);
    let [columns, rows] = tables.field_size;
    let (x1, y1) = ((x + 1).min(columns - 1), (y + 1).min(rows - 1));
    let texel =
        |x: usize, y: usize, k: usize| tables.field[y * FIELD_WIDTH as usize + x * FIELD_TEXELS as usize + k];
    let mixed = |k: usize| {
        mix4(
            mix4(texel(x, y, k), texel(x1, y, k), share[0]),
            mix4(texel(x, y1, k), texel(x1, y1, k), share[0]),
            share[1],
        )
    };

    let to_seen = [seen[0] - frame.eye[0], seen[1] - frame.eye[1], -frame.eye[2]];
    let distance = to_seen.iter().map(|v| v * v).sum::<f32>().sqrt();
    let pixel_rad = frame.eye[3] / distance;
    // Heights of the edges where the panel cuts the line of sight: tangents, because drivers differ in arcsines.
    let level = (to_seen[0] * to_seen[0] + to_seen[2] * to_seen[2]).sqrt();
    let soft_rad = pixel_rad.max(HORIZON_SOFTNESS_RAD.max(through.blur));
    let above = [here[0] + strength * detail[0], here[1] + strength * detail[1], 0.0]
        .map(|tangent| ((to_seen[1] - tangent * level) / (soft_rad * distance) + 0.5).clamp(0.0, 1.0));
    let mut shares = [above[0], (above[1] - above[0]).max(0.0), (above[2] - above[1]).max(0.0)];
    let upper = usize::from(detail[2] <= 0.0);
    let leaves = shares[1 + upper];
    if detail[2].abs() > 0.0 && leaves > 0.0 {
        let slant = [to_seen[0] / frame.eye[2], to_seen[1] / frame.eye[2]];
        let gap = strength * leaves * leaf_gap(detail[2].abs(), slant, soft_rad);
        shares[upper] += gap;
        shares[1 + upper] -= gap;
    }
    if strength > 0.0 && shares[1] + shares[2] > 0.0 {
        let slant = [to_seen[0] / frame.eye[2], to_seen[1] / frame.eye[2]];
        let shade = 1.0 + strength * SHADE_UNEVEN * shade_at(slant, soft_rad);
        shares = [shares[0], shares[1] * shade, shares[2] * shade];
    }
    let mut ground = 1.0 - above[2];
    if ground > 0.0 && strength > 0.0 {
        ground *= 1.0 + strength * GROUND_UNEVEN * ground_patch(to_seen, level, soft_rad);
    }
    let chord = (0..3).map(|k| (to_seen[k] / distance - frame.sun[k]).powi(2)).sum::<f32>().sqrt();
    let edge_rad = pixel_rad.max(DISC_SOFTNESS_RAD);
    let sharp = ((SUN_RADIUS_RAD - chord) / edge_rad + 0.5).clamp(0.0, 1.0);
    // A smeared disc is wider and fainter: a bell of the same volume.
    let bell_rad = (0.5 * SUN_RADIUS_RAD * SUN_RADIUS_RAD + through.blur * through.blur).sqrt();
    let bell = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (bell_rad * bell_rad)
        * (-(chord * chord / (bell_rad * bell_rad)).min(40.0)).exp();
    let smeared = (2.0 * through.blur / SUN_RADIUS_RAD).clamp(0.0, 1.0);
    let disc = (sharp * (1.0 - smeared) + bell * smeared) * above[1] * (1.0 - through.covered);
    let wide = 1.0 + chord * chord / (GLARE_RAD * GLARE_RAD);
    let lobe = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (GLARE_RAD * GLARE_RAD * wide * wide);
    let layers = [mixed(0), mixed(1), mixed(2)];
    let fifths = mixed(3);
    Behind {
        sky: std::array::from_fn(|k| {
            layers[0][k] * shares[0] + layers[1][k] * shares[1] + layers[2][k] * shares[2]
        }),
        fifth: dot3([fifths[0], fifths[1], fifths[2]], shares),
        ground,
        disc: (disc * (1.0 - through.glare) + lobe * through.glare) * frame.sun[3],
        shares: Some(shares),
    }
}
