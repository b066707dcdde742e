//! The result of an action.

use scene::{ChangeSet, Edit};
use schemars::JsonSchema;
use serde::Serialize;

use super::PieceShape;

/// The result of an action, for everything that depends on the document.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Made<'a> {
    /// The edit that updates another copy of what is shown.
    pub(crate) edit: &'a Edit,
    /// What it touched.
    pub(crate) changes: &'a ChangeSet,
    /// The action for the journal.
    pub(crate) action: String,
    /// The pieces that changed.
    pub(crate) windows: Vec<ChangedWindow>,
}

/// A window whose pieces changed.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ChangedWindow {
    /// Which window, counted from 0.
    pub(crate) index: usize,
    /// The daylight opening, as in [`super::WindowShapes`].
    pub(crate) opening: String,
    /// Its number of pieces now.
    pub(crate) count: usize,
    /// Runs of unchanged pieces: where the run begins now, where it began before, how many pieces it has.
    pub(crate) kept: Vec<[usize; 3]>,
    /// The changed pieces.
    pub(crate) pieces: Vec<ChangedPiece>,
}

/// A piece that is new, or whose shape or glass has changed.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ChangedPiece {
    /// Its index in the list of pieces now.
    pub(crate) index: usize,
    /// The piece now.
    pub(crate) piece: PieceShape,
}
