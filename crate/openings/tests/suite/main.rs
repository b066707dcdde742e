//! Windows from measurements: every shape, filling and border builds; counts and areas by hand; impossible numbers.

mod common;
mod counts;
mod every_window;
mod faults;
mod laws;
