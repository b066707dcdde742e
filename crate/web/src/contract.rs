//! The contract with the page: the shape of everything that crosses as JSON, in both directions.
//!
//! Answers are what the module gives, requests what it is asked. The parts of a scene are those of `scene`, the
//! figures of a report those of `viewing`; what is only the page's is here. `www/src/engine/contract.ts` is generated
//! from these types, `schema/requests.json` from the requests; tests in `generate` refuse either when it is stale.
//!
//! Lengths are in mm in the panel plane, with y **down** from the upper edge of the sight size, and in m in the room;
//! angles in degrees. `None` crosses as `null`; a field that may be absent says so.

mod demos;
mod figures;
mod made;
mod overview;
#[cfg(any(test, target_arch = "wasm32"))]
mod picture;
mod refusal;
mod section;
mod surroundings;

pub(crate) use demos::DemoName;
pub(crate) use figures::{Day, DayInstant, Report, Year, YearHour};
pub(crate) use made::{ChangedPiece, ChangedWindow, Made};
pub(crate) use overview::{AttachedFile, Overview, PieceShape, VariantName, WindowOverview, WindowShapes};
#[cfg(any(test, target_arch = "wasm32"))]
pub(crate) use picture::{FileRequest, Gamut, PictureMode, PictureRequest};
pub(crate) use refusal::Refusal;
#[cfg(all(test, not(target_arch = "wasm32")))]
pub(crate) use section::NULL_IS_WRITTEN;
pub(crate) use section::{Agreed, GlassChoice, GlassFamily, Layer, LayerKind, LayerValues, Section};
pub(crate) use surroundings::{
    Choices, StandardSky, SunPath, SunPoint, SurfaceChoice, SurfaceUse, Surroundings, UsualAir,
    WeatherChoice, WindowPlace,
};
