//! The light behind and past reveals, compared with the check data and with laws that hold for every opening.

mod common;
mod glass;
mod laws;
mod room;
mod sun;
