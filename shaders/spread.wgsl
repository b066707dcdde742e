// Shared by the two passes of the spread of light in the eye. Twin: crate/render/src/spread.rs

struct Spread {
    to_red: vec4f,   // rows of the matrix that gives a level its share
    to_green: vec4f,
    to_blue: vec4f,
    wall: vec4f,     // the wall's light; 1 where texels beyond the edge are taken from the picture of the window
    map: vec4f,      // where a texel lies in the other texture: origin x, y; steps x, y
    flags: vec4f,    // 1 where the other texture is laid over
}

@group(0) @binding(0) var<uniform> spread: Spread;
@group(0) @binding(1) var own: texture_2d<f32>;
@group(0) @binding(2) var other: texture_2d<f32>;

@vertex
fn vertex_main(@builtin(vertex_index) index: u32) -> @builtin(position) vec4f {
    let x = f32(i32(index & 1u) * 4 - 1);
    let y = f32(i32(index >> 1u) * 4 - 1);
    return vec4f(x, y, 0.0, 1.0);
}

fn place(at: vec2i) -> vec2f {
    return spread.map.xy + vec2f(at) * spread.map.zw;
}
