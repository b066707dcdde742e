//! From a line drawing to a leaded panel: pieces of glass, leads, joints and bars.
//!
//! An SVG file (`drawing_io`) or a document gives a [`Drawing`]: sight size, cutlines and bars, each with its width.
//! [`panel_from_drawing`] joins near misses, finds the pieces between the lines, and insets them by the leads'
//! faces. [`LivePanel`] keeps the panel in step while the drawing is edited. Main types: [`Drawing`]; [`Panel`]
//! with its [`Piece`]s and [`LeadLine`]s.
//!
//! All lengths are mm in the panel plane as seen from inside the room: origin at the lower left of the sight
//! size's bounding box, x right, y up. Light and lead add up to the opening exactly: the part of a
//! piece that is not light is lead. Nothing here depends on the order of a drawing's lines.
//!
//! Points are [`plane::PanelPoint`]s. The compiler refuses a point of the wall or of the room in their place; converted,
//! as below it, each of these compiles:
//!
//! ```compile_fail,E0308
//! use panel::Panel;
//! use plane::WallPoint;
//!
//! fn under(panel: &Panel, sun: WallPoint) -> Option<usize> {
//!     panel.piece_at(sun) // metres of the wall
//! }
//! ```
//!
//! ```
//! use panel::Panel;
//! use plane::{PanelOnWall, WallPoint};
//!
//! fn under(panel: &Panel, placement: PanelOnWall, sun: WallPoint) -> Option<usize> {
//!     panel.piece_at(placement.panel_from_wall(sun))
//! }
//! ```
//!
//! ```compile_fail,E0308
//! use panel::Piece;
//! use plane::RoomPoint;
//!
//! fn middle(piece: &Piece) -> RoomPoint {
//!     piece.interior_point // millimetres of the panel
//! }
//! ```
//!
//! ```
//! use panel::Piece;
//! use plane::{PanelOnWall, RoomPoint};
//!
//! fn middle(piece: &Piece, placement: PanelOnWall) -> RoomPoint {
//!     placement.room_from_panel(piece.interior_point)
//! }
//! ```
//!
//! # Out of scope
//! Which glass a piece is made of, and what light does to it; triangles for drawing it on a screen; the document's
//! file format; files of drawing programs (`drawing_io`).

mod account;
mod arrange;
mod assemble;
mod bars;
mod brush;
mod build;
mod change;
mod drawing;
mod edit;
mod fault;
mod flatten;
mod gap;
mod graph;
mod grid;
mod inset;
mod join;
mod lattice;
mod leads;
mod live;
mod nearby;
mod noding;
mod options;
mod outline;
mod overlap;
mod panel;
mod patch;
mod path;
mod piece;
mod pole;
mod polygon;
mod redraw;
mod rejoin;
mod strips;
mod stroke;
mod tiles;

// The drawing, and reading one.
pub use drawing::{
    Bar, COORDINATE_LIMIT_MM, Cutline, DEFAULT_BAR_DIAMETER_MM, DEFAULT_BORDER_FACE_MM,
    DEFAULT_CUTLINE_FACE_MM, Drawing, Line, Outline,
};

// The panel, and making one.
pub use build::panel_from_drawing;
pub use fault::{PanelError, PanelFault, PanelNote};
pub use options::{CUT_CLEARANCE_MM, HALF_HEART_MM, PanelOptions};
pub use overlap::overlap_area_mm2;
pub use panel::{Joint, LeadLength, LeadLine, Neighbour, OpenEnd, Panel, Piece, SaddleBar};
pub use polygon::Polygon;

// Changing the drawing, and the panel with it.
pub use change::PanelChange;
pub use edit::LineEdit;
pub use live::LivePanel;

// Painting on the glass.
pub use brush::{BrushLine, brush_lines, covered_area_mm2, within};
pub use path::{BadPath, path_ends, read_path, write_path};
