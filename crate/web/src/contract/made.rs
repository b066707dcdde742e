//! What an action came to.

use scene::{ChangeSet, Edit};
use schemars::JsonSchema;
use serde::Serialize;

use super::PieceShape;

/// What an action came to: everything that follows the document follows this.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Made<'a> {
    /// Brings another copy of what is shown in step.
    pub(crate) edit: &'a Edit,
    /// What it touched.
    pub(crate) changes: &'a ChangeSet,
    /// The action as the journal keeps it.
    pub(crate) action: String,
    /// Pieces that are others now than before.
    pub(crate) windows: Vec<ChangedWindow>,
}

/// A window whose pieces are others now than before.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ChangedWindow {
    /// Which window, counted from 0.
    pub(crate) index: usize,
    /// The daylight opening, as in [`super::WindowShapes`].
    pub(crate) opening: String,
    /// Number of its pieces now.
    pub(crate) count: usize,
    /// Runs of pieces that are as they were: where the run begins now, where it began before, how many there are.
    pub(crate) kept: Vec<[usize; 3]>,
    /// The others.
    pub(crate) pieces: Vec<ChangedPiece>,
}

/// A piece that is new, or has another shape or glass than before.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ChangedPiece {
    /// Its place in the list of pieces now.
    pub(crate) index: usize,
    /// What it is now.
    pub(crate) piece: PieceShape,
}
