//! The shaders' record of a piece.

use glam::Vec2;

use crate::glazing::optics::{PieceOptics, index_of, inner_cosine, paint_scale};
use crate::light::field::Eye;
use crate::shared::records::Piece;
use crate::window::model::{Overlay, PieceModel};

/// Bits of a sheet's seed that a single-precision number holds exactly.
const SEED_BITS: u32 = 0xff_ffff;
/// Least width of the transition along a stroke, mm, and of a cell of seeds.
const LEAST_SOFTNESS_MM: f64 = 1e-3;
const LEAST_CELL_MM: f64 = 0.1;

/// The record of a piece, or of an overlay on it, whose nodes begin at `first_node`.
pub(crate) fn piece_record(
    piece: &PieceModel,
    overlay: Option<&Overlay>,
    optics: &PieceOptics,
    eye: Eye,
    first_node: usize,
) -> Piece {
    let n = index_of(piece);
    let (sheet, shift) = (&piece.sheet, &optics.shift);
    let surface = &sheet.surface;
    let inverse = |step: f64| if step > 0.0 { (1.0 / step) as f32 } else { 0.0 };
    let (sine, cosine) = sheet.axis_deg.to_radians().sin_cos();
    let radius = (optics.area_mm2 / std::f64::consts::PI).sqrt();
    let (fade_per_mm, fade_scale) = match overlay {
        None => (inverse(piece.fade.length_mm), piece.fade.scale as f32),
        Some(_) => (0.0, 1.0),
    };
    Piece {
        first_node: first_node as f32,
        paint_nodes: optics.paint_nodes() as f32,
        first_thickness: optics.thickness.0 as f32,
        nodes_per_thickness: inverse(optics.thickness.1),
        thickness: piece.thickness_factor as f32,
        paint: piece.paint_factor as f32,
        first_paint: optics.paint.0 as f32,
        nodes_per_paint: inverse(optics.paint.1),
        thickness_amplitude: sheet.thickness_amplitude as f32,
        paint_amplitude: sheet.paint_amplitude as f32,
        axis: Vec2::new(cosine as f32, sine as f32),
        origin_mm: sheet.origin_mm.vector().as_vec2(),
        // A wedge of angle a bends a ray by (n − 1)·a. The gradient of thickness, times the eye's distance in the
        // shader, is the distance on the panel from this point to the one whose direction is really seen.
        bend: ((n - 1.0) * sheet.thickness_mm * sheet.thickness_amplitude) as f32,
        seed: f64::from(sheet.seed & SEED_BITS) as f32,
        inner_cosine: inner_cosine(eye, optics.middle_mm, n) as f32,
        inverse_n_squared: (1.0 / (n * n)) as f32,
        glare: surface.glare as f32,
        halvings: (paint_scale(piece) * std::f64::consts::LOG2_10) as f32,
        mix_nodes: optics.mix_nodes as f32,
        mix_amplitude: sheet.mix_amplitude as f32,
        mix_shift: shift.mix as f32,
        thickness_shift: shift.thickness as f32,
        sheen: surface.sheen as f32,
        seed_cell_mm: surface.seed_cell_mm.max(LEAST_CELL_MM) as f32,
        seed_share: surface.seeds as f32,
        gain_shift: shift.gain as f32,
        ripple_rad: surface.ripple_rad as f32,
        ripple_per_mm: surface.ripple_per_mm as f32,
        ripple_sheen: surface.ripple_sheen as f32,
        haze_rad: surface.haze_rad as f32,
        middle_mm: optics.middle_mm.vector().as_vec2(),
        per_radius: inverse(radius),
        etched: f32::from(u8::from(sheet.etched)),
        fade_per_mm,
        fade_scale,
        softness_mm: overlay.map_or(0.0, |o| o.softness_mm.max(LEAST_SOFTNESS_MM) as f32),
        ragged_mm: overlay.map_or(0.0, |o| o.ragged_mm as f32),
        ..Piece::default()
    }
}
