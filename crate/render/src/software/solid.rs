//! CPU twin of `shaders/solid.wgsl`.

use glam::{Vec2, Vec3, Vec3Swizzles as _};

use crate::shared::constants::{
    BAR_REFLECTANCE, BAR_ROUNDNESS, BAR_SHEEN, CEMENT_MM, CEMENT_REFLECTANCE, CEMENT_SOFTNESS_MM,
    GRAIN_PER_MM, GRAIN_SHARE, KEY_GRAIN, KEY_PATINA, KEY_SMEAR, LEAD_CROWN, LEAD_REFLECTANCE,
    LEAD_ROUNDNESS, LEAD_SHEEN, MATERIAL_BAR, MATERIAL_INNER, MATERIAL_LEAD, MATERIAL_REVEAL,
    MATERIAL_SOLDER, NEAREST_MM, PATINA_PER_MM, PATINA_SHARE, REVEAL_AVERTED, REVEAL_GAIN, ROOM_AMBIENT,
    ROOM_HALF, ROOM_LIGHT, SMEAR_PER_MM, SMEAR_SHARE, SOLDER_REFLECTANCE, SOLDER_ROUNDNESS, SOLDER_SHEEN,
    STEEPEST_SLOPE, WALL_REFLECTANCE,
};
use crate::shared::frame::Frame;
use crate::shared::records::FieldInner;
use crate::software::prelude::{faded_noise, finite_half, mix};
use crate::window::vertex::SolidVertex;

/// A point of lead, joint, bar or wall: the interpolated values of its vertices.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SolidPoint {
    pub(crate) material: u32,
    /// Panel mm.
    pub(crate) position: Vec2,
    pub(crate) across: f32,
    pub(crate) left: Vec2,
    pub(crate) half_mm: f32,
    /// Of the inner reveal.
    pub(crate) light: Vec3,
}

/// Where on the panel the eye sees a vertex; `None` if it belongs to a side of the inner reveal whose back is
/// toward it.
pub(crate) fn on_panel(frame: &Frame, vertex: &SolidVertex) -> Option<Vec2> {
    let position = Vec2::from(vertex.position);
    let eye = frame.eye_mm;
    if vertex.material == MATERIAL_INNER
        && Vec2::from(vertex.left).dot(eye.xy()) + vertex.half_mm * eye.z <= vertex.across
    {
        return None;
    }
    if vertex.depth_mm <= 0.0 {
        return Some(position);
    }
    let away = eye.z / (eye.z - vertex.depth_mm).max(NEAREST_MM);
    Some(eye.xy() + (position - eye.xy()) * away)
}

/// Light of a node of the inner reveal.
pub(crate) fn inner_light(frame: &Frame, inner: &[FieldInner], vertex: &SolidVertex) -> Vec3 {
    let node = inner.get(vertex.node as usize).filter(|_| vertex.material == MATERIAL_INNER);
    node.map_or(Vec3::ZERO, |node| node.light + node.room * frame.room_white)
}

fn lit(slope: f32, left: Vec2, sheen: f32) -> f32 {
    let u = slope.clamp(-STEEPEST_SLOPE, STEEPEST_SLOPE);
    let normal = (left * u).extend((1.0 - u * u).sqrt());
    let h = normal.dot(ROOM_HALF).max(0.0);
    let h4 = h * h * h * h;
    ROOM_AMBIENT + (1.0 - ROOM_AMBIENT) * (normal.dot(ROOM_LIGHT).max(0.0) + sheen * h4 * h4 * h4)
}

fn patina(frame: &Frame, position: Vec2) -> f32 {
    1.0 + PATINA_SHARE * faded_noise(frame, position, PATINA_PER_MM, KEY_PATINA)
        + GRAIN_SHARE * faded_noise(frame, position, GRAIN_PER_MM, KEY_GRAIN)
}

fn lead(frame: &Frame, point: &SolidPoint) -> f32 {
    let across = point.across;
    let slope = across * (LEAD_CROWN + (1.0 - LEAD_CROWN) * across * across) * LEAD_ROUNDNESS;
    let metal = LEAD_REFLECTANCE * patina(frame, point.position) * lit(slope, point.left, LEAD_SHEEN);
    let from_edge = point.half_mm * (1.0 - across.abs());
    let soft = CEMENT_SOFTNESS_MM.max(frame.mm_per_px);
    mix(CEMENT_REFLECTANCE, metal, ((from_edge - CEMENT_MM) / soft + 0.5).clamp(0.0, 1.0))
}

fn solder(frame: &Frame, point: &SolidPoint) -> f32 {
    let across = point.across;
    let slope = across * across * SOLDER_ROUNDNESS;
    let rim = across * across * across;
    let reflected = mix(SOLDER_REFLECTANCE, LEAD_REFLECTANCE * patina(frame, point.position), rim * rim);
    let smear = 1.0 + SMEAR_SHARE * faded_noise(frame, point.position, SMEAR_PER_MM, KEY_SMEAR);
    reflected * smear * lit(slope, point.left, mix(SOLDER_SHEEN, LEAD_SHEEN, rim))
}

/// Light from a point of lead, joint, bar or wall, linear RGB times exposure.
pub(crate) fn solid(frame: &Frame, point: &SolidPoint) -> Vec3 {
    let SolidPoint { across, left, .. } = *point;
    if point.material == MATERIAL_INNER {
        return finite_half(point.light * frame.exposure);
    }
    let reflected = match point.material {
        MATERIAL_LEAD => lead(frame, point),
        MATERIAL_SOLDER => solder(frame, point),
        MATERIAL_BAR => {
            BAR_REFLECTANCE * patina(frame, point.position) * lit(across * BAR_ROUNDNESS, left, BAR_SHEEN)
        }
        MATERIAL_REVEAL => {
            let fade = 1.0 - across;
            let facing = 0.5 - 0.5 * left.dot(ROOM_LIGHT.xy());
            WALL_REFLECTANCE * (1.0 + REVEAL_GAIN * fade * fade * (REVEAL_AVERTED + facing))
        }
        _ => WALL_REFLECTANCE,
    };
    finite_half(frame.room_white * reflected * frame.exposure)
}
