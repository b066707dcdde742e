//! The light behind and past reveals, compared with the check data, with a ray tracer and with laws that hold for every
//! opening.

mod common;
mod glass;
mod laws;
mod layers;
mod room;
mod shapes;
mod sun;
mod surfaces;
mod tracer;
mod ways;
