//! CPU twin of `shaders/glass.wgsl`: the same steps in the same order, in single precision.

use glam::{Vec2, Vec3, Vec3Swizzles as _, Vec4};

use crate::light::tables::LightTables;
use crate::shared::constants::{
    CUBIC_NODES, KEY_SEED_SECOND, RIPPLE_BLUR, RIPPLE_SECOND, ROUGH, SEED_BEND_RAD, SEED_GAIN, SEED_GLINT,
    SEED_SECOND,
};
use crate::shared::frame::Frame;
use crate::shared::records::Piece;
use crate::software::forward::ahead;
use crate::software::outside::Through;
use crate::software::paint::{paint_density, stroke_share};
use crate::software::prelude::finite_half;
use crate::software::sheet::{blown, etched, fade, flow, on_sheet, ripple, seeds};
use crate::software::stone::behind;

fn cubic_weights(x: f32) -> [f32; 4] {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    [a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0]
}

/// The state of a piece at one of its points.
#[derive(Clone, Copy)]
pub(crate) struct Local {
    /// Thickness factor, including the slanted path.
    pub(crate) thickness: f32,
    /// The slanted path relative to that in the middle of the piece.
    pub(crate) slanting: f32,
    /// Paint factor.
    pub(crate) paint: f32,
    /// −1 to 1: streak, wisp, remaining flash.
    pub(crate) mix: f32,
    /// How the surface gathers the light.
    pub(crate) gain: f32,
    /// Share of the sun's disc that a bubble glints here.
    pub(crate) glint: f32,
    pub(crate) through: Through,
}

