// Glass: what is seen through a piece, by its response table and the weights of the direction behind it.
// Twin: crate/render/src/glass_pass.rs

struct Corner {
    @builtin(position) clip: vec4f,
    @location(0) position: vec2f,
    @location(1) coverage: f32,
    @location(2) brush: vec2f,
    @location(3) @interpolate(flat, either) piece: u32,
}

@vertex
fn vertex_main(
    @location(0) position: vec2f,
    @location(1) fringe: vec2f,
    @location(2) coverage: f32,
    @location(3) brush: vec2f,
    @location(4) piece: u32,
) -> Corner {
    let moved = position + fringe * frame.eye.w;
    return Corner(clip_from_panel(position, fringe), moved, coverage, moved_brush(brush, fringe), piece);
}

fn piece_texel(piece: u32, k: u32) -> vec4f {
    return textureLoad(pieces, vec2u((piece % PIECES_PER_ROW) * PIECE_TEXELS + k, piece / PIECES_PER_ROW), 0);
}

fn response_texel(index: u32) -> vec4f {
    return textureLoad(responses, vec2u(index % RESPONSE_WIDTH, index / RESPONSE_WIDTH), 0);
}

// How much is left of detail of `per_mm` cells.
fn fade(per_mm: f32) -> f32 {
    return clamp((1.0 - per_mm * frame.eye.w) * FADE_SLOPE, 0.0, 1.0);
}

// What the blown surface of a sheet does at a place along and across its axis.
struct Blown {
    value: f32,   // deviation of thickness, about -1 to 1 of its amplitude
    slope: vec2f, // its gradient along and across, per mm
    sheen: f32,   // how the light is gathered, about -1 to 1
    rough: f32,   // how much the slope differs within a pixel, per mm
}

fn blown(s: vec2f, seed: u32) -> Blown {
    let warp = value_noise(s * WARP_PER_MM, seed + 4u);
    let w = vec2f(s.x, s.y + WARP_MM * warp.x);
    let drift = value_noise(w * DRIFT_PER_MM, seed);
    let band = value_noise(w * BAND_PER_MM, seed + 1u);
    let ream = value_noise(w * REAM_PER_MM, seed + 2u);
    let hair = value_noise(w * HAIR_PER_MM, seed + 5u);
    let ream_left = REAM_SHARE * fade(REAM_FINEST_PER_MM);
    let hair_left = HAIR_SHARE * fade(HAIR_PER_MM.y);
    let steep = REAM_SHARPNESS * ream.x;
    let within = max(1.0 - steep * steep, 0.0);
    let profile = within * within - REAM_MEAN;
    let down = -4.0 * within * steep * REAM_SHARPNESS;
    let gradient = DRIFT_SHARE * drift.yz * DRIFT_PER_MM
        + BAND_SHARE * band.yz * BAND_PER_MM
        + ream_left * down * ream.yz * REAM_PER_MM
        + hair_left * hair.yz * HAIR_PER_MM;
    let bent = WARP_MM * warp.yz * WARP_PER_MM;
    return Blown(
        DRIFT_SHARE * drift.x + BAND_SHARE * band.x + ream_left * profile + hair_left * hair.x,
        vec2f(gradient.x + gradient.y * bent.x, gradient.y * (1.0 + bent.y)),
        SHEEN_REAM * (ream_left / REAM_SHARE) * profile + SHEEN_HAIR * (hair_left / HAIR_SHARE) * hair.x,
        REAM_SHARE * REAM_FINEST_PER_MM * min(REAM_FINEST_PER_MM * frame.eye.w, 1.0)
            + HAIR_SHARE * HAIR_PER_MM.y * min(HAIR_PER_MM.y * frame.eye.w, 1.0),
    );
}

// Streaks and wisps, -1 to 1.
fn flow(s: vec2f, seed: u32) -> f32 {
    let w = vec2f(s.x, s.y + FLOW_WARP_MM * value_noise(s * FLOW_WARP_PER_MM, seed + 7u).x);
    let fine = FLOW_FINE_SHARE * fade(FLOW_FINE_PER_MM.y);
    let mixed = value_noise(w * FLOW_PER_MM, seed + 6u).x + fine * value_noise(w * FLOW_FINE_PER_MM, seed + 8u).x;
    return clamp(FLOW_CONTRAST * mixed, -1.0, 1.0);
}

