//! Drawings of windows from files of drawing programs.
//!
//! [`import`] reads an SVG file as such programs write it, finds out which of its layers hold the window's edge, its
//! leads and its bars, and makes a [`panel::Drawing`] of them. What was mended, what is doubtful and what was not
//! understood is listed with its place ([`DrawingFault`]); what each layer was taken as can be overruled
//! ([`ImportOptions::roles`]).
//!
//! [`line_faults`] checks the lines of a drawing that is no file any more, by the same rules, and offers for each open end
//! the line that meets another; [`mend_all`] mends them all.
//!
//! # What is read
//! Any drawing program will do. Layers, groups and shapes may be named (`sight-size`, `cutlines`, `bars`, or what they are
//! called in six languages); where names are missing, stroke, fill and geometry tell what a line is. Leads may be drawn as
//! lines along their hearts, as filled shapes, as one net with holes; or the panes may be drawn, side by side or with gaps.
//! A line's stroke width is the face width of its lead if it is as wide as a lead can be, otherwise the usual one. Bars may
//! be lines or long rectangles. What is painted is left out where geometry tells: strokes too dense for glass between them,
//! filled shapes within one pane (no glass has a hole), and a filled ground under all panes.
//!
//! Sizes are real if the file states a unit; otherwise the window's real width must be given.
//!
//! SVG's y runs down. The drawing's y runs up, and its origin is the lower left of the sight size.
//!
//! # Hostile files
//! Bytes, elements, nesting, references, style rules, segments, length and crossings of lines have limits; nothing recurses,
//! so that no file can exhaust the stack.

mod bars;
mod bridge;
mod chain;
mod check;
mod edge;
mod edge_ring;
mod enclosure;
mod error;
mod fault;
mod import;
mod layer;
mod lead;
mod lead_faces;
mod leads;
mod left_out;
mod limits;
mod line_faults;
mod lines;
mod lost;
mod meeting;
mod mend;
mod named;
mod near;
mod outline;
mod paint;
mod part;
mod picture;
mod recognise;
mod region;
mod repeated;
mod report;
mod role;
mod svg;

pub use error::{ImportError, Place};
pub use fault::{DrawingFault, FaultKind};
pub use import::{Import, ImportOptions, import};
pub use limits::{BYTE_LIMIT, MOST_SIZE_MM};
pub use line_faults::{LEAST_MEND_MM, LineFault, MOST_MEND_MM, Mended, line_faults, mend_all};
pub use mend::MendedLine;
pub use named::TakenLayer;
pub use picture::{PICTURE_ADVICE, picture_format};
pub use report::{DrawingReport, LinesReport, thousandths};
pub use role::Role;
pub use svg::Unit;
