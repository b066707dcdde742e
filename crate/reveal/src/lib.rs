//! A window set back in its wall: what its reveals take from the light, and what they give back.
//!
//! - [`Outline`]: the opening at the glass, any ring; [`Reveal`]: depth and splay outside or inside; [`Overhang`];
//!   [`Layer`]: bars or mesh outside. [`Depths`] and an outline make an [`Opening`].
//! - Where light goes: [`Opening::outward`] and [`Opening::inward`], what a ray from the glass meets; [`Beam`], the sun on
//!   glass, reveals and room; [`EyeView`], what a point in the room sees through each part of the glass.
//! - Reveals as lit surfaces: [`OuterSides`], lit from outside, prepared for a list of directions as [`OuterResponse`];
//!   [`InnerSides`], lit through the glass and lighting the room.
//! - [`OuterReveal`]: the light on the glass behind a reveal square to the wall, finely, at points and as the mean,
//!   against [`on_bare_wall`]. [`SkyAndGround`]: a CIE general sky over an even ground.
//!
//! # Frame
//! Room frame in metres, with the glass in z = 0: x right as seen from inside, y up, z into the room; x and y are those of
//! the outline. The outer wall face is z = −(outer depth), the inner one z = +(inner depth). Directions are unit vectors
//! toward the sky or ground, or along a ray where a name says so; bearings clockwise seen from above, from the outward
//! normal of the wall.
//!
//! # Linear in the light, and by wavelength
//! The geometry is computed once for each opening. Light comes in through a function of the direction or as a list by
//! direction, so that the same geometry serves every sky, and its values may be any [`Light`]: numbers, or spectra with
//! the reveal's spectral reflectance. Luminance in (cd/m²), illuminance out (lx), or radiance and irradiance.
//!
//! # Model
//! Reveals are grey or coloured Lambertian surfaces. What is seen is exact: polygons on the glass, cut where an edge of
//! stone lies before them, in openings with notches, too. The light among the sides is a radiosity: sides divided into
//! patches, form factors from the middles of their facets by Lambert's contour sum (exact for an even patch), solved by
//! Gauss–Seidel. In an opening with notches, a facet sees another whole or not at all. Light does not pass from inside the
//! glass to the outer reveal, and the glass reflects nothing outward.
//!
//! Out of scope: what stands outside, glass and leads, the room.

mod beam;
mod cut;
mod error;
mod exchange;
mod eye;
mod facets;
mod glass_light;
mod inner;
mod inner_facets;
mod layer;
mod light;
mod nearest;
mod nested;
mod opening;
mod outer;
mod outline;
mod outside;
mod outside_seen;
mod overhang;
mod projected;
mod seen;
mod space;
mod splay;
mod tube;

pub use beam::Beam;
pub use cut::Ring;
pub use error::RevealError;
pub use eye::EyeView;
pub use glass_light::{GlassLight, OuterReveal, Received, on_bare_wall};
pub use inner::{InnerSides, Leaving};
pub use inner_facets::InnerFacet;
pub use layer::Layer;
pub use light::Light;
pub use opening::{Depths, Opening, Way};
pub use outer::{OuterResponse, OuterSides};
pub use outline::Outline;
pub use outside::SkyAndGround;
pub use overhang::Overhang;
pub use projected::Split;
pub use splay::Reveal;
pub use tube::{Face, Patches};
