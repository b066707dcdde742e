//! The document: everything a window, its room and its daylight need, as it stands in a scene file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::edit::Edit;

/// The version of the format that this code writes, the first field of every file.
pub const FORMAT_VERSION: u32 = 2;

/// A whole scene. Lengths carry their unit in the name: mm in the panel plane, m in the room and outside;
/// angles in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scene {
    /// Version of the scene format.
    #[schemars(range(min = 2, max = 2))]
    pub clerestory: u32,
    /// What the scene is called on screen and in print.
    #[schemars(length(min = 1, max = 200))]
    pub name: String,
    /// A few words on what it is; free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Where the building stands.
    pub site: Site,
    /// The scene's own hour: civil time at the site, `YYYY-MM-DDTHH:MM` with optional seconds.
    pub at: String,
    /// The sky.
    pub sky: Sky,
    /// What the ground in front of the window reflects.
    pub ground: Reflectance,
    /// What stands between the window and the sky.
    #[serde(default)]
    pub horizon: Horizon,
    /// The room behind the window.
    pub room: Room,
    /// The windows, all in the room's window wall.
    #[schemars(length(min = 1, max = 64))]
    pub windows: Vec<Window>,
    /// Glasses of the scene's own, by id, beside those of the library.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub glasses: BTreeMap<String, OwnGlass>,
    /// Named places to view from; the first is the one shown when nothing else is asked.
    #[schemars(length(min = 1, max = 64))]
    pub places: Vec<ViewingPlace>,
    /// Who looks: how light spreads in the eye.
    #[serde(default, skip_serializing_if = "Viewer::is_usual")]
    pub viewer: Viewer,
    /// Named sets of differences from the scene.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<Variant>,
}

/// Where on Earth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Degrees north of the equator, south negative.
    #[schemars(range(min = -90.0, max = 90.0))]
    pub latitude_deg: f64,
    /// Degrees east of Greenwich, west negative.
    #[schemars(range(min = -180.0, max = 180.0))]
    pub longitude_deg: f64,
    /// Height above the sea, metres.
    #[serde(default)]
    #[schemars(range(min = -500.0, max = 9000.0))]
    pub elevation_m: f64,
    /// IANA time zone, such as `Europe/London`.
    pub time_zone: String,
}

/// The sky over the site.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Sky {
    /// Cloudless, with a spectrum for every direction.
    Clear {
        /// What the air holds; typical values where not given.
        #[serde(default)]
        air: Air,
    },
    /// One of the fifteen CIE general skies (ISO 15469).
    Standard {
        /// Type 1–15.
        #[schemars(range(min = 1, max = 15))]
        cie_type: u8,
        /// Its one spectrum.
        spectrum: SkySpectrum,
        /// Horizontal illuminance from the whole sky, lx; modelled from the sun's height where not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[schemars(range(min = 0.0, max = 100_000.0))]
        diffuse_horizontal_lx: Option<f64>,
    },
    /// Cloud over part or all of the sky.
    Overcast {
        /// Share of the sky covered, 0–1.
        #[schemars(range(min = 0.0, max = 1.0))]
        cloud: f64,
        /// The clear part's air; typical values where not given.
        #[serde(default)]
        air: Air,
    },
}

/// What a standard sky's light is made of.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SkySpectrum {
    /// CIE daylight of this colour temperature, kelvin.
    CctK(#[schemars(range(min = 4000.0, max = 25_000.0))] f64),
    /// The clear sky's diffuse light at the same sun height.
    ClearDiffuse,
}

/// What the air holds. Every field that is not given takes a typical value.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Air {
    /// Aerosol optical depth at 500 nm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 2.0))]
    pub aerosol_depth_500nm: Option<f64>,
    /// Ångström exponent of the aerosol.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 3.0))]
    pub angstrom_exponent: Option<f64>,
    /// Precipitable water, cm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 10.0))]
    pub water_cm: Option<f64>,
    /// Ozone, atm-cm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub ozone_atm_cm: Option<f64>,
}

