// Light that pieces scatter forward: the outside blurred on a grid over the panel, and the sun's bell.
// Twin: crate/render/src/software/forward.rs

fn forward_texel(column: f32, near: vec2f, x: f32, y: f32) -> vec4f {
    return textureLoad(field, vec2u(u32(column + near.x + x), u32(frame.forward_row + near.y + y)), 0);
}

// Weights of the three spectra of blurred light and of the sun's bell toward a point of the panel.
fn ahead(piece: Piece, seen: vec2f) -> vec4f {
    let last = vec2f(f32(FORWARD_COLUMNS - 1u), f32(FORWARD_ROWS - 1u));
    let at = clamp((seen - frame.field_origin_mm) * frame.forward_per_mm, vec2f(0.0), last);
    let near = min(floor(at), last - vec2f(1.0));
    let share = at - near;
    let column = piece.forward_column;
    let here = unpack_field_forward(mix(
        mix(forward_texel(column, near, 0.0, 0.0), forward_texel(column, near, 1.0, 0.0), share.x),
        mix(forward_texel(column, near, 0.0, 1.0), forward_texel(column, near, 1.0, 1.0), share.x),
        share.y,
    ));
    let to_seen = vec3f(seen - frame.eye_mm.xy, -frame.eye_mm.z);
    let away = to_seen.xy / length(to_seen) - frame.toward_sun.xy;
    return vec4f(here.weights, here.sunlit * exp(-min(dot(away, away) * piece.bell, BELL_END)));
}
