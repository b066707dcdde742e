//! What stands outside a window, and how light goes back and forth between ground, facades and the building's own wall.
//!
//! Flat endless ground, the building's own upright wall, and opposite it nothing, a street's endless facade or a single
//! block. Everything reflects as a Lambertian surface, and roofs are black. [`Exchange`] holds the geometry; light and
//! reflectances come in afterwards and are single numbers, so that one exchange serves any number of wavelengths. A
//! result is in the unit of the light: lux and cd/m², or W/m² and W/(m² sr) with an optional "per nm".
//!
//! Frame: the room's axes, m (x right as seen from inside, y up, z into the room), but y = 0 is the ground outside and
//! x = 0 the window's middle. The own wall is z = 0; outdoors z < 0. Bearings clockwise from above, from the outward
//! normal.
//!
//! Out of scope: glass, reveals, trees, ground that is not level, and where sky and beam come from.

mod exchange;
mod fault;
mod light;
mod quadrature;
mod section;
mod shadow;
mod site;
mod solid;
mod solve;

pub use exchange::{Exchange, Lit};
pub use fault::Fault;
pub use light::{Light, Met, Surface, Vertical};
pub use shadow::{Shadows, shadows};
pub use site::{Block, Opposite, Reflectances, Site, Street};
