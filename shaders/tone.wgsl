// From scene light to the screen: gamut, tone, encoding.
// Twin: crate/render/src/software/tone.rs

@group(0) @binding(0) var<uniform> tone: Tone;
@group(0) @binding(1) var scene_light: texture_2d<f32>;
@group(0) @binding(2) var blurred: texture_2d<f32>; // half the size

// The curve of sRGB.
fn encode(v: f32) -> f32 {
    let c = clamp(v, 0.0, 1.0);
    let curved = CURVE_SCALE * pow(max(c, CURVE_FROM), 1.0 / CURVE_POWER) - CURVE_OFFSET;
    return select(curved, CURVE_SLOPE * c, c <= CURVE_FROM);
}

// Plain scaling; light that is too bright keeps its chromaticity.
fn colour_true(c: vec3f) -> vec3f {
    let most = max(max(c.x, c.y), max(c.z, 1.0));
    return c / most;
}

// A soft shoulder, white where the light is far beyond it.
fn appearance(c: vec3f, y: f32) -> vec3f {
    let least = min(c.x, min(c.y, c.z));
    let grey = max(y, DARKEST);
    let inside = mix(c, vec3f(grey), clamp(-least / max(grey - least, DARKEST), 0.0, 1.0));
    let most = max(inside.x, max(inside.y, inside.z));
    let over = max(most - SHOULDER_START, 0.0);
    let rolled = min(most, SHOULDER_START) + (1.0 - SHOULDER_START) * (1.0 - exp(-over / (1.0 - SHOULDER_START)));
    let scaled = inside * (rolled / max(most, DARKEST));
    return mix(scaled, vec3f(rolled), 1.0 - exp(-max(most - WHITE_FROM, 0.0) / WHITE_OVER));
}

fn blurred_texel(at: vec2i) -> vec3f {
    return textureLoad(blurred, clamp(at, vec2i(0), vec2i(textureDimensions(blurred)) - vec2i(1)), 0).xyz;
}

// Scene light in the eye: its own share, the light spread from near it, and the veil.
fn seen(light: vec3f, at: vec2i) -> vec3f {
    let c = vec2f(COARSER_ORIGIN) + vec2f(at) * COARSER_STEP;
    let corner = floor(c);
    let share = c - corner;
    let near = vec2i(corner);
    let spread = mix(
        mix(blurred_texel(near), blurred_texel(near + vec2i(1, 0)), share.x),
        mix(blurred_texel(near + vec2i(0, 1)), blurred_texel(near + vec2i(1, 1)), share.x),
        share.y,
    );
    let direct = vec3f(dot(tone.direct_red.xyz, light), dot(tone.direct_green.xyz, light), dot(tone.direct_blue.xyz, light));
    return direct + spread + tone.veil;
}

// Whether a stripe runs through a place.
fn striped(place: i32) -> bool {
    return place % i32(STRIPES_PX) < i32(STRIPE_PX);
}

@fragment
fn fragment_main(@builtin(position) position: vec4f) -> @location(0) vec4f {
    let at = vec2i(position.xy);
    let drawn = at + vec2i(i32(tone.margin_px));
    var lit = textureLoad(scene_light, drawn, 0).xyz;
    if tone.spreads > 0.5 {
        lit = seen(lit, drawn);
    }
    let c = vec3f(dot(tone.to_red.xyz, lit), dot(tone.to_green.xyz, lit), dot(tone.to_blue.xyz, lit));
    let y = dot(tone.luminance, c);
    var shown = colour_true(c);
    if tone.appearance > 0.5 {
        shown = appearance(c, y);
    }
    if tone.mark_clipped > 0.5 {
        // Stripes rise to the right where the light is too bright, fall where the colour is too pure.
        let most = max(c.x, max(c.y, c.z));
        let least = min(c.x, min(c.y, c.z));
        let too_bright = (most - CLIP_ABOVE) * CLIP_SLOPE;
        let too_pure = (-least / max(most, CLIP_FLOOR) - CLIP_BELOW) * CLIP_SLOPE;
        let rising = select(0.0, too_bright, striped(at.x + at.y));
        let falling = select(0.0, too_pure, striped(at.x + (i32(STRIPES_PX) - 1) * at.y));
        let mark = clamp(max(rising, falling), 0.0, 1.0);
        shown = mix(shown, vec3f(clamp(STRIPE_LIGHT - STRIPE_CONTRAST * y, 0.0, 1.0)), mark);
    }
    return vec4f(encode(shown.x), encode(shown.y), encode(shown.z), 1.0);
}
