//! The contract with the page: the shape of all JSON exchanged, in both directions.
//!
//! Answers come from the module, requests from the page. Parts of a scene are types of `scene`, figures of a report are
//! types of `viewing`; what only the page needs is here. `www/src/engine/contract.ts` is generated from these types,
//! `schema/requests.json` from the requests; tests in `generate` fail when either is stale.
//!
//! Lengths are in mm in the panel plane, with y **down** from the upper edge of the sight size, and in m in the room;
//! angles in degrees. `None` is `null` in JSON; fields that may be absent are marked.

mod figures;
mod made;
mod overview;
#[cfg(any(test, target_arch = "wasm32"))]
mod picture;
mod refusal;
mod section;
mod surroundings;

pub(crate) use figures::{Day, DayInstant, Report, Year, YearHour};
pub(crate) use made::{ChangedPiece, ChangedWindow, Made};
pub(crate) use overview::{AttachedFile, Overview, PieceShape, VariantName, WindowOverview, WindowShapes};
#[cfg(any(test, target_arch = "wasm32"))]
pub(crate) use picture::{FileRequest, Gamut, PictureMode, PictureRequest};
pub(crate) use refusal::Refusal;
#[cfg(all(test, not(target_arch = "wasm32")))]
pub(crate) use section::NULL_IS_WRITTEN;
pub(crate) use section::{
    Agreed, GlassChoice, GlassFamily, Layer, LayerKind, LayerValues, Scattering, Section,
};
pub(crate) use surroundings::{
    Choices, OpeningBounds, StandardSky, SunPath, SunPoint, SurfaceChoice, SurfaceUse, Surroundings,
    UsualAir, UsualWindowWall, WeatherChoice, WindowPlace,
};
