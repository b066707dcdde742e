//! What a piece is made of: plates and fired paint.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::deposit::Deposits;
use super::lobe::Lobe;

/// What a piece is made of, from outside to inside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Makeup {
    /// One to three plates, the outermost first.
    #[schemars(length(min = 1, max = 3))]
    pub plates: Vec<Plate>,
    /// What lies between plates.
    #[serde(default, skip_serializing_if = "Gap::is_air")]
    pub gap: Gap,
    /// Fired paint, in any order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 32))]
    pub paint: Vec<Paint>,
    /// Dirt and corrosion on this piece, where it differs from the window's.
    #[serde(default, skip_serializing_if = "Deposits::is_empty")]
    pub deposits: Deposits,
}

/// What lies between the plates of a plated piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Gap {
    /// A thin gap of air, reflecting between the plates.
    #[default]
    Air,
    /// Optical contact: cemented or fused.
    Contact,
}

impl Gap {
    fn is_air(&self) -> bool {
        *self == Self::Air
    }
}

/// One pane of a piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Plate {
    /// Id of a glass of the library or of the scene's own.
    pub glass: String,
    /// Thickness of the sheet where this piece was cut.
    #[schemars(range(min = 0.5, max = 40.0))]
    pub thickness_mm: f64,
    /// Standard deviation of that thickness, mm, such as that of the tool it was measured with or of a map of the sheet. If
    /// not given, that of a typed thickness, or of its sheets' range where it is their usual one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10.0))]
    pub thickness_sd_mm: Option<f64>,
    /// The sheet it was cut from: pieces cut from one sheet of a glass share its drift and streaks.
    #[serde(default)]
    pub sheet: u32,
    /// Share of the flash left by etching or abrasion, 0–1; 1 is untouched. It has no effect on unflashed
    /// glass.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub flash_left: f64,
    /// The side the flash is on.
    #[serde(default, skip_serializing_if = "Face::is_inside")]
    pub flash_face: Face,
}

fn one() -> f64 {
    1.0
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    clippy::float_cmp,
    reason = "the form serde asks for; exactly untouched"
)]
fn is_one(value: &f64) -> bool {
    *value == 1.0
}

/// A side of a pane.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Face {
    /// Toward the weather.
    Outside,
    /// Toward the room.
    #[default]
    Inside,
}

impl Face {
    pub(super) fn is_inside(&self) -> bool {
        *self == Self::Inside
    }
}

/// One fired layer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Paint {
    /// Its kind.
    pub kind: PaintKind,
    /// The side it is fired on.
    #[serde(default)]
    pub face: Face,
    /// The plate that carries it; 0 is the outermost.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(range(min = 0, max = 2))]
    pub plate: usize,
    /// Its pigment, for trace and matting; enamel and stain bring their own colour.
    #[serde(default, skip_serializing_if = "Pigment::is_brown")]
    pub pigment: Pigment,
    /// Optical density, base 10, where there is paint: at 560 nm for trace and matting, at its strongest
    /// wavelength for enamel, at 450 nm for silver stain. For fading matting, the density of even matting
    /// that lets through as much light.
    #[schemars(range(min = 0.0, max = 6.0))]
    pub density: f64,
    /// Share of the piece covered, 0–1; all of it if not given. With strokes it is computed from them and
    /// must not be given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub coverage: Option<f64>,
    /// The trace lines as drawn, clipped to the visible part of the piece. Only for trace.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 500))]
    pub strokes: Vec<Stroke>,
    /// Approximate length over which matting becomes lighter from the lead toward the middle of the piece; 0
    /// is even. Only for matting.
    #[serde(default, skip_serializing_if = "is_nought")]
    #[schemars(range(min = 0.0, max = 500.0))]
    pub fade_mm: f64,
    /// Unevenness left by the brush, 0 smooth to 1 coarsely stippled. Only for matting.
    #[serde(default = "usual_stipple", skip_serializing_if = "is_usual_stipple")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub stipple: f64,
    /// Share of the passing light that it scatters, 0–1, at the usual density of its kind; more where it is denser. Usual
    /// for its kind if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub scatters: Option<f64>,
    /// The lobe of the light that it scatters; usual for its kind if nothing is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lobe: Option<Box<Lobe>>,
    /// The firing it went through; 1 is the first.
    #[serde(default = "first_firing")]
    #[schemars(range(min = 1, max = 20))]
    pub firing: u32,
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
fn is_zero(value: &usize) -> bool {
    *value == 0
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
fn is_nought(value: &f64) -> bool {
    value.abs() <= 0.0
}

/// Stipple of matting if not given. Assumption.
pub(crate) const USUAL_STIPPLE: f64 = 0.3;

fn usual_stipple() -> f64 {
    USUAL_STIPPLE
}

#[allow(
    clippy::trivially_copy_pass_by_ref,
    clippy::float_cmp,
    reason = "the form serde asks for; exactly what is assumed where nothing is given"
)]
pub(crate) fn is_usual_stipple(value: &f64) -> bool {
    *value == USUAL_STIPPLE
}

/// A brush line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stroke {
    /// SVG path data, mm in the panel plane. An open line tapers to a point at both ends.
    pub path: String,
    /// Its width.
    #[schemars(range(min = 0.1, max = 50.0))]
    pub width_mm: f64,
}

fn first_firing() -> u32 {
    1
}

/// Kinds of fired paint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PaintKind {
    /// Near-opaque line.
    Trace,
    /// Thin shading.
    Matting,
    /// A transparent colour fired on.
    Enamel(EnamelColour),
    /// Silver stain, on the outside face.
    Stain(StainTone),
}

/// Colours of enamel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "plain colour names")]
pub enum EnamelColour {
    Blue,
    Turquoise,
    Green,
    Purple,
    Rose,
    Yellow,
}

/// Tones of silver stain, by the size of the silver particles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "plain colour names")]
pub enum StainTone {
    Lemon,
    Gold,
    Amber,
}

/// Pigments of trace and matting paint.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Pigment {
    /// Neutral black.
    Black,
    /// Warm brown.
    #[default]
    Brown,
    /// Reddish.
    Sanguine,
}

impl Pigment {
    #[allow(clippy::trivially_copy_pass_by_ref, reason = "the form serde asks for")]
    fn is_brown(&self) -> bool {
        *self == Self::Brown
    }
}