/// What a surface gives back, by wavelength, diffusely.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Reflectance {
    /// The same share at every wavelength, 0–1.
    Grey(#[schemars(range(min = 0.0, max = 0.98))] f64),
    /// A named material of the list in [`crate::materials`].
    Material(String),
    /// 81 samples, 380–780 nm by 5 nm, each 0–1.
    Samples(#[schemars(length(min = 81, max = 81), inner(range(min = 0.0, max = 0.98)))] Vec<f64>),
}

/// What stands on the horizon as the window sees it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Horizon {
    /// The skyline of buildings and land; joined by straight lines all round; none is a free horizon.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 720))]
    pub skyline: Vec<SkylinePoint>,
    /// What the skyline reflects; a quarter, grey, where not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
    /// Trees, which let light through by season.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 64))]
    pub trees: Vec<Trees>,
}

/// A point of the skyline.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SkylinePoint {
    /// Compass bearing, clockwise from true north.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub bearing_deg: f64,
    /// Height above the horizontal as seen from the window.
    #[schemars(range(min = 0.0, max = 89.0))]
    pub altitude_deg: f64,
}

/// A row of trees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Trees {
    /// Bearing where the row begins, clockwise from true north.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub from_bearing_deg: f64,
    /// Bearing where it ends, going clockwise.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub to_bearing_deg: f64,
    /// Height of the tops above the horizontal.
    #[schemars(range(min = 0.0, max = 89.0))]
    pub altitude_deg: f64,
    /// Share of light that comes through in full leaf, 0–1.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub transmittance_in_leaf: f64,
    /// Share of light that comes through the bare branches, 0–1.
    #[schemars(range(min = 0.0, max = 1.0))]
    pub transmittance_bare: f64,
    /// What they reflect; the material `leaves` where not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reflectance: Option<Reflectance>,
}

/// The room: a box. Seen from inside, facing the window wall: width to the right, height up, depth away from the
/// window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Room {
    /// Width along the window wall.
    #[schemars(range(min = 0.5, max = 200.0))]
    pub width_m: f64,
    /// Floor to ceiling.
    #[schemars(range(min = 0.5, max = 100.0))]
    pub height_m: f64,
    /// From the window wall to the back wall.
    #[schemars(range(min = 0.5, max = 300.0))]
    pub depth_m: f64,
    /// Compass bearing, clockwise from true north, that the outside face of the window wall looks toward.
    #[schemars(range(min = 0.0, max = 360.0))]
    pub facing_deg: f64,
    /// What the six surfaces reflect.
    pub surfaces: Surfaces,
}

/// The six surfaces of the room, left and right as seen facing the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Surfaces {
    /// The wall the window is in.
    pub window_wall: Reflectance,
    /// The wall opposite.
    pub back_wall: Reflectance,
    /// Left, facing the window.
    pub left_wall: Reflectance,
    /// Right, facing the window.
    pub right_wall: Reflectance,
    /// Underfoot.
    pub floor: Reflectance,
    /// Overhead.
    pub ceiling: Reflectance,
}

/// A window in the window wall.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Window {
    /// Its name in the scene, unique.
    #[schemars(length(min = 1, max = 100))]
    pub id: String,
    /// From the wall's left inside corner to the middle of the sight size.
    #[schemars(range(min = 0.0, max = 200.0))]
    pub centre_x_m: f64,
    /// From the floor to the lower edge of the sight size.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub sill_height_m: f64,
    /// A clear pane in front of the leaded one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protective_glazing: Option<ProtectiveGlazing>,
    /// The drawing: sight size, cutlines and bars.
    pub drawing: Drawing,
    /// What is glazed where, one entry for every piece of the drawing.
    #[schemars(length(min = 1, max = 20_000))]
    pub pieces: Vec<Piece>,
}

/// A clear pane outside the leaded one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ProtectiveGlazing {
    /// Its thickness.
    #[schemars(range(min = 1.0, max = 30.0))]
    pub thickness_mm: f64,
    /// Share of light lost to dirt, 0–1; vertical panes lose 0.04–0.08 in half a year.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 0.9))]
    pub dirt: f64,
}

