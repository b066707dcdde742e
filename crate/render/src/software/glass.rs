//! CPU twin of `shaders/glass.wgsl`: the same steps in the same order, in single precision.

use crate::light::tables::LightTables;
use crate::shared::constants::{
    PIECE_TEXELS, RESPONSE_TEXELS, RIPPLE_SECOND, ROUGH, SEED_BEND_RAD, SEED_GAIN, SEED_GLINT, SEED_SECOND,
};
use crate::shared::frame::Frame;
use crate::software::outside::{Through, behind};
use crate::software::paint::{paint_density, stroke_share};
use crate::software::prelude::finite_half;
use crate::software::sheet::{blown, etched, fade, flow, on_sheet, ripple, seeds};
use crate::vector::{V3, dot4};

fn cubic_weights(x: f32) -> [f32; 4] {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    [a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0]
}

/// What a piece is at one of its points.
#[derive(Clone, Copy)]
pub(crate) struct Local {
    /// Factor, the slanting way included.
    pub(crate) thickness: f32,
    /// The slanting way over that in the middle of the piece.
    pub(crate) slanting: f32,
    /// Factor.
    pub(crate) paint: f32,
    /// −1 to 1: streak, wisp, flash left.
    pub(crate) mix: f32,
    /// How the surface gathers the light.
    pub(crate) gain: f32,
    /// Share of the sun's disc that a bubble throws here.
    pub(crate) glint: f32,
    pub(crate) through: Through,
}

/// A piece's texels.
fn texels_of(tables: &LightTables, piece: usize) -> &[[f32; 4]] {
    &tables.pieces[piece * PIECE_TEXELS as usize..][..PIECE_TEXELS as usize]
}

pub(crate) fn local(frame: &Frame, tables: &LightTables, piece: usize, position: [f32; 2]) -> Local {
    local_of(frame, texels_of(tables, piece), position, [0.0; 2])
}

pub(crate) fn local_of(frame: &Frame, texels: &[[f32; 4]], position: [f32; 2], brush: [f32; 2]) -> Local {
    let [factors, sheet, place, path] = [texels[1], texels[2], texels[3], texels[4]];
    let [mixing, bubbles, rolled, etching] = [texels[5], texels[6], texels[7], texels[8]];
    let strength = frame.strength();
    let seed = place[3] as u32;
    let axis = [sheet[2], sheet[3]];

    let to_pixel = [position[0] - frame.eye[0], position[1] - frame.eye[1]];
    let across = to_pixel[0] * to_pixel[0] + to_pixel[1] * to_pixel[1];
    let sine_squared = across / (across + frame.eye[2] * frame.eye[2]);
    let slanting = path[0] / (1.0 - sine_squared * path[1]).sqrt();
    if strength <= 0.0 {
        return Local {
            thickness: factors[0] * slanting,
            slanting,
            paint: factors[1],
            mix: 0.0,
            gain: 1.0,
            glint: 0.0,
            through: Through { seen: position, blur: 0.0, glare: 0.0, covered: 0.0 },
        };
    }

    let px = frame.eye[3];
    let s = on_sheet(position, [place[0], place[1]], axis);
    let surface = blown(s, seed, px);
    let mut turn = surface.slope.map(|x| x * place[2]);
    let mut gain = bubbles[0] * surface.sheen;
    let mut blur = rolled[3] + ROUGH * surface.rough * place[2];
    let mut glint = 0.0;
    let mut covered = 0.0;
    if bubbles[2] > 0.0 {
        let a = seeds(s, bubbles[1], bubbles[2], seed, px);
        let b = seeds(s, bubbles[1] / SEED_SECOND, bubbles[2], seed.wrapping_add(20), px);
        turn = [0, 1].map(|k| turn[k] + SEED_BEND_RAD * (a.turn[k] + b.turn[k]));
        gain += SEED_GAIN * (a.gather + b.gather);
        covered = (a.cover + b.cover).min(1.0);
        glint = SEED_GLINT * (a.glint + b.glint);
    }
    if rolled[0] > 0.0 {
        let left = fade(rolled[1] * RIPPLE_SECOND, px);
        let texture = ripple(s, rolled[1], seed);
        turn = [turn[0] + rolled[0] * left * texture[0], turn[1] + rolled[0] * left * texture[1]];
        gain += rolled[2] * left * texture[2];
        blur += rolled[0] * (1.0 - left + left * (2.0 * rolled[1] * px).min(1.0));
    }
    let flowing = if etching[3] > 0.0 {
        etched(position, [etching[0], etching[1]], etching[2], seed)
    } else if mixing[1] > 0.0 {
        flow(s, seed, px)
    } else {
        0.0
    };
    let painted = texels[9];
    let shift = [turn[0] * axis[0] - turn[1] * axis[1], turn[0] * axis[1] + turn[1] * axis[0]];
    let lever = strength * frame.eye[2];
    Local {
        thickness: factors[0] * (1.0 + strength * (sheet[0] * surface.value - mixing[3])) * slanting,
        slanting,
        paint: factors[1] * paint_density(frame, position, brush, painted, sheet[1], seed),
        mix: (strength * (flowing * mixing[1] - mixing[2])).clamp(-1.0, 1.0),
        gain: 1.0 + strength * (gain - bubbles[3]),
        glint: strength * glint,
        through: Through {
            seen: [position[0] + shift[0] * lever, position[1] + shift[1] * lever],
            blur: strength * blur,
            glare: strength * path[2],
            covered: strength * covered,
        },
    }
}

/// Light from a piece or an overlay at a point of the panel, linear RGB times exposure, and the share of the pixel
/// that it covers.
pub(crate) fn glass(
    frame: &Frame,
    tables: &LightTables,
    piece: usize,
    position: [f32; 2],
    brush: [f32; 2],
) -> (V3, f32) {
    let texels = texels_of(tables, piece);
    let [table, factors] = [texels[0], texels[1]];
    let here = local_of(frame, texels, position, brush);
    let mut light = behind(frame, tables, here.through);
    light.disc += here.glint * frame.sun[3];

    let t = cubic_weights(((here.thickness - table[2]) * table[3]).clamp(0.0, 3.0));
    let painted = (-here.paint * texels[4][3]).exp2();
    let p = cubic_weights(((painted - factors[2]) * factors[3]).clamp(0.0, 3.0));
    let paint_nodes = table[1] as usize;
    let mix_nodes = texels[5][0];
    // The four nodes of the mix that lie around it.
    let along = (here.mix * 0.5 + 0.5) * (mix_nodes - 1.0);
    let first = (along.floor() - 1.0).clamp(0.0, (mix_nodes - 4.0).max(0.0));
    let m = cubic_weights(along - first);
    let mixes = (mix_nodes as usize).min(4);
    let mut rgb = [0.0; 3];
    let mut at = table[0] as usize + first as usize * paint_nodes * 4 * RESPONSE_TEXELS as usize;
    for k in 0..mixes * paint_nodes {
        let paint_share = if paint_nodes == 1 { 1.0 } else { p[k % paint_nodes] };
        let share = paint_share * if mixes == 1 { 1.0 } else { m[k / paint_nodes] };
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
    let gain = here.gain * frame.exposure();
    (finite_half(rgb.map(|v| v * gain)), stroke_share(frame, position, brush, texels[9]))
}
