// Glass: what is seen through a piece, by its response table and the weights of the direction behind it.
// Twin: crate/render/src/glass_pass.rs

struct Corner {
    @builtin(position) clip: vec4f,
    @location(0) position: vec2f,
    @location(1) coverage: f32,
    @location(2) @interpolate(flat, either) piece: u32,
}

@vertex
fn vertex_main(
    @location(0) position: vec2f,
    @location(1) fringe: vec2f,
    @location(2) coverage: f32,
    @location(3) piece: u32,
) -> Corner {
    return Corner(clip_from_panel(position, fringe), position + fringe * frame.eye.w, coverage, piece);
}

fn piece_texel(piece: u32, k: u32) -> vec4f {
    return textureLoad(pieces, vec2u((piece % PIECES_PER_ROW) * PIECE_TEXELS + k, piece / PIECES_PER_ROW), 0);
}

fn response_texel(index: u32) -> vec4f {
    return textureLoad(responses, vec2u(index % RESPONSE_WIDTH, index / RESPONSE_WIDTH), 0);
}

// Thickness over the sheet, -1 to 1, and its gradient per mm.
fn sheet_thickness(position: vec2f, origin: vec2f, axis: vec2f, seed: u32) -> vec3f {
    let q = position + origin;
    let s = vec2f(q.x * axis.x + q.y * axis.y, q.y * axis.x - q.x * axis.y);
    let drift = value_noise(s * DRIFT_PER_MM, seed);
    let streak = value_noise(s * STREAK_PER_MM, seed + 1u);
    let ream = value_noise(s * REAM_PER_MM, seed + 2u);
    let value = DRIFT_SHARE * drift.x + STREAK_SHARE * streak.x + REAM_SHARE * ream.x;
    let slope = DRIFT_SHARE * drift.yz * DRIFT_PER_MM
        + STREAK_SHARE * streak.yz * STREAK_PER_MM
        + REAM_SHARE * ream.yz * REAM_PER_MM;
    return vec3f(value, slope.x * axis.x - slope.y * axis.y, slope.x * axis.y + slope.y * axis.x);
}

struct Behind {
    sky: vec4f,
    fifth: f32,
    ground: f32,
    disc: f32,
}

fn field_texel(x: u32, y: u32, k: u32) -> vec4f {
    return textureLoad(field, vec2u(x * FIELD_TEXELS + k, y), 0);
}

struct Cell {
    near: vec2u,
    far: vec2u,
    share: vec2f,
}

fn field_value(cell: Cell, k: u32) -> vec4f {
    return mix(
        mix(field_texel(cell.near.x, cell.near.y, k), field_texel(cell.far.x, cell.near.y, k), cell.share.x),
        mix(field_texel(cell.near.x, cell.far.y, k), field_texel(cell.far.x, cell.far.y, k), cell.share.x),
        cell.share.y,
    );
}

// What lies behind a point of the panel, with the edges and the column that hold for its bearing.
fn behind_at(seen: vec2f, here: vec4f) -> Behind {
    let last = frame.field_size.xy - vec2f(1.0);
    let at = clamp(vec2f(here.z, (seen.y - frame.field_map.y) * frame.field_map.w), vec2f(0.0), last);
    let corner = min(floor(at), max(last - vec2f(1.0), vec2f(0.0)));
    let near = vec2u(corner);
    let cell = Cell(near, min(near + vec2u(1u), vec2u(last)), at - corner);

    let to_seen = vec3f(seen - frame.eye.xy, -frame.eye.z);
    let distance = length(to_seen);
    let pixel_rad = frame.eye.w / distance;
    // Heights of the edges where the panel cuts the line of sight: tangents, because drivers differ in arcsines.
    let level = length(to_seen.xz);
    let soft_mm = max(frame.eye.w, distance * HORIZON_SOFTNESS_RAD);
    let above = clamp((to_seen.y - vec3f(here.xy, 0.0) * level) / soft_mm + vec3f(0.5), vec3f(0.0), vec3f(1.0));
    let shares = vec3f(above.x, max(above.y - above.x, 0.0), max(above.z - above.y, 0.0));
    let chord = length(to_seen / distance - frame.sun.xyz);
    let disc = clamp((SUN_RADIUS_RAD - chord) / max(pixel_rad, DISC_SOFTNESS_RAD) + 0.5, 0.0, 1.0);
    var sky = field_value(cell, 0u) * shares.x;
    // Most pixels see one layer only.
    if shares.y > 0.0 {
        sky += field_value(cell, 1u) * shares.y;
    }
    if shares.z > 0.0 {
        sky += field_value(cell, 2u) * shares.z;
    }
    return Behind(
        sky,
        dot(field_value(cell, 3u).xyz, shares),
        1.0 - above.z,
        disc * above.y * frame.sun.w,
    );
}

