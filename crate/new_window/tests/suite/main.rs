//! New windows: what the page sends and gets.

mod opening;
mod page;
