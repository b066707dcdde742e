//! A window: its drawing and its glazing.

use plane::PanelPoint;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::deposit::Deposits;
use super::makeup::{Face, Makeup};
use super::wall::Wall;

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
    /// Dirt and corrosion on all its glass; pieces may differ.
    #[serde(default, skip_serializing_if = "Deposits::is_empty")]
    pub deposits: Deposits,
    /// The wall around it: the depth of its reveals, an overhang, bars or mesh outside.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall: Option<Wall>,
    /// The drawing: sight size, cutlines and bars.
    pub drawing: Drawing,
    /// The glazing, one entry for every piece of the drawing.
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

/// The line drawing in the panel plane as seen from inside: mm, x right, y up, origin at the lower-left
/// corner of the bounding box of the sight size. Paths are SVG path data.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// The sight size: the daylight opening, one closed path, and the face width of the lead around it (half
    /// of which shows inside the opening).
    pub sight_size: Line,
    /// The lead lines, along the heart of the lead.
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

/// A lead line with the number by which edits refer to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cutline {
    /// Its number, unique in the drawing. It never changes.
    pub id: u32,
    /// SVG path data of the lead's heart, mm.
    pub path: String,
    /// Full face width of the lead.
    #[schemars(range(min = 0.0, max = 100.0))]
    pub width_mm: f64,
}

/// A drawn line and the width of the lead along it.
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
    #[schemars(with = "[f64; 2]")]
    pub at_mm: PanelPoint,
    /// Glass and paint.
    pub makeup: Makeup,
}
