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
    // Of the inner reveal.
    @location(6) light: vec3f,
}

// Where on the panel the eye sees a point that stands before it.
fn on_panel(position: vec2f, depth_mm: f32) -> vec2f {
    if depth_mm <= 0.0 {
        return position;
    }
    let away = frame.eye_mm.z / max(frame.eye_mm.z - depth_mm, NEAREST_MM);
    return frame.eye_mm.xy + (position - frame.eye_mm.xy) * away;
}

// Whether the eye sees the lit face of a side of the inner reveal: alike at all of its corners.
fn faces_eye(in: SolidVertex) -> bool {
    return dot(in.left, frame.eye_mm.xy) + in.half_mm * frame.eye_mm.z > in.across;
}

@vertex
fn vertex_main(in: SolidVertex) -> Corner {
    let position = on_panel(in.position, in.depth_mm);
    let moved = position + in.fringe * frame.mm_per_px;
    var clip = clip_from_panel(position, in.fringe);
    var light = vec3f(0.0);
    if in.material == MATERIAL_INNER {
        if !faces_eye(in) {
            clip = vec4f(2.0, 2.0, 0.0, 1.0);
        }
        let row = u32(frame.inner_row) + in.node / (FIELD_WIDTH / FIELD_INNER_TEXELS);
        let column = in.node % (FIELD_WIDTH / FIELD_INNER_TEXELS);
        let node = read_field_inner(vec2u(column * FIELD_INNER_TEXELS, row));
        light = node.light + node.room * frame.room_white;
    }
    return Corner(clip, moved, in.coverage, in.across, in.left, in.half_mm, in.material, light);
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
    if in.material == MATERIAL_INNER {
        return vec4f(finite_half(in.light * frame.exposure), in.coverage);
    }
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