// How far a flash is left on its way from an etched middle (-1) to the rim of its piece (1).
fn etched(position: vec2f, middle: vec2f, per_radius: f32, seed: u32) -> f32 {
    let d = position - middle;
    let uneven = value_noise(position * ETCH_PER_MM, seed + 6u).x;
    let away = clamp(sqrt(d.x * d.x + d.y * d.y) * per_radius + ETCH_UNEVEN * uneven, 0.0, 1.0);
    return 2.0 * away * away * (3.0 - 2.0 * away) - 1.0;
}

// What the bubbles of one order do at a point.
struct Seeds {
    turn: vec2f, // of the view along and across, -1 to 1
    gather: f32, // of the light, about -1 to 1
    glint: f32,  // 0 to 1
    cover: f32,  // 1 inside a bubble, 0 at its rim
}

fn seeds(s: vec2f, cell_mm: f32, share: f32, seed: u32) -> Seeds {
    let wide = cell_mm * SEED_CELL_ASPECT;
    let q = vec2f(s.x / cell_mm, s.y / wide);
    let cell = floor(q);
    let x = i32(cell.x);
    let y = i32(cell.y);
    let size = 0.5 + 0.5 * lattice(x, y, seed + 9u);
    if size >= share {
        return Seeds(vec2f(0.0), 0.0, 0.0, 0.0);
    }
    let scale = size / share;
    let across = SEED_WIDEST * (0.25 + 0.75 * scale * scale);
    let along = across * SEED_CELL_ASPECT / SEED_ASPECT;
    let middle = vec2f(
        0.5 + (0.5 - along) * lattice(x, y, seed + 10u),
        0.5 + (0.5 - across) * lattice(x, y, seed + 11u),
    );
    let d = (q - cell - middle) / vec2f(along, across);
    let out = d.x * d.x + d.y * d.y;
    let left = fade(0.5 / (across * wide));
    if out >= 1.0 || left <= 0.0 {
        return Seeds(vec2f(0.0), 0.0, 0.0, 0.0);
    }
    let inside = (1.0 - out) * left;
    let spot = max(1.0 - 8.0 * ((d.x - 0.3) * (d.x - 0.3) + (d.y + 0.35) * (d.y + 0.35)), 0.0);
    return Seeds(d * inside, inside * (1.0 - 6.0 * out * out), left * spot * spot, min(4.0 * inside, 1.0));
}

// The texture that a roller leaves: slope along and across and height, each about -1 to 1.
fn ripple(s: vec2f, per_mm: f32, seed: u32) -> vec3f {
    let q = vec2f(s.x * per_mm * RIPPLE_ASPECT, s.y * per_mm);
    let a = value_noise(q, seed + 12u);
    let b = value_noise(q.yx * RIPPLE_SECOND, seed + 13u);
    return vec3f(a.y * RIPPLE_ASPECT + RIPPLE_SECOND_SHARE * b.z, a.z + RIPPLE_SECOND_SHARE * b.y, a.x + RIPPLE_SECOND_SHARE * b.x);
}

// What lies behind a point, as weights of the light columns.
struct Behind {
    sky: vec4f,
    fifth: f32,
    ground: f32,
    disc: f32,
}

