// Multiplies a level by its share and adds the coarser ones. Twin: crate/render/src/software/spread.rs

fn below_texel(at: vec2i) -> vec3f {
    return textureLoad(other, clamp(at, vec2i(0), vec2i(textureDimensions(other)) - vec2i(1)), 0).xyz;
}

@fragment
fn fragment_main(@builtin(position) position: vec4f) -> @location(0) vec4f {
    let at = vec2i(position.xy);
    let light = textureLoad(own, at, 0).xyz;
    var sum = vec3f(
        dot(spread.to_red.xyz, light),
        dot(spread.to_green.xyz, light),
        dot(spread.to_blue.xyz, light),
    );
    if spread.has_below > 0.5 {
        let c = place(at);
        let corner = floor(c);
        let share = c - corner;
        let near = vec2i(corner);
        sum += mix(
            mix(below_texel(near), below_texel(near + vec2i(1, 0)), share.x),
            mix(below_texel(near + vec2i(0, 1)), below_texel(near + vec2i(1, 1)), share.x),
            share.y,
        );
    }
    return vec4f(sum, 1.0);
}
