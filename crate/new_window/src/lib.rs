//! New windows for the page: a drawing is read and looked at ([`check`]), then becomes a scene ([`scene`]). An opening by
//! its measurements is drawn ([`check_opening`]) and becomes one as well ([`scene_of_opening`]). The lines of a window that
//! is open are checked by the rules for drawings ([`check_lines`]).
//!
//! Everything is passed as text, structured data as JSON ([`CheckedDrawing`], [`DrawingOptions`], [`CheckedOpening`],
//! [`Measurements`], [`WindowStart`]). What is refused is a list of faults in the form that the page's other modules
//! throw. A fault at [`WIDTH`] asks for the window's real width; it finds [`NO_WIDTH`] there if the file gives none.
//!
//! Out of scope: reading drawings (`drawing_io`), drawing openings (`openings`) and what a new scene assumes (`scene`).

mod check;
mod contract;
mod fault;
mod line_check;
mod opening;
#[cfg(target_arch = "wasm32")]
mod page;
mod shown;
mod start;
mod width;

pub use check::{check, refuse_picture};
pub use contract::{
    CheckedDrawing, CheckedOpening, DrawingLayer, DrawingOptions, DrawingPlace, DrawnOpening, GroupRole,
    UsualStart, WindowStart,
};
pub use drawing_io::BYTE_LIMIT;
pub use fault::{NO_WIDTH, WIDTH};
pub use line_check::{CheckedLines, LinePlace, check_lines};
pub use opening::{MOST_PIECES, check_opening, scene_of_opening};
pub use openings::Measurements;
#[cfg(target_arch = "wasm32")]
pub use page::{
    check_drawing, check_measurements, check_window_lines, most_drawing_bytes, refuse_picture_file,
    scene_of_drawing, scene_of_measurements, widths_of_drawing,
};
pub use start::scene;
pub use width::drawing_widths;
