//! From measurements to a line drawing: a new leaded window without a drawing of one's own.
//!
//! An [`Opening`] (rectangle, round-headed, pointed, segmental or round) is filled with one piece, with rectangles or
//! with quarries ([`Filling`]), with or without a [`Border`] and saddle [`Bars`]. [`drawing`] gives the
//! [`panel::Drawing`], from which [`panel::panel_from_drawing`] makes a panel without faults or repairs.
//! [`Measurements`] holds all of it, for files and messages.
//!
//! All lengths are mm in the panel plane, those of pieces between the leads' centre lines. Every drawing is
//! symmetrical about the upright axis. Arcs are SVG arcs, divided where other lines end on them.
//!
//! ```
//! use openings::Measurements;
//! use panel::{PanelOptions, panel_from_drawing};
//!
//! let text = r#"{
//!     "opening": {"shape": "pointed", "width_mm": 600, "height_mm": 1500},
//!     "filling": {"pattern": "quarries", "width_mm": 100, "height_mm": 140},
//!     "border": {"width_mm": 40},
//!     "bars": {}
//! }"#;
//! let window: Measurements = serde_json::from_str(text).unwrap();
//! let panel = panel_from_drawing(&window.drawing().unwrap(), &PanelOptions::default()).unwrap();
//! assert!(panel.notes.is_empty() && panel.open_ends.is_empty());
//! ```
//!
//! # Offcuts
//! Where an arch cuts the lattice, small remnants arise. One narrower than 15 mm ([`OFFCUT_MM`]), or than a fifth of its
//! length, is joined with a neighbour: the stretch of lead between them is left out, provided that the two together are
//! convex, so that no lead ends loose and no piece has a notch (`offcut`, `division`). Leads that reach the edge with no
//! glass between them meet there at one point, as do those that all but meet a corner or a lead of the border
//! (`cutlines`). A remnant that fits no neighbour remains, mostly in the point of a steep arch between flat, wide
//! quarries. The drawing is made into a panel once, as a check: if its leads cover a piece, that is a fault.
//!
//! # Out of scope
//! Pieces, light and lead of the panel (`panel`); glass (`scene`); tracery, several lights in one frame, other patterns.

mod bars;
mod border;
mod convex;
mod cutlines;
mod division;
mod fault;
mod filling;
mod lattice;
mod leads;
mod offcut;
mod opening;
mod ring;
mod shape;
mod text;
mod window;

// The measurements.
pub use bars::{Bars, DEFAULT_BAR_SPACING_MM};
pub use border::{Border, DEFAULT_BORDER_PIECE_MM};
pub use filling::Filling;
pub use leads::Leads;
pub use opening::{LEAST_OPENING_MM, MOST_OPENING_MM, Opening};
pub use window::Measurements;

// The drawing, or what is wrong with them.
pub use fault::{OpeningFault, OpeningFaults};
pub use offcut::OFFCUT_MM;
pub use window::{Drawn, PIECE_LIMIT, drawing};
