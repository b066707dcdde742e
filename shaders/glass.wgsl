// Glass: what is seen through a piece, from its response table and the weights of the direction behind it.
// Twin: crate/render/src/software/glass.rs

struct Corner {
    @builtin(position) clip: vec4f,
    @location(0) position: vec2f,
    @location(1) coverage: f32,
    @location(2) brush: vec2f,
    @location(3) @interpolate(flat, either) piece: u32,
}

@vertex
fn vertex_main(in: GlassVertex) -> Corner {
    let moved = in.position + in.fringe * frame.mm_per_px;
    let clip = clip_from_panel(in.position, in.fringe);
    return Corner(clip, moved, in.coverage, moved_brush(in.brush, in.fringe), in.piece);
}

fn piece_at(index: u32) -> Piece {
    return read_piece(vec2u((index % PIECES_PER_ROW) * PIECE_TEXELS, index / PIECES_PER_ROW));
}

fn response_at(node: u32) -> Response {
    let texel = node * RESPONSE_TEXELS;
    return read_response(vec2u(texel % RESPONSE_WIDTH, texel / RESPONSE_WIDTH));
}

fn forward_at(node: u32) -> Forward {
    let texel = node * FORWARD_TEXELS;
    return read_forward(vec2u(texel % RESPONSE_WIDTH, texel / RESPONSE_WIDTH));
}

// Cubic through four equidistant nodes at 0, 1, 2, 3.
fn cubic_weights(x: f32) -> vec4f {
    let a = x - 1.0;
    let b = x - 2.0;
    let c = x - 3.0;
    return vec4f(a * b * c / -6.0, x * b * c / 2.0, x * a * c / -2.0, x * a * b / 6.0);
}

// The state of a piece at one of its points.
struct Local {
    thickness: f32, // factor, including the slanted path
    paint: f32,     // factor
    mix: f32,       // -1 to 1: streak, wisp, remaining flash
    gain: f32,      // how the surface gathers the light
    glint: f32,     // share of the sun's disc that a bubble glints here
    through: Through,
}

fn local(piece: Piece, position: vec2f, brush: vec2f) -> Local {
    let strength = frame.variation;
    let seed = u32(piece.seed);
    let axis = piece.axis;

    let to_pixel = position - frame.eye_mm.xy;
    let across = dot(to_pixel, to_pixel);
    let sine_squared = across / (across + frame.eye_mm.z * frame.eye_mm.z);
    let slanting = piece.inner_cosine / sqrt(1.0 - sine_squared * piece.inverse_n_squared);
    if strength <= 0.0 {
        return Local(piece.thickness * slanting, piece.paint, 0.0, 1.0, 0.0, Through(position, position, 0.0, 0.0, 0.0));
    }

    let q = position + piece.origin_mm;
    let s = vec2f(q.x * axis.x + q.y * axis.y, q.y * axis.x - q.x * axis.y);
    let surface = blown(s, seed);
    var turn = surface.slope * piece.bend;
    var gain = piece.sheen * surface.sheen;
    var blur = piece.haze_rad + ROUGH * surface.rough * piece.bend;
    var glint = 0.0;
    var covered = 0.0;
    if piece.seed_share > 0.0 {
        let a = seeds(s, piece.seed_cell_mm, piece.seed_share, seed);
        let b = seeds(s, piece.seed_cell_mm / SEED_SECOND, piece.seed_share, seed + KEY_SEED_SECOND);
        turn += SEED_BEND_RAD * (a.turn + b.turn);
        gain += SEED_GAIN * (a.gather + b.gather);
        covered = min(a.cover + b.cover, 1.0);
        glint = SEED_GLINT * (a.glint + b.glint);
    }
    if piece.ripple_rad > 0.0 {
        let left = fade(piece.ripple_per_mm * RIPPLE_SECOND);
        let texture = ripple(s, piece.ripple_per_mm, seed);
        turn += piece.ripple_rad * left * texture.xy;
        gain += piece.ripple_sheen * left * texture.z;
        blur += piece.ripple_rad
            * (1.0 - left + left * min(RIPPLE_BLUR * piece.ripple_per_mm * frame.mm_per_px, 1.0));
    }
    var flowing = 0.0;
    if piece.etched > 0.0 {
        flowing = etched(position, piece.middle_mm, piece.per_radius, seed);
    } else if piece.mix_amplitude > 0.0 {
        flowing = flow(s, seed);
    }
    let shift = vec2f(turn.x * axis.x - turn.y * axis.y, turn.x * axis.y + turn.y * axis.x);
    let seen = position + shift * (strength * frame.eye_mm.z);
    let varied = strength * (piece.thickness_amplitude * surface.value - piece.thickness_shift);
    return Local(
        piece.thickness * (1.0 + varied) * slanting,
        piece.paint * paint_density(piece, position, brush, seed),
        clamp(strength * (flowing * piece.mix_amplitude - piece.mix_shift), -1.0, 1.0),
        1.0 + strength * (gain - piece.gain_shift),
        strength * glint,
        Through(position, seen, strength * blur, strength * piece.glare, strength * covered),
    );
}