/// The line drawing in the panel plane as seen from inside: mm, x right, y up, origin at the lower-left corner of
/// the sight size's bounding box. Paths are SVG path data.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// The sight size: the daylight opening, one closed path, and the face width of the lead round it (half of
    /// which shows inside the opening).
    pub sight_size: Line,
    /// The lead lines, by the line of their heart.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 50_000))]
    pub cutlines: Vec<Cutline>,
    /// Saddle bars.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 1000))]
    pub bars: Vec<Bar>,
}

/// A saddle bar.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bar {
    /// SVG path data of its axis, mm.
    pub path: String,
    /// Its diameter.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub width_mm: f64,
    /// The side of the glass it stands on.
    #[serde(default, skip_serializing_if = "Face::is_inside")]
    pub side: Face,
}

/// A lead line with the number that edits know it by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cutline {
    /// Its number, unique in the drawing. It stays with the line through every edit.
    pub id: u32,
    /// SVG path data of the lead's heart, mm.
    pub path: String,
    /// Full face width of the lead.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub width_mm: f64,
}

/// A drawn line and the width of the lead that follows it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Line {
    /// SVG path data, mm.
    pub path: String,
    /// Full face width of the lead.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub width_mm: f64,
}

/// One piece of the window.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Piece {
    /// Its number on the cartoon and the rack, unique in the window.
    pub id: u32,
    /// A point well inside it, panel mm: this ties the entry to the drawing.
    pub at_mm: [f64; 2],
    /// Glass and paint.
    pub makeup: Makeup,
}

/// What a piece is made of, from outside to inside.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Makeup {
    /// One plate, or two or three plated, the outermost first.
    #[schemars(length(min = 1, max = 3))]
    pub plates: Vec<Plate>,
    /// What is between plates.
    #[serde(default, skip_serializing_if = "Gap::is_air")]
    pub gap: Gap,
    /// Fired paint, in any order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 32))]
    pub paint: Vec<Paint>,
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
    /// Thickness where this piece was cut.
    #[schemars(range(min = 0.5, max = 40.0))]
    pub thickness_mm: f64,
    /// Which sheet it was cut from: pieces of one glass and one sheet share its drift and streaks.
    #[serde(default)]
    pub sheet: u32,
    /// Share of the flash that etching or abrasion left, 0–1; 1 is untouched. Without effect on unflashed glass.
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
    fn is_inside(&self) -> bool {
        *self == Self::Inside
    }
}

/// One fired layer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Paint {
    /// What it is.
    pub kind: PaintKind,
    /// The side it is fired on.
    #[serde(default)]
    pub face: Face,
    /// Which plate carries it, 0 the outermost.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(range(min = 0, max = 2))]
    pub plate: usize,
    /// Its pigment, for trace and matting; enamel and stain bring their own colour.
    #[serde(default, skip_serializing_if = "Pigment::is_brown")]
    pub pigment: Pigment,
    /// Optical density, base 10, where there is paint: at 560 nm for trace and matting, at its strongest
    /// wavelength for enamel, at 450 nm for silver stain. Of matting that fades it is the density of an even one
    /// that lets as much light through.
    #[schemars(range(min = 0.0, max = 6.0))]
    pub density: f64,
    /// Share of the piece covered, 0–1; all of it where not given. Where there are strokes it follows from them
    /// and is not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub coverage: Option<f64>,
    /// The trace lines as they are drawn, clipped to what is seen of the piece. Only for trace.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 500))]
    pub strokes: Vec<Stroke>,
    /// Over about which length matting grows lighter from the lead toward the middle of the piece; 0 is even. Only
    /// for matting.
    #[serde(default, skip_serializing_if = "is_nought")]
    #[schemars(range(min = 0.0, max = 500.0))]
    pub fade_mm: f64,
    /// How uneven the brush left it, 0 smooth to 1 coarsely stippled. Only for matting.
    #[serde(default = "usual_stipple", skip_serializing_if = "is_usual_stipple")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub stipple: f64,
    /// Which firing it went through, 1 the first.
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

