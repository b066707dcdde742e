//! The one set of constants that shaders and their CPU twins read.

/// Declares constants for Rust and, in the same breath, for WGSL.
macro_rules! shared {
    ($($(#[$doc:meta])* $name:ident : $kind:tt = $value:expr;)*) => {
        $($(#[$doc])* pub(crate) const $name: shared!(@type $kind) = $value;)*

        /// The same constants as WGSL.
        pub(crate) fn wgsl() -> String {
            let mut text = String::new();
            $(text.push_str(&format!("const {}: {} = {};\n", stringify!($name), shared!(@wgsl_type $kind), shared!(@literal $kind $name)));)*
            text
        }
    };
    (@type f32) => { f32 };
    (@type u32) => { u32 };
    (@type vec2) => { [f32; 2] };
    (@type vec3) => { [f32; 3] };
    (@wgsl_type f32) => { "f32" };
    (@wgsl_type u32) => { "u32" };
    (@wgsl_type vec2) => { "vec2f" };
    (@wgsl_type vec3) => { "vec3f" };
    (@literal f32 $name:ident) => { format!("{:?}", $name) };
    (@literal u32 $name:ident) => { format!("{}u", $name) };
    (@literal vec2 $name:ident) => { format!("vec2f({:?}, {:?})", $name[0], $name[1]) };
    (@literal vec3 $name:ident) => { format!("vec3f({:?}, {:?}, {:?})", $name[0], $name[1], $name[2]) };
}

shared! {
    /// Nodes per pixel of the grid that corners are set on, each way.
    NODES_PER_PIXEL: f32 = 16.0;

    /// Texels across the texture of responses; a multiple of `RESPONSE_TEXELS`.
    RESPONSE_WIDTH: u32 = 1536;
    /// Texels for each node of a response table: four sky spectra for each channel, then ground, sun's disc and
    /// glow, with the fifth sky spectrum's channels in their fourth numbers.
    RESPONSE_TEXELS: u32 = 6;
    /// Pieces in a row of the texture of pieces.
    PIECES_PER_ROW: u32 = 256;
    /// Texels for each piece.
    PIECE_TEXELS: u32 = 5;
    /// Texels across the texture of the direction field, and bearings in its last row.
    FIELD_WIDTH: u32 = 1024;
    /// Texels for each of its nodes: four weights of three layers, then their fifths.
    FIELD_TEXELS: u32 = 4;

    /// Odd constants that spread lattice coordinates over 32 bits, and the two multipliers of the integer mixer
    /// `lowbias32` (Wellons 2018, found by search for least bias).
    HASH_X: u32 = 0x8da6_b343;
    HASH_Y: u32 = 0xd816_3841;
    HASH_SEED: u32 = 0xcb1a_b31f;
    HASH_MIX_1: u32 = 0x7feb_352d;
    HASH_MIX_2: u32 = 0x846c_a68b;

    /// Thickness of a blown sheet: slow drift, streaks along the blowing axis and fine reams; cells per mm along
    /// and across the axis, and the share of each in the sheet's range. Common look, no source.
    DRIFT_PER_MM: vec2 = [1.0 / 310.0, 1.0 / 130.0];
    DRIFT_SHARE: f32 = 0.53;
    STREAK_PER_MM: vec2 = [1.0 / 170.0, 1.0 / 21.0];
    STREAK_SHARE: f32 = 0.38;
    REAM_PER_MM: vec2 = [1.0 / 60.0, 1.0 / 6.5];
    REAM_SHARE: f32 = 0.09;
    /// Brush and stipple of fired paint, cells per mm.
    PAINT_PER_MM: f32 = 0.35;

    /// Narrowest transition between sky and ground, radians.
    HORIZON_SOFTNESS_RAD: f32 = 0.000_5;
    /// The sun's mean angular radius (0.53° across), radians.
    SUN_RADIUS_RAD: f32 = 0.004_63;
    /// Narrowest edge of the sun's disc, radians.
    DISC_SOFTNESS_RAD: f32 = 0.000_4;
    /// Largest number kept in a half-float target.
    HALF_LIMIT: f32 = 32_768.0;

    MATERIAL_LEAD: u32 = 0;
    MATERIAL_BAR: u32 = 1;
    MATERIAL_REVEAL: u32 = 3;
    /// Patina of old lead reflects 0.05–0.15. Assumption of the trade handbook, no measurement.
    LEAD_REFLECTANCE: f32 = 0.10;
    /// Blackened iron; assumption.
    BAR_REFLECTANCE: f32 = 0.07;
    /// Dark stone or plaster; assumption.
    WALL_REFLECTANCE: f32 = 0.2;
    /// Sine of the slope at the edge of a came's face.
    LEAD_ROUNDNESS: f32 = 0.8;
    /// The same for a round bar.
    BAR_ROUNDNESS: f32 = 0.97;
    /// Share of the room's light that comes from everywhere.
    ROOM_AMBIENT: f32 = 0.45;
    /// Unit vector toward the rest: upper left, from the room.
    ROOM_LIGHT: vec3 = [-0.4, 0.566, 0.72];
    /// How much brighter the splay is than the wall where it meets the glass.
    REVEAL_GAIN: f32 = 2.2;
    /// Unevenness of lead's patina and its cells per mm.
    PATINA_SHARE: f32 = 0.25;
    PATINA_PER_MM: f32 = 0.09;

    /// Tone curve: straight up to here, then an exponential shoulder to 1.
    SHOULDER_START: f32 = 0.62;
    /// Beyond this many times white, light begins to lose its colour, and how slowly.
    WHITE_FROM: f32 = 2.0;
    WHITE_OVER: f32 = 14.0;
    /// A pixel is marked when a channel exceeds this,
    CLIP_ABOVE: f32 = 1.002;
    /// or is negative by more than this share of the largest channel (which counts as this much at least);
    CLIP_BELOW: f32 = 0.01;
    CLIP_FLOOR: f32 = 0.05;
    /// the mark grows with the excess, wholly there after the inverse of this: a threshold would be drawn
    /// differently by drivers that round differently.
    CLIP_SLOPE: f32 = 5.0;
}

/// What the constants must keep between them.
const _: () = {
    assert!(RESPONSE_WIDTH.is_multiple_of(RESPONSE_TEXELS));
    assert!(MATERIAL_LEAD == crate::mesh::material::LEAD);
    assert!(MATERIAL_BAR == crate::mesh::material::BAR);
    assert!(MATERIAL_REVEAL == crate::mesh::material::REVEAL);
};
