//! The optics of a piece of glass: by wavelength, thickness and angle; plated, flashed, painted, stained.
//!
//! - A [`Glass`] is colour by thickness ([`Absorbance`]), perhaps a [`Flash`], a [`DiffuseShare`], a [`Provenance`]
//!   and an [`Uncertainty`]. The [`library`] contains ready-made ones; a [`recipe`] of colourants makes more.
//! - A [`Makeup`] is one piece from outside to inside: plates, air or contact between them, [`Paint`] on their
//!   faces, protective glazing in front. Its documentation describes the model. [`Makeup::optics`] gives what is
//!   transmitted, reflected and absorbed at an angle; [`Makeup::hemispherical`] the same for diffuse light;
//!   [`Prepared::scaled`] is for many thicknesses and paint densities.
//! - [`stack`] is the exact regular beam through bare layers; [`streak_mean_internal`] what a streaky piece passes on
//!   average; [`murray_davies`], [`yule_nielsen`] and [`kubelka_munk`] are the individual laws of paint.
//!
//! Everything is on the 81-sample grid of `spectra`, lengths in mm, angles in degrees, densities base 10.
//!
//! Out of scope: where light comes from (`daylight`), the colour of transmitted light (`spectra`), the shape of
//! pieces and lead (`panel`), unevenness drawn into a picture (`render`), polarised light (skylight counts as
//! unpolarised), interference in thin films, fluorescence.

mod absorbance;
mod adding;
mod colourants;
mod coverage;
mod fresnel;
mod glass;
mod ingredients;
mod kubelka_munk;
mod library;
mod lobe;
mod makeup;
mod normal;
mod paint;
mod parts;
mod prepared;
mod quadrature;
mod several_lobes;
mod silver_stain;
mod stack;
mod streak;

pub use absorbance::{Absorbance, AbsorbanceError};
pub use colourants::{Colourant, RecipeError, colourant, colourants, recipe, recipe_internal, recipe_sigma};
pub use coverage::{murray_davies, yule_nielsen};
pub use fresnel::{diffuse_path, diffuse_reflectance, inner_cosine, reflectance};
pub use glass::{
    DiffuseShare, Family, Flash, Glass, Kind, Provenance, ScatterSite, Streak, ThicknessRange, Uncertainty,
};
pub use ingredients::{Ingredients, ingredients, is_edge};
pub use kubelka_munk::{DiffuseLayer, kubelka_munk};
pub use library::{find, library};
pub use lobe::Lobe;
pub use makeup::{Deposits, Dirt, Gap, Makeup, MakeupFault, Plate, Protective, UncertaintyTerm};
pub use normal::normal_below;
pub use paint::{DENSITY_NM, EnamelColour, Face, Paint, PaintKind, Pigment};
pub use prepared::{Hemispherical, Inward, Optics, Prepared};
pub use several_lobes::{Scatterer, Scattering};
pub use silver_stain::StainTone;
pub use stack::{Layer, ScalarOptics, StackError, StackOptics, stack, stack_scalar};
pub use streak::streak_mean_internal;
