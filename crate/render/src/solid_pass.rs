//! CPU twin of `shaders/solid.wgsl`.

use crate::{
    constants::{
        BAR_REFLECTANCE, BAR_ROUNDNESS, LEAD_REFLECTANCE, LEAD_ROUNDNESS, MATERIAL_BAR, MATERIAL_LEAD,
        MATERIAL_REVEAL, PATINA_PER_MM, PATINA_SHARE, REVEAL_GAIN, ROOM_AMBIENT, ROOM_LIGHT,
        WALL_REFLECTANCE,
    },
    frame::Frame,
    glass_pass::finite_half,
    noise::value_noise,
    vector::{V3, dot3},
};

fn rounded(across: f32, left: [f32; 2], roundness: f32) -> f32 {
    let u = across.clamp(-1.0, 1.0) * roundness;
    let normal = [left[0] * u, left[1] * u, (1.0 - u * u).sqrt()];
    ROOM_AMBIENT + (1.0 - ROOM_AMBIENT) * dot3(normal, ROOM_LIGHT).max(0.0)
}

/// Light from lead, bar or wall at a point of the panel, linear RGB times exposure.
pub(crate) fn solid(frame: &Frame, material: u32, position: [f32; 2], across: f32, left: [f32; 2]) -> V3 {
    let reflected = match material {
        MATERIAL_LEAD => {
            let patina = 1.0 + PATINA_SHARE * value_noise(position.map(|x| x * PATINA_PER_MM), 77)[0];
            LEAD_REFLECTANCE * patina * rounded(across, left, LEAD_ROUNDNESS)
        }
        MATERIAL_BAR => BAR_REFLECTANCE * rounded(across, left, BAR_ROUNDNESS),
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
