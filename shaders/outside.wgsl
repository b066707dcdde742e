// What lies behind a point of the panel: sky, trees and buildings, ground and sun.
// Twin: crate/render/src/software/outside.rs

// Weights of the light columns.
struct Behind {
    sky: vec4f,
    fifth: f32,
    ground: f32,
    disc: f32,
}

// How the world behind a point is seen.
struct Through {
    at: vec2f,    // the point itself
    seen: vec2f,  // the point of the panel whose direction is really seen
    blur: f32,    // how far it is blurred, radians
    glare: f32,   // share of the sun's light scattered slightly aside
    covered: f32, // share of the point covered by a bubble, which hides the sun's disc
}

// A place between four nodes of the field.
struct Cell {
    near: vec2u,
    far: vec2u,
    share: vec2f,
}

fn field_texel(x: u32, y: u32, texel: u32) -> vec4f {
    return textureLoad(field, vec2u(x * FIELD_NODE_TEXELS + texel, y), 0);
}

// One texel of the field's nodes, linear between them.
fn field_value(cell: Cell, texel: u32) -> vec4f {
    return mix(
        mix(field_texel(cell.near.x, cell.near.y, texel), field_texel(cell.far.x, cell.near.y, texel), cell.share.x),
        mix(field_texel(cell.near.x, cell.far.y, texel), field_texel(cell.far.x, cell.far.y, texel), cell.share.x),
        cell.share.y,
    );
}

// Gaps in the leaves, from their mean share: 0 the average, 1 an open gap.
fn leaf_gap(mean: f32, slant: vec2f, soft_rad: f32) -> f32 {
    let coarse = value_noise(slant * LEAVES_PER_RAD, KEY_LEAVES).x;
    let fine = value_noise(slant * LEAVES_FINE_PER_RAD, KEY_LEAVES_FINE).x;
    let n = coarse * clamp(DETAIL_LEFT - soft_rad * LEAVES_PER_RAD, 0.0, 1.0)
        + LEAVES_FINE_SHARE * fine * clamp(DETAIL_LEFT - soft_rad * LEAVES_FINE_PER_RAD, 0.0, 1.0);
    return clamp(LEAVES_CONTRAST * n, -1.0, 1.0) * min(mean, 1.0 - mean) / (1.0 - mean);
}

// How much lighter than average this part of the trees or buildings is.
fn shade_at(slant: vec2f, soft_rad: f32) -> f32 {
    return value_noise(slant * SHADE_PER_RAD, KEY_SHADE).x
        + SHADE_FINE_SHARE * value_noise(slant * LEAVES_PER_RAD, KEY_SHADE_FINE).x
            * clamp(DETAIL_LEFT - soft_rad * LEAVES_PER_RAD, 0.0, 1.0);
}

// How much lighter than average this patch of the ground is.
fn ground_patch(to_seen: vec3f, level: f32, soft_rad: f32) -> f32 {
    let down = max(-to_seen.y, GROUND_FARTHEST * level);
    let at = vec2f(to_seen.x, -to_seen.z) * (GROUND_BELOW_M / down);
    let slant = down / level;
    // Apparent height of a patch of 1 m relative to the blur.
    let shown = slant * slant / (GROUND_BELOW_M * soft_rad);
    return GROUND_SHARE * value_noise(at * GROUND_PER_M, KEY_GROUND).x
            * clamp(shown / GROUND_PER_M - GROUND_SHOWN, 0.0, 1.0)
        + value_noise(at * GROUND_FAR_PER_M, KEY_GROUND_FAR).x
            * clamp(shown / GROUND_FAR_PER_M - GROUND_SHOWN, 0.0, 1.0);
}

