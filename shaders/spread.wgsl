// Shared by the two passes of the spread of light in the eye. Twin: crate/render/src/software/spread.rs

@group(0) @binding(0) var<uniform> spread: Spread;
@group(0) @binding(1) var own: texture_2d<f32>;
@group(0) @binding(2) var other: texture_2d<f32>;

// Where a texel lies in the other texture.
fn place(at: vec2i) -> vec2f {
    return spread.origin + vec2f(at) * spread.step;
}