// How what lies behind is looked at.
struct Through {
    seen: vec2f,  // the point of the panel whose direction is really seen
    blur: f32,    // how far it is smeared, radians
    glare: f32,   // share of the sun's light that goes on a little aside
    covered: f32, // share of the point that a bubble covers: the sun's disc is not seen through it
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

// Gaps in the leaves, from a mean share of gaps: 0 as they are in the mean, 1 an open gap.
fn leaf_gap(mean: f32, slant: vec2f, soft_rad: f32) -> f32 {
    let coarse = value_noise(slant * LEAVES_PER_RAD, 71u).x;
    let fine = value_noise(slant * LEAVES_FINE_PER_RAD, 72u).x;
    let n = coarse * clamp(1.5 - soft_rad * LEAVES_PER_RAD, 0.0, 1.0)
        + 0.6 * fine * clamp(1.5 - soft_rad * LEAVES_FINE_PER_RAD, 0.0, 1.0);
    return clamp(LEAVES_CONTRAST * n, -1.0, 1.0) * min(mean, 1.0 - mean) / (1.0 - mean);
}

// How much lighter than in the mean a part of what stands before the sky is.
fn shade_at(slant: vec2f, soft_rad: f32) -> f32 {
    return value_noise(slant * SHADE_PER_RAD, 91u).x
        + 0.5 * value_noise(slant * LEAVES_PER_RAD, 92u).x * clamp(1.5 - soft_rad * LEAVES_PER_RAD, 0.0, 1.0);
}

// How much lighter than in the mean a patch of the ground is.
fn ground_patch(to_seen: vec3f, level: f32, soft_rad: f32) -> f32 {
    let down = max(-to_seen.y, 1e-3 * level);
    let at = vec2f(to_seen.x, -to_seen.z) * (GROUND_BELOW_M / down);
    let slant = down / level;
    // Height of a patch of 1 m as it is seen, over how far it is smeared.
    let shown = slant * slant / (GROUND_BELOW_M * soft_rad);
    return 0.5 * value_noise(at * GROUND_PER_M, 81u).x * clamp(shown / GROUND_PER_M - 0.7, 0.0, 1.0)
        + value_noise(at * GROUND_FAR_PER_M, 82u).x * clamp(shown / GROUND_FAR_PER_M - 0.7, 0.0, 1.0);
}

// What lies behind a point of the panel, with the edges and the column that hold for its bearing, and their detail.
fn behind_at(through: Through, here: vec4f, detail: vec4f) -> Behind {
    let seen = through.seen;
    let strength = frame.field_size.w;
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
    let soft_rad = max(pixel_rad, max(HORIZON_SOFTNESS_RAD, through.blur));
    let edges = vec3f(here.xy + strength * detail.xy, 0.0);
    let above = clamp((to_seen.y - edges * level) / (soft_rad * distance) + vec3f(0.5), vec3f(0.0), vec3f(1.0));
    var shares = vec3f(above.x, max(above.y - above.x, 0.0), max(above.z - above.y, 0.0));
    let leaves = select(shares.z, shares.y, detail.z > 0.0);
    if detail.z != 0.0 && leaves > 0.0 {
        let gap = strength * leaves * leaf_gap(abs(detail.z), to_seen.xy / frame.eye.z, soft_rad);
        shares += gap * select(vec3f(0.0, 1.0, -1.0), vec3f(1.0, -1.0, 0.0), detail.z > 0.0);
    }
    if strength > 0.0 && shares.y + shares.z > 0.0 {
        let shade = 1.0 + strength * SHADE_UNEVEN * shade_at(to_seen.xy / frame.eye.z, soft_rad);
        shares *= vec3f(1.0, shade, shade);
    }
    var ground = 1.0 - above.z;
    if ground > 0.0 && strength > 0.0 {
        ground *= 1.0 + strength * GROUND_UNEVEN * ground_patch(to_seen, level, soft_rad);
    }
    let chord = length(to_seen / distance - frame.sun.xyz);
    let edge_rad = max(pixel_rad, DISC_SOFTNESS_RAD);
    let sharp = clamp((SUN_RADIUS_RAD - chord) / edge_rad + 0.5, 0.0, 1.0);
    // A smeared disc is wider and fainter: a bell of the same volume.
    let bell_rad = sqrt(0.5 * SUN_RADIUS_RAD * SUN_RADIUS_RAD + through.blur * through.blur);
    let bell = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (bell_rad * bell_rad)
        * exp(-min(chord * chord / (bell_rad * bell_rad), 40.0));
    let smeared = clamp(2.0 * through.blur / SUN_RADIUS_RAD, 0.0, 1.0);
    let disc = mix(sharp, bell, smeared) * above.y * (1.0 - through.covered);
    let wide = 1.0 + chord * chord / (GLARE_RAD * GLARE_RAD);
    let lobe = SUN_RADIUS_RAD * SUN_RADIUS_RAD / (GLARE_RAD * GLARE_RAD * wide * wide);
    var sky = vec4f(0.0);
    // Most pixels see one layer only.
    if shares.x != 0.0 {
        sky += field_value(cell, 0u) * shares.x;
    }
    if shares.y != 0.0 {
        sky += field_value(cell, 1u) * shares.y;
    }
    if shares.z != 0.0 {
        sky += field_value(cell, 2u) * shares.z;
    }
    return Behind(
        sky,
        dot(field_value(cell, 3u).xyz, shares),
        ground,
        mix(disc, lobe, through.glare) * frame.sun.w,
    );
}

// The bearings' edges and columns, then their detail.
fn bearing_texel(k: f32, row: u32) -> vec4f {
    return textureLoad(field, vec2u(u32(k), u32(frame.field_size.y) + row), 0);
}

fn behind(through: Through) -> Behind {
    let across = clamp((through.seen.x - frame.field_map.x) * frame.field_map.z, 0.0, 1.0) * f32(FIELD_WIDTH - 1u);
    let left = min(floor(across), f32(FIELD_WIDTH - 2u));
    let before = bearing_texel(left, 0u);
    let jump = before.w;
    // Cells over which an upright edge fades, and how far its outline strays here.
    let cells = frame.field_map.z * f32(FIELD_WIDTH - 1u);
    let soft = cells * max(frame.eye.w, through.blur * frame.eye.z);
    let height = (through.seen.y - frame.eye.y) / frame.eye.z;
    let strays = frame.field_size.w * SIDE_STRAYS_RAD * frame.eye.z * cells
        * (value_noise(vec2f(height * LEAVES_PER_RAD, 0.5), 73u).x
            + 0.4 * value_noise(vec2f(height * LEAVES_FINE_PER_RAD, 0.5), 74u).x);
    let beyond = (across + strays - jump) / soft + 0.5;
    let beside = (beyond <= 0.0 && across <= jump) || (beyond >= 1.0 && across >= jump);
    if jump < 0.0 || (beside && floor(jump) != left) {
        return behind_at(
            through,
            mix(before, bearing_texel(left + 1.0, 0u), across - left),
            mix(bearing_texel(left, 1u), bearing_texel(left + 1.0, 1u), across - left),
        );
    }
    // An upright edge runs through this pixel.
    let share = clamp(beyond, 0.0, 1.0);
    let edge = floor(jump);
    let a = behind_at(through, bearing_texel(edge, 0u), bearing_texel(edge, 1u));
    let b = behind_at(through, bearing_texel(edge + 1.0, 0u), bearing_texel(edge + 1.0, 1u));
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

// What a piece is at one of its points.
struct Local {
    thickness: f32, // factor, the slanting way included
    paint: f32,     // factor
    mix: f32,       // -1 to 1: streak, wisp, flash left
    gain: f32,      // how the surface gathers the light
    glint: f32,     // share of the sun's disc that a bubble throws here
    through: Through,
}

fn local(piece: u32, position: vec2f, brush: vec2f) -> Local {
    let factors = piece_texel(piece, 1u);
    let sheet = piece_texel(piece, 2u);
    let place = piece_texel(piece, 3u);
    let path = piece_texel(piece, 4u);
    let mixing = piece_texel(piece, 5u);
    let bubbles = piece_texel(piece, 6u);
    let rolled = piece_texel(piece, 7u);
    let etching = piece_texel(piece, 8u);
    let strength = frame.field_size.w;
    let seed = u32(place.w);
    let axis = sheet.zw;

    let to_pixel = position - frame.eye.xy;
    let across = dot(to_pixel, to_pixel);
    let sine_squared = across / (across + frame.eye.z * frame.eye.z);
    let slanting = path.x / sqrt(1.0 - sine_squared * path.y);
    if strength <= 0.0 {
        return Local(factors.x * slanting, factors.y, 0.0, 1.0, 0.0, Through(position, 0.0, 0.0, 0.0));
    }

    let q = position + place.xy;
    let s = vec2f(q.x * axis.x + q.y * axis.y, q.y * axis.x - q.x * axis.y);
    let surface = blown(s, seed);
    var turn = surface.slope * place.z;
    var gain = bubbles.x * surface.sheen;
    var blur = rolled.w + ROUGH * surface.rough * place.z;
    var glint = 0.0;
    var covered = 0.0;
    if bubbles.z > 0.0 {
        let a = seeds(s, bubbles.y, bubbles.z, seed);
        let b = seeds(s, bubbles.y / SEED_SECOND, bubbles.z, seed + 20u);
        turn += SEED_BEND_RAD * (a.turn + b.turn);
        gain += SEED_GAIN * (a.gather + b.gather);
        covered = min(a.cover + b.cover, 1.0);
        glint = SEED_GLINT * (a.glint + b.glint);
    }
    if rolled.x > 0.0 {
        let left = fade(rolled.y * RIPPLE_SECOND);
        let texture = ripple(s, rolled.y, seed);
        turn += rolled.x * left * texture.xy;
        gain += rolled.z * left * texture.z;
        blur += rolled.x * (1.0 - left + left * min(2.0 * rolled.y * frame.eye.w, 1.0));
    }
    var flowing = 0.0;
    if etching.w > 0.0 {
        flowing = etched(position, etching.xy, etching.z, seed);
    } else if mixing.y > 0.0 {
        flowing = flow(s, seed);
    }
    let painted = piece_texel(piece, 9u);
    let shift = vec2f(turn.x * axis.x - turn.y * axis.y, turn.x * axis.y + turn.y * axis.x);
    return Local(
        factors.x * (1.0 + strength * (sheet.x * surface.value - mixing.w)) * slanting,
        factors.y * paint_density(position, brush, painted, sheet.y, seed),
        clamp(strength * (flowing * mixing.y - mixing.z), -1.0, 1.0),
        1.0 + strength * (gain - bubbles.w),
        strength * glint,
        Through(position + shift * (strength * frame.eye.z), strength * blur, strength * path.z, strength * covered),
    );
}

@fragment
fn fragment_main(in: Corner) -> @location(0) vec4f {
    let table = piece_texel(in.piece, 0u);
    let factors = piece_texel(in.piece, 1u);
    let path = piece_texel(in.piece, 4u);
    let painted = piece_texel(in.piece, 9u);
    let here = local(in.piece, in.position, in.brush);
    var light = behind(here.through);
    light.disc += here.glint * frame.sun.w;

    let t = cubic_weights(clamp((here.thickness - table.z) * table.w, 0.0, 3.0));
    let p = cubic_weights(clamp((exp2(-here.paint * path.w) - factors.z) * factors.w, 0.0, 3.0));
    let paint_nodes = u32(table.y);
    let mix_nodes = piece_texel(in.piece, 5u).x;
    // The four nodes of the mix that lie around it.
    let along = (here.mix * 0.5 + 0.5) * (mix_nodes - 1.0);
    let first = clamp(floor(along) - 1.0, 0.0, max(mix_nodes - 4.0, 0.0));
    let m = cubic_weights(along - first);
    let mixes = min(u32(mix_nodes), 4u);
    var rgb = vec3f(0.0);
    var texel = u32(table.x) + u32(first) * paint_nodes * (4u * RESPONSE_TEXELS);
    for (var k = 0u; k < mixes * paint_nodes; k++) {
        let paint_share = select(p[k % paint_nodes], 1.0, paint_nodes == 1u);
        let share = paint_share * select(m[k / paint_nodes], 1.0, mixes == 1u);
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
    let share = in.coverage * stroke_share(in.position, in.brush, painted);
    return vec4f(finite_half(rgb * (here.gain * frame.field_size.z)), share);
}
