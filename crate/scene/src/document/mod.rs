//! The document: a window, its room and its daylight, as stored in a scene file.

mod attachment;
mod deposit;
mod glass;
mod lobe;
mod makeup;
mod room;
mod surroundings;
mod wall;
mod window;
mod working_plane;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use crate::edit::Variant;
pub(crate) use attachment::HASH_PATTERN;
pub use attachment::{
    Attachment, AttachmentKind, Attachments, ContentHash, MOST_ATTACHED_BYTES, MOST_ATTACHMENT_BYTES,
    MOST_ATTACHMENTS, MOST_NOTE_CHARACTERS, NoContentHash, is_steering, plain_file_name, quotable,
};
pub use deposit::{Deposit, DepositKind, Deposits};
pub use glass::{
    Family, GlassColour, InternalTransmittance, OwnFlash, OwnGlass, OwnStreak, Provenance, SheetKind,
    SheetThickness, TotalTransmittance,
};
pub use lobe::Lobe;
pub use makeup::{EnamelColour, Face, Gap, Makeup, Paint, PaintKind, Pigment, Plate, StainTone, Stroke};
pub(crate) use makeup::{USUAL_STIPPLE, is_usual_stipple};
pub(crate) use room::MOST_ROOM_HEIGHT_M;
pub use room::{Room, Surfaces, Viewer, ViewingPlace};
pub use surroundings::{
    Air, Block, Horizon, OwnBuilding, Reflectance, Site, Sky, SkySpectrum, SkylinePoint, Trees,
};
pub use wall::{Guard, Overhang, Reveal, Splay, Wall};
pub use window::{Bar, Cutline, Drawing, Line, Piece, ProtectiveGlazing, Window};
pub use working_plane::{WorkingPlane, WorkingPlaneKind};

/// The newest format version that this code reads and writes.
///
/// Version 5 added own building and blocks, the wall around windows, dirt on the glass, how paint and glass scatter and more
/// about own glasses, version 4 working planes and
/// nothing else, version 3 attachments and nothing else: a scene states the oldest version that can hold it, so that
/// older programs still read it.
pub const FORMAT_VERSION: u32 = 5;

/// The version of a scene with an own building or blocks, a wall around a window, with deposits on its glass, with the
/// standard deviation of a plate's thickness, with paint that states how it scatters, or with own glasses that state a total
/// transmittance, a kind, a flash, a second colour, sheets or a lobe.
pub const VERSION_WITH_OUTDOORS: u32 = 5;

/// The version of a scene with working planes and nothing newer.
pub const VERSION_WITH_WORKING_PLANES: u32 = 4;

/// The version of a scene with attachments and without working planes.
pub const VERSION_WITH_ATTACHMENTS: u32 = 3;

/// The version of a scene that has neither.
pub const FIRST_VERSION_WRITTEN: u32 = 2;

/// A scene. Field names of lengths give the unit: mm in the panel plane, m in the room and outside. Angles
/// are in degrees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scene {
    /// Version of the scene format: 5 where the horizon has an own building or blocks, with a wall around a window, deposits on glass, or with more
    /// than a recipe or an internal transmittance of an own glass, otherwise 4 where a position has a working plane,
    /// otherwise 3 where there are attachments, otherwise 2.
    #[schemars(range(min = 2, max = 5))]
    pub clerestory: u32,
    /// Name of the scene, on screen and in print.
    #[schemars(length(min = 1, max = 200))]
    pub name: String,
    /// A note; free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// Where the building stands.
    pub site: Site,
    /// The scene's date and time: civil time at the site, `YYYY-MM-DDTHH:MM` with optional seconds.
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
    /// Glasses of the scene's own, by id, in addition to the library.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub glasses: BTreeMap<String, OwnGlass>,
    /// Named places to view from; the first is the default.
    #[schemars(length(min = 1, max = 64))]
    pub places: Vec<ViewingPlace>,
    /// Who looks: how light spreads in the eye.
    #[serde(default, skip_serializing_if = "Viewer::is_usual")]
    pub viewer: Viewer,
    /// Files that belong to the scene, whatever variant is shown, by the hash of their content. The content lives
    /// outside the scene.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub attachments: Attachments,
    /// Named sets of differences from the scene.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<Variant>,
}