/// Of matting whose stipple is not given. Assumption.
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

/// A line drawn with the brush.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stroke {
    /// SVG path data, mm in the panel plane. An open line is drawn out to a point at both ends.
    pub path: String,
    /// How wide it is.
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

/// A glass of the scene's own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnGlass {
    /// What the studio calls it.
    #[schemars(length(min = 1, max = 200))]
    pub name: String,
    /// The colour family it is sorted under.
    pub family: Family,
    /// Refractive index.
    #[serde(default = "window_glass_index")]
    #[schemars(range(min = 1.3, max = 2.0))]
    pub index: f64,
    /// What it lets through.
    pub colour: GlassColour,
    /// Share of what passes that is scattered, 0–1.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub diffuse_share: f64,
    /// Where the spectrum comes from.
    pub provenance: Provenance,
    /// Relative standard deviation of its absorbance, 0–1; what its provenance gives where not stated.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub uncertainty: Option<f64>,
}

fn window_glass_index() -> f64 {
    1.52
}

/// Colour families of the rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "plain colour names")]
pub enum Family {
    White,
    Grey,
    Yellow,
    Orange,
    Brown,
    Red,
    Pink,
    Purple,
    Violet,
    Blue,
    BlueGreen,
    Green,
}

/// How a glass of the scene's own gets its spectrum.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GlassColour {
    /// Internal transmittance at a thickness.
    Internal(InternalTransmittance),
    /// Colouring ions and colloids with their amounts: weight per cent of oxide, or ppm by volume for colloids.
    Recipe(BTreeMap<String, f64>),
}

/// Internal transmittance at a thickness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InternalTransmittance {
    /// The thickness that the samples hold for.
    #[schemars(range(min = 0.1, max = 100.0))]
    pub thickness_mm: f64,
    /// 81 samples, 380–780 nm by 5 nm, each above 0 and up to 1.
    #[schemars(length(min = 81, max = 81), inner(range(min = 0.000_001, max = 1.0)))]
    pub samples: Vec<f64>,
}

/// Where a spectrum comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// By an instrument.
    Measured,
    /// From a photograph on a light table.
    Photographed,
    /// From a colour under a stated light.
    EstimatedFromColour,
    /// Computed from colouring ions and colloids.
    Recipe,
}

/// A named place to view from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ViewingPlace {
    /// Its name, unique.
    #[schemars(length(min = 1, max = 100))]
    pub name: String,
    /// From the plane of the glass into the room.
    #[schemars(range(min = 0.05, max = 300.0))]
    pub distance_m: f64,
    /// To the right of the first window's middle, as seen facing it; left negative.
    #[serde(default)]
    #[schemars(range(min = -200.0, max = 200.0))]
    pub right_m: f64,
    /// Eye above the floor.
    #[schemars(range(min = 0.05, max = 100.0))]
    pub eye_height_m: f64,
}

/// The viewer's eye, as far as light spreads in it (CIE 135/1-1999): more with age, and more in light eyes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Viewer {
    /// Age.
    #[serde(default = "usual_age_years")]
    #[schemars(range(min = 5.0, max = 100.0))]
    pub age_years: f64,
    /// Pigmentation of the eye: 0 very dark, 0.5 brown, 1 blue, 1.2 very light.
    #[serde(default = "usual_pigmentation")]
    #[schemars(range(min = 0.0, max = 1.2))]
    pub pigmentation: f64,
}

impl Default for Viewer {
    fn default() -> Self {
        Self { age_years: usual_age_years(), pigmentation: usual_pigmentation() }
    }
}

impl Viewer {
    fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

fn usual_age_years() -> f64 {
    40.0
}

fn usual_pigmentation() -> f64 {
    0.5
}

/// A named set of differences from the scene.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    /// Its name, unique.
    #[schemars(length(min = 1, max = 100))]
    pub name: String,
    /// A few words on it; free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The edits that make it out of the scene, in order.
    #[schemars(length(max = 20_000))]
    pub edits: Vec<Edit>,
}