fn bearing_texel(k: f32) -> vec4f {
    return textureLoad(field, vec2u(u32(k), u32(frame.field_size.y)), 0);
}

fn behind(seen: vec2f) -> Behind {
    let across = clamp((seen.x - frame.field_map.x) * frame.field_map.z, 0.0, 1.0) * f32(FIELD_WIDTH - 1u);
    let left = min(floor(across), f32(FIELD_WIDTH - 2u));
    let jump = bearing_texel(left).w;
    let cell_px = 1.0 / (frame.field_map.z * f32(FIELD_WIDTH - 1u) * frame.eye.w);
    let beyond = (across - jump) * cell_px + 0.5;
    let beside = beyond <= 0.0 || beyond >= 1.0;
    if jump < 0.0 || (beside && floor(jump) != left) {
        return behind_at(seen, mix(bearing_texel(left), bearing_texel(left + 1.0), across - left));
    }
    // An upright edge runs through this pixel.
    let share = clamp(beyond, 0.0, 1.0);
    let before = bearing_texel(floor(jump));
    let after = bearing_texel(floor(jump) + 1.0);
    let a = behind_at(seen, before);
    let b = behind_at(seen, after);
    return Behind(
        mix(a.sky, b.sky, share),
        mix(a.fifth, b.fifth, share),
        mix(a.ground, b.ground, share),
        mix(a.disc, b.disc, share),
    );
}

// Cubic through four equidistant nodes at 0, 1, 2, 3.
fn cubic_weights(x: f32) -> vec4f {
    let a = x - 1.0;
    let b = x - 2.0;
    let c = x - 3.0;
    return vec4f(a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0);
}


@fragment
fn fragment_main(in: Corner) -> @location(0) vec4f {
    let table = piece_texel(in.piece, 0u);
    let factors = piece_texel(in.piece, 1u);
    let sheet = piece_texel(in.piece, 2u);
    let place = piece_texel(in.piece, 3u);
    let path = piece_texel(in.piece, 4u);
    let strength = frame.field_size.w;

    let varied = sheet_thickness(in.position, place.xy, sheet.zw, u32(place.w));
    let to_pixel = in.position - frame.eye.xy;
    let across = dot(to_pixel, to_pixel);
    let sine_squared = across / (across + frame.eye.z * frame.eye.z);
    let inner_cosine = sqrt(1.0 - sine_squared * path.y);
    let thickness = factors.x * (1.0 + strength * sheet.x * varied.x) * path.x / inner_cosine;
    let stipple = value_noise(in.position * PAINT_PER_MM, u32(place.w) + 3u).x;
    let paint = factors.y * (1.0 + strength * sheet.y * stipple);

    let seen = in.position + varied.yz * (place.z * strength * frame.eye.z);
    let light = behind(seen);

    let t = cubic_weights(clamp((thickness - table.z) * table.w, 0.0, 3.0));
    let p = cubic_weights(clamp((paint - factors.z) * factors.w, 0.0, 3.0));
    let paint_nodes = u32(table.y);
    var rgb = vec3f(0.0);
    var texel = u32(table.x);
    for (var j = 0u; j < paint_nodes; j++) {
        let share = select(p[j], 1.0, paint_nodes == 1u);
        for (var i = 0u; i < 4u; i++) {
            let w = share * t[i];
            let ground = response_texel(texel + 3u);
            let disc = response_texel(texel + 4u);
            let glow = response_texel(texel + 5u);
            let sky = vec3f(
                dot(response_texel(texel), light.sky),
                dot(response_texel(texel + 1u), light.sky),
                dot(response_texel(texel + 2u), light.sky),
            );
            rgb += w * (sky + vec3f(ground.w, disc.w, glow.w) * light.fifth
                + ground.xyz * light.ground + disc.xyz * light.disc + glow.xyz);
            texel += RESPONSE_TEXELS;
        }
    }
    return vec4f(finite_half(rgb * frame.field_size.z), in.coverage);
}
