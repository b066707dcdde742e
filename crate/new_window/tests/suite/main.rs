//! New windows: what the page sends and gets.

mod lines;
mod opening;
mod page;
