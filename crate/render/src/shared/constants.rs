//! The single set of constants that shaders and their CPU twins read.

use glam::{Vec2, Vec3};

use crate::shared::layout::Layout as _;
use crate::shared::records::{FieldForward, FieldInner, FieldStone, Forward, Response};

/// The value of a constant.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Value {
    F32(f32),
    U32(u32),
    Vec2(Vec2),
    Vec3(Vec3),
}

impl Value {
    /// Its type and literal in WGSL.
    pub(crate) fn wgsl(self) -> (&'static str, String) {
        match self {
            Self::F32(v) => ("f32", format!("{v:?}")),
            Self::U32(v) => ("u32", format!("{v}u")),
            Self::Vec2(v) => ("vec2f", format!("vec2f({:?}, {:?})", v.x, v.y)),
            Self::Vec3(v) => ("vec3f", format!("vec3f({:?}, {:?}, {:?})", v.x, v.y, v.z)),
        }
    }
}

macro_rules! value {
    (f32 $name:ident) => {
        Value::F32($name)
    };
    (u32 $name:ident) => {
        Value::U32($name)
    };
    (Vec2 $name:ident) => {
        Value::Vec2($name)
    };
    (Vec3 $name:ident) => {
        Value::Vec3($name)
    };
}

/// Declares constants for Rust; [`ALL`] has the same ones for WGSL.
macro_rules! shared {
    ($($(#[$doc:meta])* $name:ident: $kind:ident = $value:expr;)*) => {
        $($(#[$doc])* pub(crate) const $name: $kind = $value;)*

        /// Name and value of each constant. A table, because text written constant by constant is 19 kB of code.
        pub(crate) static ALL: &[(&str, Value)] = &[$((stringify!($name), value!($kind $name)),)*];
    };
}

shared! {
    /// Nodes per pixel, each way, of the grid that corners snap to.
    NODES_PER_PIXEL: f32 = 16.0;

    /// Texels across the texture of responses; a multiple of a response's texels, so that none is split between
    /// rows.
    RESPONSE_WIDTH: u32 = 1536;
    /// Pieces in a row of the texture of pieces.
    PIECES_PER_ROW: u32 = 128;
    /// Texels across the texture of the direction field, and bearings in each of its last rows.
    FIELD_WIDTH: u32 = 1024;
    /// Nodes across and up the grid of what the wall hides.
    STONE_COLUMNS: u32 = 64;
    STONE_ROWS: u32 = 128;
    /// Nodes across and up the grid of light that pieces scatter forward, for each of their widths.
    FORWARD_COLUMNS: u32 = 32;
    FORWARD_ROWS: u32 = 48;
    /// Neighbouring nodes that a cubic passes through: all of a piece's over thickness, all or one over paint, four
    /// of those over the mix.
    CUBIC_NODES: u32 = 4;

    /// Odd constants that spread lattice coordinates over 32 bits; multipliers and shifts of the integer mixer
    /// `lowbias32` (Wellons 2018, found by search for least bias); the number of bits dropped so that the rest is
    /// exact in single precision, and half of the remaining range.
    HASH_X: u32 = 0x8da6_b343;
    HASH_Y: u32 = 0xd816_3841;
    HASH_SEED: u32 = 0xcb1a_b31f;
    HASH_MIX_1: u32 = 0x7feb_352d;
    HASH_MIX_2: u32 = 0x846c_a68b;
    HASH_SHIFT_1: u32 = 16;
    HASH_SHIFT_2: u32 = 15;
    HASH_DROPPED: u32 = 8;
    HASH_HALF: f32 = 8_388_608.0;

    /// Added to a sheet's seed for each of its noises, so that they differ.
    KEY_DRIFT: u32 = 0;
    KEY_BAND: u32 = 1;
    KEY_REAM: u32 = 2;
    KEY_STIPPLE: u32 = 3;
    KEY_WARP: u32 = 4;
    KEY_CLOUD: u32 = 4;
    KEY_HAIR: u32 = 5;
    KEY_FLOW: u32 = 6;
    KEY_ETCH: u32 = 6;
    KEY_FLOW_WARP: u32 = 7;
    KEY_FLOW_FINE: u32 = 8;
    KEY_SEED_SIZE: u32 = 9;
    KEY_SEED_ALONG: u32 = 10;
    KEY_SEED_ACROSS: u32 = 11;
    KEY_RIPPLE: u32 = 12;
    KEY_RIPPLE_SECOND: u32 = 13;
    /// Added for the second order of bubbles.
    KEY_SEED_SECOND: u32 = 20;
    /// Seeds of patterns that are the same for every sheet: leaves, the side of a wood, lead, ground, brush, light
    /// and shade.
    KEY_LEAVES: u32 = 71;
    KEY_LEAVES_FINE: u32 = 72;
    KEY_SIDE: u32 = 73;
    KEY_SIDE_FINE: u32 = 74;
    KEY_PATINA: u32 = 77;
    KEY_GRAIN: u32 = 78;
    KEY_SMEAR: u32 = 79;
    KEY_GROUND: u32 = 81;
    KEY_GROUND_FAR: u32 = 82;
    KEY_HAIRS_LEFT: u32 = 81;
    KEY_HAIRS_RIGHT: u32 = 82;
    KEY_SHADE: u32 = 91;
    KEY_SHADE_FINE: u32 = 92;
    /// How much of a noise remains: the first minus the second times the number of cells that a pixel covers, 0 to
    /// 1.
    NOISE_LEFT: f32 = 1.6;
    NOISE_LEFT_SLOPE: f32 = 2.0;

    /// Thickness of a blown sheet, in places along and across the blowing axis (cells per mm) and shares of the
    /// sheet's range: slow drift, bands, reams (thin strings where drawn-out glass of another batch runs through)
    /// and hair-fine lines. All run along curves: the place across is shifted by up to `WARP_MM`. Common look, no
    /// source.
    DRIFT_PER_MM: Vec2 = Vec2::new(1.0 / 260.0, 1.0 / 105.0);
    DRIFT_SHARE: f32 = 0.38;
    BAND_PER_MM: Vec2 = Vec2::new(1.0 / 150.0, 1.0 / 25.0);
    BAND_SHARE: f32 = 0.36;
    REAM_PER_MM: Vec2 = Vec2::new(1.0 / 170.0, 1.0 / 34.0);
    REAM_SHARE: f32 = 0.18;
    HAIR_PER_MM: Vec2 = Vec2::new(1.0 / 70.0, 1.0 / 3.4);
    HAIR_SHARE: f32 = 0.05;
    WARP_PER_MM: Vec2 = Vec2::new(1.0 / 210.0, 1.0 / 90.0);
    WARP_MM: f32 = 24.0;
    /// A ream lies where its noise is within 1/`REAM_SHARPNESS` of zero; the mean of its profile.
    REAM_SHARPNESS: f32 = 5.5;
    REAM_MEAN: f32 = 0.18;
    /// Finest cells per mm of a ream's profile.
    REAM_FINEST_PER_MM: f32 = 0.16;
    /// How much steeper the steepest places are than cells and shares suggest.
    ROUGH: f32 = 1.2;
    /// Detail fades as its cells shrink to a pixel: complete up to 1 − 1/`FADE_SLOPE` cells per pixel, gone at 1.
    FADE_SLOPE: f32 = 1.6;
    /// How strongly reams and hair-fine lines concentrate and thin the light, as shares of a piece's sheen.
    SHEEN_REAM: f32 = 0.75;
    SHEEN_HAIR: f32 = 0.45;
    /// Streaks and wisps: two orders of flow along the axis, shifted across more than the thickness is, and the
    /// contrast that separates the colours. Common look, no source.
    FLOW_PER_MM: Vec2 = Vec2::new(1.0 / 150.0, 1.0 / 42.0);
    FLOW_FINE_PER_MM: Vec2 = Vec2::new(1.0 / 80.0, 1.0 / 12.0);
    FLOW_FINE_SHARE: f32 = 0.38;
    FLOW_WARP_PER_MM: Vec2 = Vec2::new(1.0 / 120.0, 1.0 / 70.0);
    FLOW_WARP_MM: f32 = 42.0;
    FLOW_CONTRAST: f32 = 1.7;
    /// Unevenness of an etched edge, as a share of the way from a piece's middle to its rim, and its cells per mm.
    ETCH_UNEVEN: f32 = 0.2;
    ETCH_PER_MM: f32 = 0.05;
    /// Seeds: width over length of a cell, of a bubble in it, the second order's scale, and the widest bubble as a
    /// share of its cell.
    SEED_CELL_ASPECT: f32 = 0.55;
    SEED_ASPECT: f32 = 0.45;
    SEED_SECOND: f32 = 2.7;
    SEED_WIDEST: f32 = 0.16;
    /// The narrowest bubble over the widest.
    SEED_NARROWEST: f32 = 0.25;
    /// How near to its middle a bubble begins to take light away, and how near to its rim it covers the sun
    /// (larger: nearer).
    SEED_RIM: f32 = 6.0;
    SEED_COVER: f32 = 4.0;
    /// Where in a bubble the sun glints, in radii along and across, and how sharp that spot is.
    SEED_SPOT: Vec2 = Vec2::new(0.3, -0.35);
    SEED_SPOT_SHARPNESS: f32 = 8.0;
    /// How much light a bubble's middle gathers and its rim loses; how far it turns the view through it, radians at
    /// the rim; the share of the sun's disc that glints from it. Assumptions.
    SEED_GAIN: f32 = 0.42;
    SEED_BEND_RAD: f32 = 0.16;
    SEED_GLINT: f32 = 3e-6;
    /// Rolled texture: cell length over width, and the finer order's scale and share.
    RIPPLE_ASPECT: f32 = 0.7;
    RIPPLE_SECOND: f32 = 2.3;
    RIPPLE_SECOND_SHARE: f32 = 0.35;
    /// How quickly a rolled texture blurs the view as its cells shrink toward the size of a pixel.
    RIPPLE_BLUR: f32 = 2.0;
    /// Stipple of a badger brush: grains, and the clouds they gather in; cells per mm, and the share of each.
    /// Common look, no source.
    STIPPLE_PER_MM: f32 = 1.3;
    STIPPLE_SHARE: f32 = 0.62;
    CLOUD_PER_MM: f32 = 0.24;
    CLOUD_SHARE: f32 = 0.38;
    /// Where matting fades, the least density over the greatest. Assumption: it is never wiped off completely.
    FADE_FLOOR: f32 = 0.2;
    /// Hairs of the brush along the edge of a stroke, cells per mm.
    HAIRS_PER_MM: f32 = 1.1;
    /// How far the edge of a stroke moves outward at most, pixels.
    STROKE_FRINGE_PX: f32 = 0.5;

    /// Narrowest transition between sky and ground, radians.
    HORIZON_SOFTNESS_RAD: f32 = 0.000_5;
    /// The sun's mean angular radius, radians.
    SUN_RADIUS_RAD: f32 = (daylight::SUN_DIAMETER_DEG / 2.0).to_radians() as f32;
    /// Narrowest edge of the sun's disc, radians.
    DISC_SOFTNESS_RAD: f32 = 0.000_4;
    /// Width of the lobe of a piece's glare, the sunlight scattered slightly aside, radians.
    GLARE_RAD: f32 = 0.045;
    /// Exponent at which the bell of a blurred disc counts as zero.
    BELL_END: f32 = 40.0;
    /// Leaves and the gaps between them: cells per radian, the finer order's, and the contrast.
    LEAVES_PER_RAD: f32 = 34.0;
    LEAVES_FINE_PER_RAD: f32 = 95.0;
    LEAVES_CONTRAST: f32 = 2.2;
    LEAVES_FINE_SHARE: f32 = 0.6;
    /// How much of such detail remains: this minus the number of cells over which it is blurred, 0 to 1.
    DETAIL_LEFT: f32 = 1.5;
    /// How far the upright end of a wood deviates, radians.
    SIDE_STRAYS_RAD: f32 = 0.018;
    SIDE_FINE_SHARE: f32 = 0.4;
    /// Ground: its depth below the eye, m; cells of its patches per m, near and far; how much lighter or darker
    /// they are. Assumptions.
    GROUND_BELOW_M: f32 = 2.6;
    GROUND_PER_M: f32 = 0.9;
    GROUND_FAR_PER_M: f32 = 0.16;
    GROUND_UNEVEN: f32 = 0.2;
    /// Share of the near patches; the height, in widths of the blur, below which a patch does not show; the least
    /// downward slope that counts, so that the ground does not reach infinitely far.
    GROUND_SHARE: f32 = 0.5;
    GROUND_SHOWN: f32 = 0.7;
    GROUND_FARTHEST: f32 = 1e-3;
    /// Light and shade on trees and buildings: cells per radian and how much lighter or darker. Assumptions.
    SHADE_PER_RAD: f32 = 11.0;
    SHADE_UNEVEN: f32 = 0.16;
    SHADE_FINE_SHARE: f32 = 0.5;
    /// Largest number kept in a half-float target.
    HALF_LIMIT: f32 = 32_768.0;

    /// The material of a vertex: came, saddle bar, the splay between wall and glass, solder.
    MATERIAL_LEAD: u32 = 0;
    MATERIAL_BAR: u32 = 1;
    MATERIAL_REVEAL: u32 = 3;
    MATERIAL_SOLDER: u32 = 4;
    /// The inner reveal of a wall with depth.
    MATERIAL_INNER: u32 = 5;
    /// Least distance of the eye beyond what it sees of the inner reveal, mm.
    NEAREST_MM: f32 = 2.0;
    /// Patina of old lead reflects 0.05–0.15, cement 0.04, new solder 0.4; a joint of some years lies between.
    /// Assumptions of the trade handbook, no measurement.
    LEAD_REFLECTANCE: f32 = 0.12;
    SOLDER_REFLECTANCE: f32 = 0.34;
    CEMENT_REFLECTANCE: f32 = 0.035;
    /// Blackened iron; assumption.
    BAR_REFLECTANCE: f32 = 0.07;
    /// Dark stone or plaster; assumption.
    WALL_REFLECTANCE: f32 = 0.2;
    /// Sine of the slope at the edge of a came's face, and the share of it that the flattened crown keeps.
    LEAD_ROUNDNESS: f32 = 0.86;
    LEAD_CROWN: f32 = 0.4;
    /// Sine of the steepest slope used for lighting.
    STEEPEST_SLOPE: f32 = 0.98;
    /// The slope at the rim of a joint, and that of a round bar.
    SOLDER_ROUNDNESS: f32 = 0.6;
    BAR_ROUNDNESS: f32 = 0.97;
    /// Line of cement along a came's edge, mm: 0.3–0.6, common practice. It is part of the face, so that the
    /// visible glass stays the same.
    CEMENT_MM: f32 = 0.4;
    /// Narrowest transition between cement and lead, mm.
    CEMENT_SOFTNESS_MM: f32 = 0.15;
    /// Share of the room's light that comes from all directions.
    ROOM_AMBIENT: f32 = 0.25;
    /// Unit vector toward the rest, upper left in the room; and the one half way between it and the viewer.
    ROOM_LIGHT: Vec3 = Vec3::new(-0.4, 0.566, 0.72);
    ROOM_HALF: Vec3 = Vec3::new(-0.2157, 0.3052, 0.9275);
    /// Sheen of dull lead, of smooth solder and of iron, as a share of what each reflects. Common look, no source.
    LEAD_SHEEN: f32 = 0.8;
    SOLDER_SHEEN: f32 = 1.1;
    BAR_SHEEN: f32 = 1.5;
    /// How much brighter the splay is than the wall where it meets the glass.
    REVEAL_GAIN: f32 = 2.2;
    /// Light on the side of the splay turned away from the room's light, relative to the side facing it.
    REVEAL_AVERTED: f32 = 0.4;
    /// Unevenness of lead's patina, cloudy and fine, and their cells per mm.
    PATINA_SHARE: f32 = 0.28;
    PATINA_PER_MM: f32 = 0.09;
    GRAIN_SHARE: f32 = 0.2;
    GRAIN_PER_MM: f32 = 0.9;
    /// The same for solder, smeared with the iron.
    SMEAR_SHARE: f32 = 0.1;
    SMEAR_PER_MM: f32 = 0.45;

    /// Tone curve: linear up to here, then an exponential shoulder to 1.
    SHOULDER_START: f32 = 0.62;
    /// Light begins to lose its colour at this many times white, and how slowly it does.
    WHITE_FROM: f32 = 2.0;
    WHITE_OVER: f32 = 14.0;
    /// Light spread in the eye is capped at this many times white. The sun's disc is thousands of times brighter
    /// and would dazzle: one would see only white. A choice, so that there is a picture.
    SPREAD_LIMIT: f32 = 256.0;
    /// The weights 1 3 3 1 over 8, from which a coarser level is made.
    SPREAD_OUTER: f32 = 0.125;
    SPREAD_INNER: f32 = 0.375;
    /// Where a level's first texel lies among those of the next coarser one, and the step to its next.
    COARSER_ORIGIN: f32 = 0.75;
    COARSER_STEP: f32 = 0.5;
    /// The curve of sRGB. IEC 61966-2-1:1999.
    CURVE_FROM: f32 = 0.003_130_8;
    CURVE_SLOPE: f32 = 12.92;
    CURVE_SCALE: f32 = 1.055;
    CURVE_OFFSET: f32 = 0.055;
    CURVE_POWER: f32 = 2.4;
    /// Least light used as a divisor in ratios.
    DARKEST: f32 = 1e-6;
    /// A pixel is marked if a channel exceeds this,
    CLIP_ABOVE: f32 = 1.002;
    /// or is negative by more than this share of the largest channel (which counts as at least `CLIP_FLOOR`);
    CLIP_BELOW: f32 = 0.01;
    CLIP_FLOOR: f32 = 0.05;
    /// the mark grows with the excess and is complete after 1/`CLIP_SLOPE`. Drivers that round differently would
    /// draw a threshold differently.
    CLIP_SLOPE: f32 = 5.0;
    /// Marks are stripes: their period and width in pixels, and their grey, `STRIPE_LIGHT` minus `STRIPE_CONTRAST`
    /// times the luminance, 0 to 1.
    STRIPES_PX: u32 = 8;
    STRIPE_PX: u32 = 2;
    STRIPE_LIGHT: f32 = 1.5;
    STRIPE_CONTRAST: f32 = 2.0;
}

/// The wall round the window. Shaders draw every material that they do not name as wall.
pub(crate) const MATERIAL_WALL: u32 = 2;

const _: () = assert!(RESPONSE_WIDTH.is_multiple_of(Response::TEXELS));
const _: () = assert!(RESPONSE_WIDTH.is_multiple_of(Forward::TEXELS));
const _: () = assert!(Response::TEXELS.is_multiple_of(Forward::TEXELS));
const _: () = assert!(FieldForward::TEXELS == 1 && FIELD_WIDTH.is_multiple_of(FORWARD_COLUMNS));
const _: () = assert!(FIELD_WIDTH.is_multiple_of(FieldInner::TEXELS));
const _: () = assert!(STONE_COLUMNS * FieldStone::TEXELS <= FIELD_WIDTH);
