//! The document: a window, its room, its daylight, and every change to them.
//!
//! - [`Scene`] and its parts (module [`document`]) mirror the file; they are the only types of serde and the
//!   schema. [`read`] reads a file or returns every fault in it; [`write`] writes it; [`SCHEMA`] is the
//!   published JSON schema.
//! - [`Edit`] is one user action; applying it returns its inverse. [`ChangeSet`] lists what it touches, for
//!   everything that depends on the document.
//! - A variant is a list of edits: [`with_variant`] applies them, [`difference`] finds them, [`fit_variants`]
//!   keeps those that still fit a changed scene.
//! - [`OpenScene`] is a scene being edited: one of its variants is shown and built, with undo and redo.
//!   [`Action`] is an entry of its journal.
//! - [`change_pieces`] and [`replace_glass`] turn a change to the make-up of pieces into one edit.
//! - [`check`] checks what the schema cannot: names must exist, be unique and match one another.
//! - [`Weather`] and [`sky_in_words`] name a sky; [`cautions`] lists what is doubtful about a valid scene.
//! - [`resolve`] builds what the physics works with: [`Resolved`], with panels, make-ups and sky;
//!   [`Resolved::apply`] updates it for an edit.
//!
//! Out of scope: files and storage (the command line and the page), light transport (`viewing`, `render`).

mod alike;
mod apply;
mod attachments;
mod cautions;
mod change;
mod changes;
mod check;
mod copied;
mod deposited;
mod difference;
pub mod document;
mod edit;
mod fault;
mod file_size;
mod fit;
mod follow;
mod glazing;
mod history;
mod journal;
mod layers;
mod layout;
pub mod materials;
mod migrate;
mod moves;
mod new_scene;
mod newer;
mod numbered;
mod open_ends;
mod open_scene;
mod outdoors;
mod overlap;
mod own_glass;
mod pieces;
mod read;
mod record;
mod redraw;
mod resolve;
mod resolved;
mod scatter_change;
mod scattering;
mod schema;
mod snow;
mod syntax;
mod typed;
mod usual_wall;
mod variant_action;
mod variants;
mod version;
mod wall;
mod weather;
mod words;

pub use apply::EditError;
pub use cautions::{cautions, deposits_in_words};
pub use change::{Change, Changed, change_pieces, pieces_with_glass, replace_glass};
pub use changes::{
    AtChange, Attaching, AttachmentChange, ChangeSet, MakeupChange, RoomChange, SiteChange, WindowChange,
};
pub use check::check;
pub use difference::difference;
pub use document::*;
pub use edit::{Edit, PieceEntry};
pub use fault::{Fault, Faults};
pub use file_size::{size_found, size_limit};
pub use fit::{LeftOut, fit_variants};
pub use follow::Applied;
pub use glazing::{Brushwork, all_glasses, deposits_of, find_glass};
pub use journal::Action;
pub use layers::{Layer, LayerAt, PaintClass, layers};
pub use moves::can_move;
pub use new_scene::{
    NewScene, USUAL_FACING_DEG, USUAL_SILL_M, USUAL_TIME, USUAL_WALL, new_scene, usual_block, usual_site,
};
pub use open_scene::{Made, OpenScene};
pub use outdoors::assumed_own_height_m;
pub use pieces::PieceNote;
pub use read::{MOST_BYTES, read, read_edit, write};
pub use resolve::{panel_drawing, resolve};
pub use resolved::{Resolved, ResolvedPiece, ResolvedRoom, ResolvedWall, ResolvedWindow};
pub use scatter_change::scattering_of_own;
pub use scattering::scattering_in_words;
pub use schema::{SCHEMA, faults_of};
pub use typed::typed;
pub use usual_wall::{USUAL_LEAF_MM, usual_guards, usual_overhang, usual_reveal};
pub use variant_action::VariantAction;
pub use variants::with_variant;
pub use wall::{USUAL_INNER_REFLECTANCE, USUAL_OUTER_REFLECTANCE};
pub use weather::{STANDARD_SKY_WORDS, Weather, sky_in_words};
