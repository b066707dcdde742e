//! Edits: every user action is one. [`crate::apply`] carries them out.

use plane::PanelPoint;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::document::{
    Attachment, Bar, ContentHash, Deposits, Drawing, Horizon, Line, Makeup, OwnGlass, Piece,
    ProtectiveGlazing, Reflectance, Room, Site, Sky, Viewer, ViewingPlace, Wall,
};

/// One user action. It sets one part of the scene to a new value; its inverse sets the old value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "edit", rename_all = "snake_case", deny_unknown_fields)]
pub enum Edit {
    /// The scene's name.
    SetName {
        /// The new name.
        #[schemars(length(min = 1, max = 200))]
        name: String,
    },
    /// The scene's note.
    SetNote {
        /// The new text.
        note: String,
    },
    /// Where the building stands.
    SetSite {
        /// The new site.
        site: Site,
    },
    /// The scene's date and time.
    SetAt {
        /// Civil time at the site, `YYYY-MM-DDTHH:MM`.
        at: String,
    },
    /// The sky.
    SetSky {
        /// The new sky.
        sky: Sky,
    },
    /// The ground.
    SetGround {
        /// What it reflects.
        ground: Reflectance,
    },
    /// The horizon.
    SetHorizon {
        /// The new horizon.
        horizon: Horizon,
    },
    /// The room.
    SetRoom {
        /// The new room.
        room: Room,
    },
    /// The position of a window in its wall.
    MoveWindow {
        /// Id of the window.
        window: String,
        /// From the wall's left inside corner to the middle of the sight size.
        centre_x_m: f64,
        /// From the floor to the lower edge of the sight size.
        sill_height_m: f64,
    },
    /// The pane in front of a window.
    SetProtectiveGlazing {
        /// Id of the window.
        window: String,
        /// The new pane; `null` removes it.
        protective_glazing: Option<ProtectiveGlazing>,
    },
    /// Dirt and corrosion on all the glass of a window; pieces that state their own keep it.
    SetDeposits {
        /// Id of the window.
        window: String,
        /// What lies on its faces now.
        deposits: Deposits,
    },
    /// The wall around a window.
    SetWall {
        /// Id of the window.
        window: String,
        /// The new wall; `null` leaves it without depth.
        wall: Option<Box<Wall>>,
    },
    /// One line of a drawing: adds, changes or, with `null`, removes it.
    ///
    /// [`crate::Resolved::apply`] adds the edits that the pieces beside the line need.
    SetLine {
        /// Id of the window.
        window: String,
        /// Number of the line.
        line: u32,
        /// Its path and width now; `null` removes it.
        to: Option<Line>,
        /// Index of an added line in the list of cutlines; at the end if not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<usize>,
    },
    /// The sight size of a window and the lead around it; its pieces follow as for [`Edit::SetLine`].
    SetSightSize {
        /// Id of the window.
        window: String,
        /// The closed path and the face width of the lead.
        sight_size: Line,
    },
    /// The saddle bars of a window.
    SetBars {
        /// Id of the window.
        window: String,
        /// All of them.
        bars: Vec<Bar>,
    },
    /// The entry of one piece: adds, changes or, with `null`, removes it.
    SetPiece {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// Where it lies and what it is made of; `null` removes it.
        to: Option<PieceEntry>,
        /// Index of an added entry in the list of pieces; at the end if not given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        at: Option<usize>,
    },
    /// The point that ties a piece's entry to the drawing.
    MovePiece {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// A point well inside it, panel mm.
        #[schemars(with = "[f64; 2]")]
        at_mm: PanelPoint,
    },
    /// An entire drawing and its glazing: they change together, so that no piece is ever without glass.
    SetDrawing {
        /// Id of the window.
        window: String,
        /// The new drawing.
        drawing: Drawing,
        /// One entry for every piece of it.
        pieces: Vec<Piece>,
    },
    /// Glass and paint of one piece.
    SetMakeup {
        /// Id of the window.
        window: String,
        /// Number of the piece.
        piece: u32,
        /// What it is made of now.
        makeup: Makeup,
    },
    /// A glass of the scene's own: adds, changes or, with `null`, removes it.
    SetGlass {
        /// Its id.
        id: String,
        /// The glass.
        glass: Option<OwnGlass>,
    },
    /// An attachment: added, described anew, or with `null` removed. It belongs to the scene and to no variant.
    SetAttachment {
        /// The hash of its content.
        hash: ContentHash,
        /// What is said of it.
        attachment: Option<Attachment>,
    },
    /// The named places.
    SetPlaces {
        /// All of them.
        places: Vec<ViewingPlace>,
    },
    /// Who looks.
    SetViewer {
        /// The new viewer.
        viewer: Viewer,
    },
    /// The variants.
    SetVariants {
        /// All of them.
        variants: Vec<Variant>,
    },
    /// Several edits as one action: all are applied, or none.
    Together {
        /// In order.
        edits: Vec<Edit>,
    },
}

impl Edit {
    /// Gives cutlines of a window's drawing, by their index, other paths: SVG path data in mm, y up. `None` without any.
    pub fn set_paths(
        window: &str,
        drawing: &Drawing,
        paths: impl IntoIterator<Item = (usize, String)>,
    ) -> Option<Self> {
        let set = |(index, path): (usize, String)| {
            let line = drawing.cutlines.get(index)?;
            let to = Some(Line { path, width_mm: line.width_mm });
            Some(Self::SetLine { window: window.to_owned(), line: line.id, to, at: None })
        };
        let mut edits: Vec<Self> = paths.into_iter().filter_map(set).collect();
        match edits.len() {
            0 | 1 => edits.pop(),
            _ => Some(Self::Together { edits }),
        }
    }

    /// Whether it sets the list of variants.
    pub(crate) fn sets_variants(&self) -> bool {
        match self {
            Self::SetVariants { .. } => true,
            Self::Together { edits } => edits.iter().any(Self::sets_variants),
            _ => false,
        }
    }
}

/// Where a piece lies and what it is made of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PieceEntry {
    /// A point well inside it, panel mm.
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PanelPoint,
    /// Glass and paint.
    pub makeup: Makeup,
}

/// A named set of differences from the scene.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Variant {
    /// Its name, unique.
    #[schemars(length(min = 1, max = 100))]
    pub name: String,
    /// A note; free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The edits that turn the scene into it, in order.
    #[schemars(length(max = 20_000))]
    pub edits: Vec<Edit>,
}