@fragment
fn fragment_main(in: Corner) -> @location(0) vec4f {
    let piece = piece_at(in.piece);
    let here = local(piece, in.position, in.brush);
    var light = behind(here.through);
    light.disc += here.glint * frame.sun_shines;

    let last = f32(CUBIC_NODES - 1u);
    let t = cubic_weights(clamp((here.thickness - piece.first_thickness) * piece.nodes_per_thickness, 0.0, last));
    let passed = exp2(-here.paint * piece.halvings);
    let p = cubic_weights(clamp((passed - piece.first_paint) * piece.nodes_per_paint, 0.0, last));
    let paint_nodes = u32(piece.paint_nodes);
    // The four nodes around the mix; an even sheet has a node of its own after them.
    let even = frame.variation <= 0.0 && piece.mix_nodes > 1.0;
    let along = (here.mix * 0.5 + 0.5) * (piece.mix_nodes - 1.0);
    let around = clamp(floor(along) - 1.0, 0.0, max(piece.mix_nodes - f32(CUBIC_NODES), 0.0));
    let m = cubic_weights(along - around);
    let first = select(around, piece.mix_nodes, even);
    let mixes = select(min(u32(piece.mix_nodes), CUBIC_NODES), 1u, even);
    let scatters_forward = piece.first_forward > 0.0;
    var scattered = vec4f(0.0);
    if scatters_forward {
        scattered = ahead(piece, here.through.seen);
    }
    var rgb = vec3f(0.0);
    let forwards = u32(piece.first_forward) - u32(piece.first_node);
    var node = u32(piece.first_node) + u32(first) * paint_nodes * CUBIC_NODES;
    for (var k = 0u; k < mixes * paint_nodes; k++) {
        let paint_share = select(p[k % paint_nodes], 1.0, paint_nodes == 1u);
        let share = paint_share * select(m[k / paint_nodes], 1.0, mixes == 1u);
        for (var i = 0u; i < CUBIC_NODES; i++) {
            let w = share * t[i];
            let response = response_at(node);
            let sky = vec3f(dot(response.red, light.sky), dot(response.green, light.sky), dot(response.blue, light.sky));
            let fifth = vec3f(response.fifth_red, response.fifth_green, response.fifth_blue);
            rgb += w * (sky + fifth * light.fifth + response.ground * light.ground + response.disc * light.disc + response.glow);
            if scatters_forward {
                let onward = forward_at(node + forwards);
                rgb += w * vec3f(dot(onward.red, scattered), dot(onward.green, scattered), dot(onward.blue, scattered));
            }
            node += 1u;
        }
    }
    let share = in.coverage * stroke_share(piece, in.position, in.brush);
    return vec4f(finite_half(rgb * (here.gain * frame.exposure)), share);
}
