//! Glasses of the scene's own.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A glass of the scene's own.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnGlass {
    /// What the studio calls it.
    #[schemars(length(min = 1, max = 200))]
    pub name: String,
    /// The colour family it is sorted under.
    pub family: Family,
    /// Refractive index.
    #[serde(default = "window_glass_index")]
    #[schemars(range(min = 1.3, max = 2.0))]
    pub index: f64,
    /// Its transmittance.
    pub colour: GlassColour,
    /// Share of what passes that is scattered, 0–1.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub diffuse_share: f64,
    /// Where the spectrum comes from.
    pub provenance: Provenance,
    /// Relative standard deviation of its absorbance, 0–1; depends on the provenance if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub uncertainty: Option<f64>,
}

fn window_glass_index() -> f64 {
    1.52
}

/// Colour families of the rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[expect(missing_docs, reason = "plain colour names")]
pub enum Family {
    White,
    Grey,
    Yellow,
    Orange,
    Brown,
    Red,
    Pink,
    Purple,
    Violet,
    Blue,
    BlueGreen,
    Green,
}

/// How a glass of the scene's own gets its spectrum.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum GlassColour {
    /// Internal transmittance at a thickness.
    Internal(InternalTransmittance),
    /// Colouring ions and colloids with their amounts: weight per cent of oxide, or ppm by volume for colloids.
    Recipe(BTreeMap<String, f64>),
}

/// Internal transmittance at a thickness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InternalTransmittance {
    /// The thickness that the samples hold for.
    #[schemars(range(min = 0.1, max = 100.0))]
    pub thickness_mm: f64,
    /// 81 samples, 380–780 nm by 5 nm, each above 0 and up to 1.
    #[schemars(length(min = 81, max = 81), inner(range(min = 0.000_001, max = 1.0)))]
    pub samples: Vec<f64>,
}

/// Where a spectrum comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Provenance {
    /// Measured with an instrument.
    Measured,
    /// Estimated from a photograph on a light table.
    Photographed,
    /// Estimated from a colour under a stated light.
    EstimatedFromColour,
    /// Computed from colouring ions and colloids.
    Recipe,
}
