//! Glasses of the scene's own.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::lobe::Lobe;

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
    /// How its sheets are made; if not given, streaky with a second colour, opalescent where it scatters, else clear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<SheetKind>,
    /// Its transmittance; of a flashed glass, that of the base.
    pub colour: GlassColour,
    /// Its flash: a thin coloured layer on the base.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flash: Option<OwnFlash>,
    /// Its second colour, stirred into the first in streaks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub streak: Option<OwnStreak>,
    /// Thickness of its sheets; 3 mm ± 1 mm if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sheets: Option<SheetThickness>,
    /// Share of what passes that is scattered, 0–1.
    #[serde(default)]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub diffuse_share: f64,
    /// The lobe of the light that it scatters; usual for its kind if nothing is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lobe: Option<Box<Lobe>>,
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

/// How sheets of a glass are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SheetKind {
    /// Even and transparent.
    Clear,
    /// Full of small bubbles.
    Seedy,
    /// Milky in the body.
    Opalescent,
    /// Textured by a roller, hammered or cathedral glass among others.
    Rolled,
    /// Roughened by acid or blasting.
    Matted,
}

/// A thin coloured layer on one face of a glass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnFlash {
    /// Its thickness.
    #[schemars(range(min = 0.01, max = 3.0))]
    pub thickness_mm: f64,
    /// Its transmittance: `internal` and `recipe` are those of the layer alone, `total` is that of a whole sheet, base and
    /// flash together, at the thickness of that sheet.
    pub colour: GlassColour,
}

/// The second colour of a streaky glass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OwnStreak {
    /// Its transmittance, as for the first colour.
    pub colour: GlassColour,
    /// Mean share of the second colour over a sheet, 0–1.
    #[serde(default = "half")]
    #[schemars(range(min = 0.0, max = 1.0))]
    pub mix_mean: f64,
    /// Standard deviation of that share over a sheet.
    #[serde(default = "usual_mix_sd")]
    #[schemars(range(min = 0.0, max = 0.5))]
    pub mix_sd: f64,
}

fn half() -> f64 {
    glass::Streak::USUAL_MEAN
}

fn usual_mix_sd() -> f64 {
    glass::Streak::USUAL_SD
}

/// Thickness of a glass's sheets.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetThickness {
    /// Usual thickness.
    #[schemars(range(min = 0.5, max = 40.0))]
    pub thickness_mm: f64,
    /// How far sheets are to be expected above and below it.
    #[schemars(range(min = 0.0, max = 10.0))]
    pub plus_minus_mm: f64,
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
    /// Internal transmittance at a thickness: without the reflections at the faces.
    Internal(InternalTransmittance),
    /// Total transmittance of a sheet in air, as an instrument reads it: with the reflections at both faces.
    Total(TotalTransmittance),
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

/// Total transmittance of a sheet in air at normal incidence. The reflections at its faces are those of the glass's index.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TotalTransmittance {
    /// The thickness of the sheet.
    #[schemars(range(min = 0.1, max = 100.0))]
    pub thickness_mm: f64,
    /// 81 samples, 380–780 nm by 5 nm, each above 0 and at most what the two faces let through: 0.918 for an index of
    /// 1.52.
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

impl OwnGlass {
    /// The first thing about it that came with version 5; `None` if older versions can hold it.
    pub(crate) fn newest(&self) -> Option<&'static str> {
        let total = matches!(self.colour, GlassColour::Total(_)).then_some("total");
        total
            .or(self.kind.map(|_| "kind"))
            .or(self.flash.as_ref().map(|_| "flash"))
            .or(self.streak.as_ref().map(|_| "streak"))
            .or(self.sheets.map(|_| "sheets"))
            .or(self.lobe.as_ref().map(|_| "lobe"))
    }
}
