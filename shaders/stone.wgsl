// The stone of the outer reveal and the overhang before the glass, bars and mesh, and the outside beyond them.
// Twin: crate/render/src/software/stone.rs

fn stone_texel(x: f32, y: f32, texel: u32) -> vec4f {
    let row = u32(frame.field_nodes.y) + FIELD_BEARING_TEXELS + u32(y);
    return textureLoad(field, vec2u(u32(x) * FIELD_STONE_TEXELS + texel, row), 0);
}

// One texel of the nodes, linear between them.
fn stone_value(near: vec2f, share: vec2f, texel: u32) -> vec4f {
    let far = near + vec2f(1.0);
    return mix(
        mix(stone_texel(near.x, near.y, texel), stone_texel(far.x, near.y, texel), share.x),
        mix(stone_texel(near.x, far.y, texel), stone_texel(far.x, far.y, texel), share.x),
        share.y,
    );
}

fn behind(through: Through) -> Behind {
    if frame.has_wall <= 0.0 {
        return outside(through);
    }
    // A bent view of what is near shifts less than one of what is far.
    let seen = mix(through.at, through.seen, frame.stone_shift);
    let last = vec2f(f32(STONE_COLUMNS - 1u), f32(STONE_ROWS - 1u));
    let at = clamp((seen - frame.field_origin_mm) * frame.stone_per_mm, vec2f(0.0), last);
    let near = min(floor(at), last - vec2f(1.0));
    let share = at - near;
    let stone = unpack_field_stone(
        stone_value(near, share, FIELD_STONE_SKY),
        stone_value(near, share, FIELD_STONE_FIFTH),
        stone_value(near, share, FIELD_STONE_OPENNESS),
    );
    let soft_mm = max(frame.mm_per_px, through.blur * frame.eye_mm.z * frame.stone_shift);
    let free = clamp(stone.distance / soft_mm + 0.5, 0.0, 1.0);
    let hidden = 1.0 - free;
    var light = Behind(stone.sky * hidden, stone.fifth * hidden, stone.ground * hidden, stone.disc * hidden);
    if free > 0.0 {
        let beyond = outside(through);
        let passed = free * stone.openness;
        light.sky += beyond.sky * passed;
        light.fifth += beyond.fifth * passed;
        light.ground += beyond.ground * passed;
        light.disc += beyond.disc * passed;
    }
    return light;
}
