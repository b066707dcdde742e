//! The scene at a glance, and the shapes of its windows.

use plane::PagePoint;
use scene::{AttachmentKind, Viewer, ViewingPlace};
use schemars::JsonSchema;
use serde::Serialize;

/// Names, sizes and places of what is shown, and the variants.
#[derive(Serialize, JsonSchema)]
#[schemars(rename = "SceneOverview")]
pub(crate) struct Overview {
    /// The scene's name.
    pub(crate) name: String,
    /// The scene's note; empty if it has none.
    pub(crate) note: String,
    /// The scene's date and time, civil time at the site: `YYYY-MM-DDTHH:MM`, with seconds only if there are any.
    pub(crate) at: String,
    /// The same instant in UTC; null if the time zone does not determine it.
    pub(crate) utc: Option<String>,
    /// IANA time zone of the site.
    pub(crate) time_zone: String,
    /// A note if the clocks change at this hour.
    pub(crate) local_note: Option<String>,
    /// In the scene's order.
    pub(crate) windows: Vec<WindowOverview>,
    /// Named places to view from.
    pub(crate) places: Vec<ViewingPlace>,
    /// The viewer.
    pub(crate) viewer: Viewer,
    /// The attachments of the scene, by name.
    pub(crate) attachments: Vec<AttachedFile>,
    /// The variants of the scene, in its order.
    pub(crate) variants: Vec<VariantName>,
    /// Name of the variant shown; null for the scene as drawn.
    pub(crate) shown: Option<String>,
    /// What the last action could not keep, in sentences: pieces that are gone or new, edits that variants lost.
    pub(crate) notices: Vec<String>,
    /// The sky in a few words.
    pub(crate) sky: String,
    /// What is doubtful about drawing and site, in sentences.
    pub(crate) notes: Vec<String>,
}

/// A window at a glance.
#[derive(Serialize, JsonSchema)]
pub(crate) struct WindowOverview {
    /// Its name in the scene.
    pub(crate) id: String,
    /// Width of the sight size.
    pub(crate) width_mm: f64,
    /// Height of the sight size.
    pub(crate) height_mm: f64,
}

/// An attachment in the list of them.
#[derive(Serialize, JsonSchema)]
pub(crate) struct AttachedFile {
    /// The hash of its content: 64 hexadecimal digits.
    pub(crate) hash: String,
    /// Its file name.
    pub(crate) name: String,
    /// What it is to the scene.
    pub(crate) kind: AttachmentKind,
    /// The media type of its content.
    pub(crate) media_type: String,
    /// Length of its content, bytes.
    pub(crate) bytes: u64,
    /// A few words on it; empty where there are none.
    pub(crate) note: String,
}

/// A variant in the list of variants.
#[derive(Serialize, JsonSchema)]
pub(crate) struct VariantName {
    /// Its name.
    pub(crate) name: String,
    /// Its note; empty if it has none.
    pub(crate) note: String,
    /// The number of differences from the scene as drawn.
    pub(crate) differences: usize,
}

/// The pieces of a window and their shapes, as SVG path data in mm from the upper left corner of its sight size, y
/// down.
#[derive(Serialize, JsonSchema)]
pub(crate) struct WindowShapes {
    /// The daylight opening.
    pub(crate) opening: String,
    /// Row by row from the top left.
    pub(crate) pieces: Vec<PieceShape>,
}

/// A piece and its shape.
#[derive(Serialize, JsonSchema)]
pub(crate) struct PieceShape {
    /// Its number in the window.
    pub(crate) id: u32,
    /// Name of the glass of its innermost plate.
    pub(crate) glass: String,
    /// SVG path data of the part visible between the leads.
    pub(crate) path: String,
    /// A point well inside it: distances from the left and from the top.
    #[schemars(with = "[f64; 2]")]
    pub(crate) centre_mm: PagePoint,
}
