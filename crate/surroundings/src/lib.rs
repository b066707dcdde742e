//! What stands outside a window, and how light goes back and forth between ground, facades and the building's own wall.
//!
//! Flat endless ground, the building's own upright wall, and before it any number of blocks, up to [`MOST_BLOCKS`]; the
//! facade of an endless street is a block without ends ([`Block::street`]). Everything reflects as a Lambertian surface,
//! and roofs are black. Surfaces are divided into patches. From each, rays with fixed quasi-random places and directions
//! say what share of its view every part of the sky and every other patch fill: visibility is exact, the shares of a
//! patch sum to at most one, and nothing is singular where surfaces meet.
//!
//! [`Exchange`] holds this geometry, which knows no sun, so that one serves every hour; light and reflectances come in
//! afterwards, at any number of wavelengths at once ([`Exchange::lit`]). A result is in the unit of the light: lux and
//! cd/m², or W/m² and W/(m² sr) with an optional "per nm".
//!
//! Frame: the room's axes, m (x right as seen from inside, y up, z into the room), but y = 0 is the ground outside and
//! x = 0 the window's middle. The own wall is z = 0; outdoors z < 0. Bearings clockwise from above, from the outward
//! normal.
//!
//! Out of scope: glass, reveals, trees, ground that is not level, and where sky and beam come from.

mod cast;
mod edges;
mod exchange;
mod fault;
mod fineness;
mod light;
mod lines;
mod lit;
mod outlines;
mod patches;
mod quadrature;
mod rays;
mod site;
mod sky;
mod solve;
mod vertical;

pub use exchange::Exchange;
pub use fault::Fault;
pub use fineness::Fineness;
pub use light::{Light, Met, Surface, Vertical, no_edges};
pub use lit::Lit;
pub use outlines::Outlines;
pub use site::{Block, MOST_BLOCKS, Reflectances, Site};