// What lies behind a point of the panel, given the values for its bearing.
fn behind_at(through: Through, here: FieldBearing) -> Behind {
    let seen = through.seen;
    let strength = frame.variation;
    let last = frame.field_nodes - vec2f(1.0);
    let row = (seen.y - frame.field_origin_mm.y) * frame.field_rows_per_mm;
    let at = clamp(vec2f(here.column, row), vec2f(0.0), last);
    let corner = min(floor(at), max(last - vec2f(1.0), vec2f(0.0)));
    let near = vec2u(corner);
    let cell = Cell(near, min(near + vec2u(1u), vec2u(last)), at - corner);

    let to_seen = vec3f(seen - frame.eye_mm.xy, -frame.eye_mm.z);
    let distance = length(to_seen);
    let pixel_rad = frame.mm_per_px / distance;
    // Heights of the edges where the line of sight meets the panel: tangents, because drivers differ in arcsines.
    let level = length(to_seen.xz);
    let soft_rad = max(pixel_rad, max(HORIZON_SOFTNESS_RAD, through.blur));
    let edges = vec3f(here.edges + strength * here.detail, 0.0);
    let above = clamp((to_seen.y - edges * level) / (soft_rad * distance) + vec3f(0.5), vec3f(0.0), vec3f(1.0));
    var shares = vec3f(above.x, max(above.y - above.x, 0.0), max(above.z - above.y, 0.0));
    let leaves = select(shares.z, shares.y, here.leaves > 0.0);
    if here.leaves != 0.0 && leaves > 0.0 {
        let gap = strength * leaves * leaf_gap(abs(here.leaves), to_seen.xy / frame.eye_mm.z, soft_rad);
        shares += gap * select(vec3f(0.0, 1.0, -1.0), vec3f(1.0, -1.0, 0.0), here.leaves > 0.0);
    }
    if strength > 0.0 && shares.y + shares.z > 0.0 {
        let shade = 1.0 + strength * SHADE_UNEVEN * shade_at(to_seen.xy / frame.eye_mm.z, soft_rad);
        shares *= vec3f(1.0, shade, shade);
    }
    var ground = 1.0 - above.z;
    if ground > 0.0 && strength > 0.0 {
        ground *= 1.0 + strength * GROUND_UNEVEN * ground_patch(to_seen, level, soft_rad);
    }
    let chord = length(to_seen / distance - frame.toward_sun);
    let edge_rad = max(pixel_rad, DISC_SOFTNESS_RAD);
    let sharp = clamp((SUN_RADIUS_RAD - chord) / edge_rad + 0.5, 0.0, 1.0);
    // A blurred disc is wider and fainter: a bell of the same volume.
    let bell_rad = sqrt(0.5 * SUN_RADIUS_RAD * SUN_RADIUS_RAD + through.blur * through.blur);
    let bell = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (bell_rad * bell_rad)
        * exp(-min(chord * chord / (bell_rad * bell_rad), BELL_END));
    let smeared = clamp(2.0 * through.blur / SUN_RADIUS_RAD, 0.0, 1.0);
    let disc = mix(sharp, bell, smeared) * above.y * (1.0 - through.covered);
    let wide = 1.0 + chord * chord / (GLARE_RAD * GLARE_RAD);
    let lobe = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (GLARE_RAD * GLARE_RAD * wide * wide);
    var sky = vec4f(0.0);
    // Most pixels see only one layer.
    if shares.x != 0.0 {
        sky += field_value(cell, FIELD_NODE_ABOVE) * shares.x;
    }
    if shares.y != 0.0 {
        sky += field_value(cell, FIELD_NODE_BETWEEN) * shares.y;
    }
    if shares.z != 0.0 {
        sky += field_value(cell, FIELD_NODE_BELOW) * shares.z;
    }
    return Behind(
        sky,
        dot(field_value(cell, FIELD_NODE_FIFTHS).xyz, shares),
        ground,
        mix(disc, lobe, through.glare) * frame.sun_shines,
    );
}

fn bearing_texel(k: f32, texel: u32) -> vec4f {
    return textureLoad(field, vec2u(u32(k), u32(frame.field_nodes.y) + texel), 0);
}

fn bearing(k: f32) -> FieldBearing {
    return unpack_field_bearing(bearing_texel(k, FIELD_BEARING_EDGES), bearing_texel(k, FIELD_BEARING_DETAIL));
}

// Interpolates between a bearing and the next.
fn bearing_between(k: f32, share: f32) -> FieldBearing {
    return unpack_field_bearing(
        mix(bearing_texel(k, FIELD_BEARING_EDGES), bearing_texel(k + 1.0, FIELD_BEARING_EDGES), share),
        mix(bearing_texel(k, FIELD_BEARING_DETAIL), bearing_texel(k + 1.0, FIELD_BEARING_DETAIL), share),
    );
}

// What lies beyond the wall.
fn outside(through: Through) -> Behind {
    let last = f32(FIELD_WIDTH - 1u);
    let across = clamp((through.seen.x - frame.field_origin_mm.x) * frame.field_widths_per_mm, 0.0, 1.0) * last;
    let left = min(floor(across), f32(FIELD_WIDTH - 2u));
    let jump = bearing(left).jump;
    // Cells over which an upright edge fades, and how far its outline deviates here.
    let cells = frame.field_widths_per_mm * last;
    let soft = cells * max(frame.mm_per_px, through.blur * frame.eye_mm.z);
    let height = (through.seen.y - frame.eye_mm.y) / frame.eye_mm.z;
    let strays = frame.variation * SIDE_STRAYS_RAD * frame.eye_mm.z * cells
        * (value_noise(vec2f(height * LEAVES_PER_RAD, 0.5), KEY_SIDE).x
            + SIDE_FINE_SHARE * value_noise(vec2f(height * LEAVES_FINE_PER_RAD, 0.5), KEY_SIDE_FINE).x);
    let beyond = (across + strays - jump) / soft + 0.5;
    let beside = (beyond <= 0.0 && across <= jump) || (beyond >= 1.0 && across >= jump);
    if jump < 0.0 || (beside && floor(jump) != left) {
        return behind_at(through, bearing_between(left, across - left));
    }
    // An upright edge runs through this pixel.
    let share = clamp(beyond, 0.0, 1.0);
    let edge = floor(jump);
    let a = behind_at(through, bearing(edge));
    let b = behind_at(through, bearing(edge + 1.0));
    return Behind(
        mix(a.sky, b.sky, share),
        mix(a.fifth, b.fifth, share),
        mix(a.ground, b.ground, share),
        mix(a.disc, b.disc, share),
    );
}
