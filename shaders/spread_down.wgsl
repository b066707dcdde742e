// Computes the next coarser level of a picture. Twin: crate/render/src/software/spread.rs

fn around_texel(at: vec2i) -> vec3f {
    let size = vec2i(textureDimensions(other));
    if any(at < vec2i(0)) || any(at >= size) {
        return spread.wall;
    }
    return textureLoad(other, at, 0).xyz;
}

// Light beyond the picture's edge.
fn beyond(at: vec2i) -> vec3f {
    if spread.has_around < 0.5 {
        return spread.wall;
    }
    let c = place(at);
    let corner = floor(c);
    let share = c - corner;
    let near = vec2i(corner);
    return mix(
        mix(around_texel(near), around_texel(near + vec2i(1, 0)), share.x),
        mix(around_texel(near + vec2i(0, 1)), around_texel(near + vec2i(1, 1)), share.x),
        share.y,
    );
}

@fragment
fn fragment_main(@builtin(position) at: vec4f) -> @location(0) vec4f {
    let size = vec2i(textureDimensions(own));
    // Four texels each way; the coarser level begins one texel before this one.
    let first = vec2i(at.xy) * 2 - vec2i(3);
    let all_inside = all(first >= vec2i(0)) && all(first + vec2i(3) < size);
    var sum = vec3f(0.0);
    for (var j = 0; j < 4; j++) {
        let wy = select(SPREAD_OUTER, SPREAD_INNER, j == 1 || j == 2);
        for (var i = 0; i < 4; i++) {
            let w = wy * select(SPREAD_OUTER, SPREAD_INNER, i == 1 || i == 2);
            let texel = first + vec2i(i, j);
            var light: vec3f;
            if all_inside || (all(texel >= vec2i(0)) && all(texel < size)) {
                light = textureLoad(own, texel, 0).xyz;
            } else {
                light = beyond(texel);
            }
            sum += min(light, vec3f(SPREAD_LIMIT)) * w;
        }
    }
    return vec4f(sum, 1.0);
}
