//! From a line drawing to a leaded panel: pieces of glass, leads, joints and bars.
//!
//! Main types: [`Drawing`], what a document stores; [`Panel`], what is built from it, with its [`Piece`]s and
//! [`LeadLine`]s.
//!
//! All lengths are mm in the panel plane as seen from inside the room: origin at the lower left of the sight
//! size's bounding box, x right, y up.

mod arrange;
mod bars;
mod build;
mod drawing;
mod fault;
mod graph;
mod grid;
mod inset;
mod join;
mod lattice;
mod leads;
mod noding;
mod open_ends;
mod panel;
mod path;
mod pole;
mod polygon;
mod stroke;

pub use build::{CUT_CLEARANCE_MM, HALF_HEART_MM, LeadLength, PanelOptions, panel_from_drawing};

pub use drawing::{
    Bar, COORDINATE_LIMIT_MM, Cutline, DEFAULT_BAR_DIAMETER_MM, DEFAULT_BORDER_FACE_MM,
    DEFAULT_CUTLINE_FACE_MM, Drawing, Line, Outline,
};
pub use fault::{PanelError, PanelFault, PanelNote};
pub use panel::{Joint, LeadLine, Neighbour, OpenEnd, Panel, Piece, SaddleBar};
pub use polygon::Polygon;
