//! Light outside: from a place, an instant and the weather to the spectral radiance of every direction.
//!
//! - [`Instant`], [`CivilTime`], [`CivilDate`]: time, with IANA zones; gaps and folds are reported. No other crate
//!   touches a calendar.
//! - [`Place`], [`sun_position`], [`rise_set`]: the sun's position (NREL SPA), and when it rises and sets.
//! - [`spectrl2`]: beam and diffuse spectra under a cloudless sky. [`ClearSky`], [`hosek_wilkie`], [`cie_sky`]: the
//!   distribution of light over the dome.
//! - [`Sky`], [`Ground`], [`Horizon`] with the window's own [`Buildings`] and the blocks before it → [`Outside`]: the light of one instant, by direction, on any plane, and as a
//!   mixture of a few spectra ([`SkyBasis`]) for pictures. [`Note`]s say what is estimated.
//! - [`Edges`]: where the view changes its kind, for those who cut it there.
//! - [`gauss_legendre`]: the rule of sums over the dome, here and beyond.
//!
//! Angles are degrees, azimuths clockwise from true north. Spectral irradiance W·m⁻²·nm⁻¹, radiance
//! W·m⁻²·sr⁻¹·nm⁻¹. Nothing here panics or returns NaN: an input out of range returns a [`DaylightError`].
//!
//! Out of scope: weather files, the moon and lamps, pictures (`render`).

mod basis;
mod buildings;
mod cie_sky;
mod civil_text;
mod clear_sky;
mod dome;
mod edges;
mod error;
mod events;
mod ground;
mod horizon;
pub mod hosek_wilkie;
mod instant;
mod note;
mod outside;
mod place;
mod quadrature;
mod sky;
mod skyline_light;
mod spectrl2;
mod sun;
mod sun_path;
mod sun_share;
mod table;
mod twilight;

pub use basis::{BasisError, MAX_RANK, SkyBasis};
pub use buildings::Buildings;
pub use cie_sky::{CIE_TYPES, CieSky, CieType, SOLAR_ILLUMINANCE_LX, cie_sky};
pub use clear_sky::ClearSky;
pub use edges::Edges;
pub use error::{DaylightError, TimeError};
pub use events::{Polar, SunDay, rise_set, rise_set_in_zone, sun_day};
pub use ground::{Ground, GroundKind};
pub use horizon::{Horizon, HorizonPoint, Trees, leaf_share};
pub use instant::{CivilDate, CivilTime, ClockNote, Instant, LocalTime, Resolved, zone_exists, zone_names};
pub use note::Note;
pub use outside::{Level, Outside};
pub use place::{Direction, Place};
pub use quadrature::gauss_legendre;
pub use sky::{CLEAR_DIFFUSE_SD, CLOUD_DIFFUSE_SD, CLOUD_REFLECTANCE, OVERCAST_CCT_K, Sky, SkySpectrum};
pub use spectrl2::{
    Atmosphere, BANDS, BandLight, ClearSpectra, Spectrl2Inputs, relative_air_mass, spectrl2, spectrl2_bands,
};
pub use sun::{RISE_SET_ALTITUDE_DEG, SUN_DIAMETER_DEG, SunPosition, check_year, delta_t_s, sun_position};
pub use sun_path::{SunPath, SunPathPoint, sun_path};
pub use sun_share::SunSeen;
pub use surroundings::{Block, MOST_BLOCKS, Site};
pub use twilight::{CLEAR_MODEL_FROM_DEG, NIGHT_BELOW_DEG, NIGHT_ILLUMINANCE_LX, clear_illuminance_lx};
