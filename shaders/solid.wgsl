// Lead, bars, the splay and the wall: what the room's own faint light shows of the things that are not glass.
// Twin: crate/render/src/solid_pass.rs

struct Corner {
    @builtin(position) clip: vec4f,
    @location(0) position: vec2f,
    @location(1) coverage: f32,
    @location(2) across: f32,
    @location(3) left: vec2f,
    @location(4) @interpolate(flat, either) material: u32,
}

@vertex
fn vertex_main(
    @location(0) position: vec2f,
    @location(1) fringe: vec2f,
    @location(2) coverage: f32,
    @location(3) across: f32,
    @location(4) left: vec2f,
    @location(5) material: u32,
) -> Corner {
    let moved = position + fringe * frame.eye.w;
    return Corner(clip_from_panel(position, fringe), moved, coverage, across, left, material);
}

// A rounded face under light from the upper left of the room.
fn rounded(across: f32, left: vec2f, roundness: f32) -> f32 {
    let u = clamp(across, -1.0, 1.0) * roundness;
    let normal = vec3f(left * u, sqrt(1.0 - u * u));
    return ROOM_AMBIENT + (1.0 - ROOM_AMBIENT) * max(dot(normal, ROOM_LIGHT), 0.0);
}

@fragment
fn fragment_main(in: Corner) -> @location(0) vec4f {
    var reflected = WALL_REFLECTANCE;
    if in.material == MATERIAL_LEAD {
        let patina = 1.0 + PATINA_SHARE * value_noise(in.position * PATINA_PER_MM, 77u).x;
        reflected = LEAD_REFLECTANCE * patina * rounded(in.across, in.left, LEAD_ROUNDNESS);
    } else if in.material == MATERIAL_BAR {
        reflected = BAR_REFLECTANCE * rounded(in.across, in.left, BAR_ROUNDNESS);
    } else if in.material == MATERIAL_REVEAL {
        let fade = 1.0 - in.across;
        let facing = 0.5 - 0.5 * dot(in.left, ROOM_LIGHT.xy);
        reflected = WALL_REFLECTANCE * (1.0 + REVEAL_GAIN * fade * fade * (0.4 + facing));
    }
    return vec4f(finite_half(frame.room.xyz * reflected * frame.field_size.z), in.coverage);
}