/// The state of a piece at a point of the panel. `brush` as in [`paint_density`].
pub(crate) fn local(frame: &Frame, piece: &Piece, position: Vec2, brush: Vec2) -> Local {
    let strength = frame.variation;
    let seed = piece.seed as u32;
    let axis = piece.axis;

    let to_pixel = position - frame.eye_mm.xy();
    let across = to_pixel.dot(to_pixel);
    let sine_squared = across / (across + frame.eye_mm.z * frame.eye_mm.z);
    let slanting = piece.inner_cosine / (1.0 - sine_squared * piece.inverse_n_squared).sqrt();
    if strength <= 0.0 {
        return Local {
            thickness: piece.thickness * slanting,
            slanting,
            paint: piece.paint,
            mix: 0.0,
            gain: 1.0,
            glint: 0.0,
            through: Through { at: position, seen: position, blur: 0.0, glare: 0.0, covered: 0.0 },
        };
    }

    let px = frame.mm_per_px;
    let s = on_sheet(position, piece.origin_mm, axis);
    let surface = blown(s, seed, px);
    let mut turn = surface.slope * piece.bend;
    let mut gain = piece.sheen * surface.sheen;
    let mut blur = piece.haze_rad + ROUGH * surface.rough * piece.bend;
    let mut glint = 0.0;
    let mut covered = 0.0;
    if piece.seed_share > 0.0 {
        let second = seed.wrapping_add(KEY_SEED_SECOND);
        let a = seeds(s, piece.seed_cell_mm, piece.seed_share, seed, px);
        let b = seeds(s, piece.seed_cell_mm / SEED_SECOND, piece.seed_share, second, px);
        turn += SEED_BEND_RAD * (a.turn + b.turn);
        gain += SEED_GAIN * (a.gather + b.gather);
        covered = (a.cover + b.cover).min(1.0);
        glint = SEED_GLINT * (a.glint + b.glint);
    }
    if piece.ripple_rad > 0.0 {
        let left = fade(piece.ripple_per_mm * RIPPLE_SECOND, px);
        let texture = ripple(s, piece.ripple_per_mm, seed);
        turn += piece.ripple_rad * left * texture.xy();
        gain += piece.ripple_sheen * left * texture.z;
        blur += piece.ripple_rad * (1.0 - left + left * (RIPPLE_BLUR * piece.ripple_per_mm * px).min(1.0));
    }
    let flowing = if piece.etched > 0.0 {
        etched(position, piece.middle_mm, piece.per_radius, seed)
    } else if piece.mix_amplitude > 0.0 {
        flow(s, seed, px)
    } else {
        0.0
    };
    let shift = Vec2::new(turn.x * axis.x - turn.y * axis.y, turn.x * axis.y + turn.y * axis.x);
    let varied = strength * (piece.thickness_amplitude * surface.value - piece.thickness_shift);
    Local {
        thickness: piece.thickness * (1.0 + varied) * slanting,
        slanting,
        paint: piece.paint * paint_density(frame, piece, position, brush, seed),
        mix: (strength * (flowing * piece.mix_amplitude - piece.mix_shift)).clamp(-1.0, 1.0),
        gain: 1.0 + strength * (gain - piece.gain_shift),
        glint: strength * glint,
        through: Through {
            at: position,
            seen: position + shift * (strength * frame.eye_mm.z),
            blur: strength * blur,
            glare: strength * piece.glare,
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
    position: Vec2,
    brush: Vec2,
) -> (Vec3, f32) {
    let piece = &tables.pieces[piece];
    let here = local(frame, piece, position, brush);
    let mut light = behind(frame, tables, here.through);
    light.disc += here.glint * frame.sun_shines;

    let cubic_nodes = CUBIC_NODES as usize;
    let last = (CUBIC_NODES - 1) as f32;
    let place = (here.thickness - piece.first_thickness) * piece.nodes_per_thickness;
    let t = cubic_weights(place.clamp(0.0, last));
    let passed = (-here.paint * piece.halvings).exp2();
    let p = cubic_weights(((passed - piece.first_paint) * piece.nodes_per_paint).clamp(0.0, last));
    let paint_nodes = piece.paint_nodes as usize;
    // The four nodes around the mix; an even sheet has a node of its own after them.
    let even = frame.variation <= 0.0 && piece.mix_nodes > 1.0;
    let along = (here.mix * 0.5 + 0.5) * (piece.mix_nodes - 1.0);
    let around = (along.floor() - 1.0).clamp(0.0, (piece.mix_nodes - CUBIC_NODES as f32).max(0.0));
    let m = cubic_weights(along - around);
    let first = if even { piece.mix_nodes } else { around };
    let mixes = if even { 1 } else { (piece.mix_nodes as usize).min(cubic_nodes) };
    let forwards = tables.first_forward(piece).map(|from| &tables.forwards[from..]);
    let ahead = if forwards.is_some() { ahead(frame, tables, piece, here.through.seen) } else { Vec4::ZERO };
    let mut rgb = Vec3::ZERO;
    let begin = piece.first_node as usize + first as usize * paint_nodes * cubic_nodes;
    let blocks = tables.responses[begin..].chunks_exact(cubic_nodes);
    for (k, block) in blocks.take(mixes * paint_nodes).enumerate() {
        let paint_share = if paint_nodes == 1 { 1.0 } else { p[k % paint_nodes] };
        let share = paint_share * if mixes == 1 { 1.0 } else { m[k / paint_nodes] };
        for (i, (thickness_share, of)) in t.iter().zip(block).enumerate() {
            let w = share * thickness_share;
            let sky = Vec3::new(of.red.dot(light.sky), of.green.dot(light.sky), of.blue.dot(light.sky));
            let fifth = Vec3::new(of.fifth_red, of.fifth_green, of.fifth_blue);
            rgb +=
                w * (sky + fifth * light.fifth + of.ground * light.ground + of.disc * light.disc + of.glow);
            if let Some(forwards) = forwards {
                let of = &forwards[(first as usize * paint_nodes + k) * cubic_nodes + i];
                rgb += w * Vec3::new(of.red.dot(ahead), of.green.dot(ahead), of.blue.dot(ahead));
            }
        }
    }
    let gain = here.gain * frame.exposure;
    (finite_half(rgb * gain), stroke_share(frame, piece, position, brush))
}
