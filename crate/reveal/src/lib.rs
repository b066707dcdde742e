//! A window set back in its wall: what its reveals take from the light, and what they give back.
//!
//! - [`Outline`]: the opening, a rectangle or any convex ring. [`Outline::lit_by`] and [`Outline::lit_share`]: the part
//!   of the glass that a parallel beam reaches.
//! - [`OuterReveal`]: the light on the glass behind a reveal, at points and as the mean, against [`on_bare_wall`].
//! - [`DeepOpening`]: a rectangular opening with an outer and a splayed inner reveal; the light at points of the room,
//!   past both.
//! - [`SkyAndGround`]: a CIE general sky over an even ground, to look at through them.
//!
//! # Frame
//! Room frame in metres, with the glass in z = 0 and the opening's lower-left corner, seen from inside, as its origin: x
//! right, y up, z into the room. The outer wall face is z = −(outer depth), the inner one z = +(inner depth). Directions
//! are unit vectors toward the sky or ground; bearings clockwise seen from above, from the outward normal of the wall.
//!
//! # Linear in the light, and by wavelength
//! The geometry is computed once for each opening. Light comes in through a function of the direction, so that the same
//! geometry serves every sky, and its values may be any [`Light`]: numbers, or spectra with the reveal's spectral
//! reflectance. Luminance in (cd/m²), illuminance out (lx), or radiance and irradiance.
//!
//! # Model
//! Reveals are grey or coloured Lambertian surfaces. Direct light is integrated over exactly what a point sees. The
//! light among the sides is a radiosity: sides divided into patches, form factors from the middle of each by Lambert's
//! contour sum (exact for an even patch), solved by Gauss–Seidel. The glass reflects nothing, and from inside an opening
//! the room is black.
//!
//! Out of scope: what stands outside, the beam of the sun on the reveals, glass, openings that are not convex.

mod deep;
mod error;
mod exchange;
mod light;
mod outer;
mod outline;
mod outside;
mod patches;
mod seen;
mod space;

pub use deep::{DeepOpening, InnerReveal, RoomLight, View};
pub use error::RevealError;
pub use light::Light;
pub use outer::{GlassLight, OuterReveal, Received, on_bare_wall};
pub use outline::Outline;
pub use outside::SkyAndGround;
