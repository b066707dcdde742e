//! From leads drawn as filled shapes to their centre lines and widths.
//!
//! Drawing programs often give a net of leads as shapes: each lead a ribbon, the whole net one shape with a hole for each
//! pane, or only the panes with gaps between them. [`centre_lines`] and [`between_panes`] find the line along the middle
//! of each lead. Lines that meet share points exactly; leads that continue one another are one line. Main types:
//! [`FilledShape`]; [`CentreLines`] with its [`CentreLine`]s.
//!
//! All lengths are mm in the panel plane. Beside joints, a centre line is found within 0.1 mm; at joints, where shapes
//! leave open how leads cross, within 0.3 mm of how a stroke would have been drawn.
//!
//! How: the lead's boundary is sampled and triangulated; the middles of the triangles' edges across the lead lie on
//! its centre line wherever its sides run alongside each other. From such stretches the lines are carried on into joints
//! and caps.
//!
//! # Out of scope
//! Reading files and flattening curves; which shapes are lead (`panel` reads lines, an importer decides); pieces between
//! the lines (`panel`).

mod border;
mod cap;
mod cells;
mod crossings;
mod curve;
mod cycle;
mod fault;
mod find;
mod follow;
mod gap;
mod holes;
mod joint;
mod line;
mod mesh;
mod mouths;
mod moved;
mod net;
mod options;
mod order;
mod panes;
mod planar;
mod ray;
mod region;
mod room;
mod run;
mod sample;
mod simplify;
mod skeleton;
mod spacing;
mod station;
mod tangle;

// Shapes in.
pub use crossings::check_crossings;
pub use options::{COORDINATE_LIMIT_MM, CentreLineOptions};
pub use region::{FillRule, FilledShape};

// Lines out.
pub use fault::CentreLinesFault;
pub use find::centre_lines;
pub use line::{CentreLine, CentreLines};
pub use panes::between_panes;
