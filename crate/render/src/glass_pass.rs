//! CPU twin of `shaders/glass.wgsl`: the same steps in the same order, in single precision.

use crate::{
    constants::{
        DISC_SOFTNESS_RAD, FIELD_TEXELS, FIELD_WIDTH, HALF_LIMIT, HORIZON_SOFTNESS_RAD, PAINT_PER_MM,
        PIECE_TEXELS, RESPONSE_TEXELS, SUN_RADIUS_RAD,
    },
    frame::Frame,
    noise::{sheet_thickness, value_noise},
    tables::LightTables,
    vector::{V3, dot3, dot4, mix4},
};

/// Weights of the light columns behind a point.
pub(crate) struct Behind {
    pub(crate) sky: [f32; 4],
    pub(crate) fifth: f32,
    pub(crate) ground: f32,
    pub(crate) disc: f32,
}

/// What lies behind a point of the panel.
pub(crate) fn behind(frame: &Frame, tables: &LightTables, seen: [f32; 2]) -> Behind {
    let width = FIELD_WIDTH as usize;
    let across = ((seen[0] - frame.field_map[0]) * frame.field_map[2]).clamp(0.0, 1.0) * (width - 1) as f32;
    let left = across.floor().min((width - 2) as f32);
    let bearing = |k: f32| tables.field[tables.field_size[1] * width + k as usize];
    let jump = bearing(left)[3];
    let cell_px = 1.0 / (frame.field_map[2] * (width - 1) as f32 * frame.eye[3]);
    let share = (across - jump) * cell_px + 0.5;
    let beside = share <= 0.0 || share >= 1.0;
    if jump < 0.0 || (beside && (jump.floor() - left).abs() > 0.5) {
        return behind_at(frame, tables, seen, mix4(bearing(left), bearing(left + 1.0), across - left));
    }
    let share = share.clamp(0.0, 1.0);
    let (before, after) = (bearing(jump.floor()), bearing(jump.floor() + 1.0));
    let (a, b) = (behind_at(frame, tables, seen, before), behind_at(frame, tables, seen, after));
    let mixed = |a: f32, b: f32| a * (1.0 - share) + b * share;
    Behind {
        sky: mix4(a.sky, b.sky, share),
        fifth: mixed(a.fifth, b.fifth),
        ground: mixed(a.ground, b.ground),
        disc: mixed(a.disc, b.disc),
    }
}

/// The same with the edges and the column that hold for the bearing.
fn behind_at(frame: &Frame, tables: &LightTables, seen: [f32; 2], here: [f32; 4]) -> Behind {
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
    let soft_mm = frame.eye[3].max(distance * HORIZON_SOFTNESS_RAD);
    let above = [here[0], here[1], 0.0]
        .map(|tangent| ((to_seen[1] - tangent * level) / soft_mm + 0.5).clamp(0.0, 1.0));
    let shares = [above[0], (above[1] - above[0]).max(0.0), (above[2] - above[1]).max(0.0)];
    let chord = (0..3).map(|k| (to_seen[k] / distance - frame.sun[k]).powi(2)).sum::<f32>().sqrt();
    let disc = ((SUN_RADIUS_RAD - chord) / pixel_rad.max(DISC_SOFTNESS_RAD) + 0.5).clamp(0.0, 1.0);
    let (upper, between, lower) = (mixed(0), mixed(1), mixed(2));
    let fifths = mixed(3);
    Behind {
        sky: std::array::from_fn(|k| upper[k] * shares[0] + between[k] * shares[1] + lower[k] * shares[2]),
        fifth: dot3([fifths[0], fifths[1], fifths[2]], shares),
        ground: 1.0 - above[2],
        disc: disc * above[1] * frame.sun[3],
    }
}

fn cubic_weights(x: f32) -> [f32; 4] {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    [a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0]
}

/// Light from a piece at a point of the panel, linear RGB times exposure.
pub(crate) fn glass(frame: &Frame, tables: &LightTables, piece: usize, position: [f32; 2]) -> V3 {
    let texels = &tables.pieces[piece * PIECE_TEXELS as usize..][..PIECE_TEXELS as usize];
    let [table, factors, sheet, place, path] = [texels[0], texels[1], texels[2], texels[3], texels[4]];
    let strength = frame.field_size[3];
    let seed = place[3] as u32;

    let varied = sheet_thickness(position, [place[0], place[1]], [sheet[2], sheet[3]], seed);
    let to_pixel = [position[0] - frame.eye[0], position[1] - frame.eye[1]];
    let across = to_pixel[0] * to_pixel[0] + to_pixel[1] * to_pixel[1];
    let sine_squared = across / (across + frame.eye[2] * frame.eye[2]);
    let inner_cosine = (1.0 - sine_squared * path[1]).sqrt();
    let thickness = factors[0] * (1.0 + strength * sheet[0] * varied[0]) * path[0] / inner_cosine;
    let stipple = value_noise(position.map(|x| x * PAINT_PER_MM), seed + 3)[0];
    let paint = factors[1] * (1.0 + strength * sheet[1] * stipple);

    let shift = place[2] * strength * frame.eye[2];
    let light = behind(frame, tables, [position[0] + varied[1] * shift, position[1] + varied[2] * shift]);

    let t = cubic_weights(((thickness - table[2]) * table[3]).clamp(0.0, 3.0));
    let p = cubic_weights(((paint - factors[2]) * factors[3]).clamp(0.0, 3.0));
    let paint_nodes = table[1] as usize;
    let mut rgb = [0.0; 3];
    let mut at = table[0] as usize;
    for paint_share in p.iter().take(paint_nodes) {
        let share = if paint_nodes == 1 { 1.0 } else { *paint_share };
        for thickness_share in t {
            let w = share * thickness_share;
            let node = &tables.responses[at..at + RESPONSE_TEXELS as usize];
            for (channel, sum) in rgb.iter_mut().enumerate() {
                *sum += w
                    * (dot4(node[channel], light.sky)
                        + node[3 + channel][3] * light.fifth
                        + node[3][channel] * light.ground
                        + node[4][channel] * light.disc
                        + node[5][channel]);
            }
            at += RESPONSE_TEXELS as usize;
        }
    }
    finite_half(rgb.map(|v| v * frame.exposure()))
}

pub(crate) fn finite_half(c: V3) -> V3 {
    c.map(|v| v.clamp(-HALF_LIMIT, HALF_LIMIT))
}
