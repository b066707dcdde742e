//! New windows for the page: a drawing is read and looked at ([`check`]), then becomes a scene ([`scene`]).
//!
//! Everything is passed as text, structured data as JSON ([`CheckedDrawing`], [`DrawingOptions`], [`WindowStart`]). What is
//! refused is a list of faults in the form that the page's other modules throw. A fault at [`WIDTH`] asks for the
//! window's real width; it finds [`NO_WIDTH`] there if the file gives none.
//!
//! Out of scope: reading drawings (`drawing_io`) and what a new scene assumes (`scene`).

mod check;
mod contract;
mod fault;
#[cfg(target_arch = "wasm32")]
mod page;
mod start;

pub use check::check;
pub use contract::{
    CheckedDrawing, DrawingLayer, DrawingOptions, DrawingPlace, GroupRole, UsualStart, WindowStart,
};
pub use drawing_io::BYTE_LIMIT;
pub use fault::{NO_WIDTH, WIDTH};
#[cfg(target_arch = "wasm32")]
pub use page::{check_drawing, most_drawing_bytes, scene_of_drawing};
pub use start::scene;
