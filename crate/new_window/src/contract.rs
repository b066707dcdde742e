//! The JSON that the page and this module exchange.

use drawing_io::{FaultKind, ImportOptions, Role};
use openings::OpeningFault;
use plane::PagePoint;
use scene::{Site, WorkingPlane};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a drawing is to be read.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DrawingOptions {
    /// The real width of the sight size, mm; null for the file's own. In the range of [`CheckedDrawing`].
    pub width_mm: Option<f64>,
    /// Groups that are taken as something else than what was recognised.
    pub roles: Vec<GroupRole>,
    /// The drawing shows the window from outside.
    pub seen_from_outside: bool,
}

impl DrawingOptions {
    pub(crate) fn import(&self) -> ImportOptions {
        ImportOptions {
            width_mm: self.width_mm,
            group_roles: self.roles.iter().map(|one| (one.group, one.taken_as)).collect(),
            seen_from_outside: self.seen_from_outside,
            ..ImportOptions::default()
        }
    }
}

/// What a group of shapes is taken as.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GroupRole {
    /// The group, by the numbers of `DrawingLayer`.
    pub group: usize,
    /// What it is taken as.
    pub taken_as: Role,
}

/// A drawing as it was read.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckedDrawing {
    /// Width of the sight size.
    pub width_mm: f64,
    /// Height of the sight size.
    pub height_mm: f64,
    /// The least and the most that its real width may be, mm.
    pub width_range_mm: [f64; 2],
    /// How many pieces.
    pub pieces: usize,
    /// What each layer was taken as, in the file's order.
    pub layers: Vec<DrawingLayer>,
    /// What should be looked at, from the top.
    pub places: Vec<DrawingPlace>,
    /// What the file does not say and was assumed, in sentences.
    pub assumed: Vec<String>,
    /// The edge of the daylight opening as SVG path data.
    pub outline: String,
    /// All leads inside it as SVG path data.
    pub cutlines: String,
    /// All bars as SVG path data; empty without bars.
    pub bars: String,
    /// What a scene starts with unless it is given.
    pub usual: UsualStart,
}

/// A layer of a drawing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct DrawingLayer {
    /// Its name in the file, or how its lines look where they have no name.
    pub name: String,
    /// What it was taken as.
    pub taken_as: Role,
    /// Its groups of shapes. Empty where it cannot be taken as anything else: the outer edge of a layer of leads.
    pub groups: Vec<usize>,
}

/// A place that should be looked at.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct DrawingPlace {
    /// What it is.
    pub kind: FaultKind,
    /// Where.
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PagePoint,
    /// In words.
    pub words: String,
}

/// What becomes of an opening's measurements.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckedOpening {
    /// The window; null if the measurements are impossible.
    pub drawn: Option<DrawnOpening>,
    /// Why they are impossible; empty if they are not.
    pub faults: Vec<OpeningFault>,
}

/// A window as it is drawn from its measurements.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct DrawnOpening {
    /// Width of the sight size.
    pub width_mm: f64,
    /// Height of the sight size.
    pub height_mm: f64,
    /// Height of the head above the springing line; null without one.
    pub rise_mm: Option<f64>,
    /// Width and height of a whole pane or quarry, which divide the field evenly; null for one piece.
    pub pane_mm: Option<[f64; 2]>,
    /// How many pieces.
    pub pieces: usize,
    /// The visible glass of the piece that shows least, mm².
    pub smallest_mm2: f64,
    /// The edges of the pieces that are as small, as SVG path data; empty if they are at least a third as large as the
    /// middle one of all.
    pub smallest: String,
    /// The edge of the daylight opening as SVG path data.
    pub outline: String,
    /// All leads inside it as SVG path data.
    pub cutlines: String,
    /// All bars as SVG path data; empty without bars.
    pub bars: String,
    /// How many bars.
    pub bar_count: usize,
    /// What a scene starts with unless it is given.
    pub usual: UsualStart,
}

/// What a new scene starts with unless it is given.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct UsualStart {
    /// Where the building stands.
    pub site: Site,
    /// Compass bearing that the outside of the window faces.
    pub facing_deg: f64,
    /// Height of the sill above the floor.
    pub sill_height_m: f64,
    /// Each plane on which light may be wanted at the viewing position, at its usual height. Without one, a person looks
    /// at the window there.
    pub working_planes: Vec<WorkingPlane>,
}

/// What a new scene starts with. What is null is assumed, and the scene's note says so.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WindowStart {
    /// The scene's name.
    pub name: String,
    /// Civil time of the first light, `YYYY-MM-DDTHH:MM`; null for noon at an equinox.
    pub at: Option<String>,
    /// Where the building stands.
    pub site: Option<Site>,
    /// Compass bearing that the outside of the window faces.
    pub facing_deg: Option<f64>,
    /// Height of the sill above the floor.
    pub sill_height_m: Option<f64>,
    /// The plane on which light is wanted at the viewing position; null for a person.
    #[serde(default)]
    pub working_plane: Option<WorkingPlane>,
}
