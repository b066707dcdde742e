//! CPU twin of `shaders/solid.wgsl`.

use crate::shared::constants::{
    BAR_REFLECTANCE, BAR_ROUNDNESS, BAR_SHEEN, CEMENT_MM, CEMENT_REFLECTANCE, CEMENT_SOFTNESS_MM,
    GRAIN_PER_MM, GRAIN_SHARE, LEAD_CROWN, LEAD_REFLECTANCE, LEAD_ROUNDNESS, LEAD_SHEEN, MATERIAL_BAR,
    MATERIAL_LEAD, MATERIAL_REVEAL, MATERIAL_SOLDER, PATINA_PER_MM, PATINA_SHARE, REVEAL_GAIN, ROOM_AMBIENT,
    ROOM_HALF, ROOM_LIGHT, SOLDER_REFLECTANCE, SOLDER_ROUNDNESS, SOLDER_SHEEN, WALL_REFLECTANCE,
};
use crate::shared::frame::Frame;
use crate::software::prelude::{finite_half, value_noise};
use crate::vector::{V3, dot3};

/// A point of lead, joint, bar or wall: what the vertices' numbers come to there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SolidPoint {
    pub(crate) material: u32,
    /// Panel mm.
    pub(crate) position: [f32; 2],
    pub(crate) across: f32,
    pub(crate) left: [f32; 2],
    pub(crate) half_mm: f32,
}

fn mix(a: f32, b: f32, share: f32) -> f32 {
    a * (1.0 - share) + b * share
}

fn lit(slope: f32, left: [f32; 2], sheen: f32) -> f32 {
    let u = slope.clamp(-0.98, 0.98);
    let normal = [left[0] * u, left[1] * u, (1.0 - u * u).sqrt()];
    let h = dot3(normal, ROOM_HALF).max(0.0);
    let h4 = h * h * h * h;
    ROOM_AMBIENT + (1.0 - ROOM_AMBIENT) * (dot3(normal, ROOM_LIGHT).max(0.0) + sheen * h4 * h4 * h4)
}

fn unevenness(frame: &Frame, position: [f32; 2], per_mm: f32, seed: u32) -> f32 {
    value_noise(position.map(|x| x * per_mm), seed)[0] * (1.6 - 2.0 * frame.eye[3] * per_mm).clamp(0.0, 1.0)
}

fn patina(frame: &Frame, position: [f32; 2]) -> f32 {
    1.0 + PATINA_SHARE * unevenness(frame, position, PATINA_PER_MM, 77)
        + GRAIN_SHARE * unevenness(frame, position, GRAIN_PER_MM, 78)
}

fn lead(frame: &Frame, point: &SolidPoint) -> f32 {
    let across = point.across;
    let slope = across * (LEAD_CROWN + (1.0 - LEAD_CROWN) * across * across) * LEAD_ROUNDNESS;
    let metal = LEAD_REFLECTANCE * patina(frame, point.position) * lit(slope, point.left, LEAD_SHEEN);
    let from_edge = point.half_mm * (1.0 - across.abs());
    let soft = CEMENT_SOFTNESS_MM.max(frame.eye[3]);
    mix(CEMENT_REFLECTANCE, metal, ((from_edge - CEMENT_MM) / soft + 0.5).clamp(0.0, 1.0))
}

fn solder(frame: &Frame, point: &SolidPoint) -> f32 {
    let across = point.across;
    let slope = across * across * SOLDER_ROUNDNESS;
    let rim = across * across * across;
    let reflected = mix(SOLDER_REFLECTANCE, LEAD_REFLECTANCE * patina(frame, point.position), rim * rim);
    let smear = 1.0 + 0.5 * GRAIN_SHARE * unevenness(frame, point.position, 0.5 * GRAIN_PER_MM, 79);
    reflected * smear * lit(slope, point.left, mix(SOLDER_SHEEN, LEAD_SHEEN, rim))
}

/// Light from a point of lead, joint, bar or wall, linear RGB times exposure.
pub(crate) fn solid(frame: &Frame, point: &SolidPoint) -> V3 {
    let SolidPoint { across, left, .. } = *point;
    let reflected = match point.material {
        MATERIAL_LEAD => lead(frame, point),
        MATERIAL_SOLDER => solder(frame, point),
        MATERIAL_BAR => {
            BAR_REFLECTANCE * patina(frame, point.position) * lit(across * BAR_ROUNDNESS, left, BAR_SHEEN)
        }
        MATERIAL_REVEAL => {
            let fade = 1.0 - across;
            let facing = 0.5 - 0.5 * (left[0] * ROOM_LIGHT[0] + left[1] * ROOM_LIGHT[1]);
            WALL_REFLECTANCE * (1.0 + REVEAL_GAIN * fade * fade * (0.4 + facing))
        }
        _ => WALL_REFLECTANCE,
    };
    let exposure = frame.exposure();
    finite_half([0, 1, 2].map(|k| frame.room[k] * reflected * exposure))
}
