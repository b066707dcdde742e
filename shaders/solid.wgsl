// Lead, bars, the splay and the wall: everything but glass, in the room's own faint light.
// Twin: crate/render/src/software/solid.rs

struct Corner {
    @builtin(position) clip: vec4f,
    @location(0) position: vec2f,
    @location(1) coverage: f32,
    @location(2) across: f32,
    @location(3) left: vec2f,
    @location(4) half_mm: f32,
    @location(5) @interpolate(flat, either) material: u32,
}

@vertex
fn vertex_main(in: SolidVertex) -> Corner {
    let moved = in.position + in.fringe * frame.mm_per_px;
    let clip = clip_from_panel(in.position, in.fringe);
    return Corner(clip, moved, in.coverage, in.across, in.left, in.half_mm, in.material);
}

// Reflection of light from the upper left of the room by a face whose slope has this sine, downhill along `left`.
fn lit(slope: f32, left: vec2f, sheen: f32) -> f32 {
    let u = clamp(slope, -STEEPEST_SLOPE, STEEPEST_SLOPE);
    let normal = vec3f(left * u, sqrt(1.0 - u * u));
    let h = max(dot(normal, ROOM_HALF), 0.0);
    let h4 = h * h * h * h;
    return ROOM_AMBIENT + (1.0 - ROOM_AMBIENT) * (max(dot(normal, ROOM_LIGHT), 0.0) + sheen * h4 * h4 * h4);
}

fn patina(position: vec2f) -> f32 {
    return 1.0 + PATINA_SHARE * faded_noise(position, PATINA_PER_MM, KEY_PATINA)
        + GRAIN_SHARE * faded_noise(position, GRAIN_PER_MM, KEY_GRAIN);
}

// A came: rounded, its crown worn flat, cement along its edges.
fn lead(in: Corner) -> f32 {
    let slope = in.across * (LEAD_CROWN + (1.0 - LEAD_CROWN) * in.across * in.across) * LEAD_ROUNDNESS;
    let metal = LEAD_REFLECTANCE * patina(in.position) * lit(slope, in.left, LEAD_SHEEN);
    let from_edge = in.half_mm * (1.0 - abs(in.across));
    let soft = max(CEMENT_SOFTNESS_MM, frame.mm_per_px);
    return mix(CEMENT_REFLECTANCE, metal, clamp((from_edge - CEMENT_MM) / soft + 0.5, 0.0, 1.0));
}

// A joint: a smooth low mound that runs out into the lead.
fn solder(in: Corner) -> f32 {
    let slope = in.across * in.across * SOLDER_ROUNDNESS;
    let rim = in.across * in.across * in.across;
    let reflected = mix(SOLDER_REFLECTANCE, LEAD_REFLECTANCE * patina(in.position), rim * rim);
    let smear = 1.0 + SMEAR_SHARE * faded_noise(in.position, SMEAR_PER_MM, KEY_SMEAR);
    return reflected * smear * lit(slope, in.left, mix(SOLDER_SHEEN, LEAD_SHEEN, rim));
}

@fragment
fn fragment_main(in: Corner) -> @location(0) vec4f {
    var reflected = WALL_REFLECTANCE;
    if in.material == MATERIAL_LEAD {
        reflected = lead(in);
    } else if in.material == MATERIAL_SOLDER {
        reflected = solder(in);
    } else if in.material == MATERIAL_BAR {
        reflected = BAR_REFLECTANCE * patina(in.position) * lit(in.across * BAR_ROUNDNESS, in.left, BAR_SHEEN);
    } else if in.material == MATERIAL_REVEAL {
        let fade = 1.0 - in.across;
        let facing = 0.5 - 0.5 * dot(in.left, ROOM_LIGHT.xy);
        reflected = WALL_REFLECTANCE * (1.0 + REVEAL_GAIN * fade * fade * (REVEAL_AVERTED + facing));
    }
    return vec4f(finite_half(frame.room_white * reflected * frame.exposure), in.coverage);
}
