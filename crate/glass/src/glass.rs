//! One glass as it stands in the rack: colour by thickness, flash, scatter, and the origin of its numbers.

use spectra::Spectrum;

use crate::{Absorbance, Lobe, RecipeError, recipe, recipe_sigma, streak_mean_internal};

/// Colour family, as glass is sorted in a rack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
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

impl Family {
    /// All families, in rack order.
    pub const ALL: [Self; 12] = [
        Self::White,
        Self::Grey,
        Self::Yellow,
        Self::Orange,
        Self::Brown,
        Self::Red,
        Self::Pink,
        Self::Purple,
        Self::Violet,
        Self::Blue,
        Self::BlueGreen,
        Self::Green,
    ];

    /// Plain name in lower case, e.g. `blue-green`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::White => "white",
            Self::Grey => "grey",
            Self::Yellow => "yellow",
            Self::Orange => "orange",
            Self::Brown => "brown",
            Self::Red => "red",
            Self::Pink => "pink",
            Self::Purple => "purple",
            Self::Violet => "violet",
            Self::Blue => "blue",
            Self::BlueGreen => "blue-green",
            Self::Green => "green",
        }
    }
}

/// How the sheet is made, as far as it affects light.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Even and transparent: the view behind is sharp.
    Clear,
    /// Full of small bubbles.
    Seedy,
    /// Two colours stirred together.
    Streaky,
    /// Milky in the body.
    Opalescent,
    /// Textured by a roller: the view behind is broken up.
    Rolled,
    /// Surface roughened by acid or blasting.
    Matted,
}

impl Kind {
    /// Plain name in lower case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Seedy => "seedy",
            Self::Streaky => "streaky",
            Self::Opalescent => "opalescent",
            Self::Rolled => "rolled",
            Self::Matted => "matted",
        }
    }
}

/// Where a glass's spectrum comes from. The mark follows the glass into every report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Provenance {
    /// Measured with a spectrophotometer.
    Measured,
    /// From a photograph on a light easel.
    Photographed,
    /// Estimated from a colour, by assuming a likely spectrum.
    EstimatedFromColour,
    /// Computed from colouring ions and colloids.
    Recipe,
}

impl Provenance {
    /// The mark as printed.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Photographed => "photographed",
            Self::EstimatedFromColour => "estimated from a colour",
            Self::Recipe => "recipe",
        }
    }

    /// Standard deviation of the absorbance if nothing else is known: a share of it, and in absorbance per millimetre.
    /// Measured 3 %, photographed 15 %, estimated 30 %, recipe 20 % of the absorbance: our own judgement.
    pub const fn usual_deviation(self) -> (f64, f64) {
        match self {
            Self::Measured => (0.03, 0.0005),
            Self::Photographed => (0.15, 0.01),
            Self::EstimatedFromColour => (0.30, 0.02),
            Self::Recipe => (0.20, 0.003),
        }
    }
}

/// How uncertain the absorbance is: a standard deviation by wavelength, correlated over a length of spectrum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// Standard deviation of the base's absorbance per millimetre.
    pub base_per_mm: Spectrum,
    /// Standard deviation of the flash's absorbance per millimetre.
    pub flash_per_mm: Spectrum,
    /// Standard deviation of the absorbance per millimetre of a streaky glass's second colour.
    pub streak_per_mm: Spectrum,
    /// Errors at two wavelengths Δ apart correlate by exp(−½(Δ/length)²); nm.
    pub correlation_nm: f64,
}

impl Uncertainty {
    /// √((relative·a)² + absolute²) for a base without flash or streak; `absolute_per_mm` in absorbance per millimetre.
    pub fn of(base: &Absorbance, relative: f64, absolute_per_mm: f64, correlation_nm: f64) -> Self {
        Self {
            base_per_mm: Self::of_colour(base, relative, absolute_per_mm),
            flash_per_mm: Spectrum::ZERO,
            streak_per_mm: Spectrum::ZERO,
            correlation_nm,
        }
    }

    /// √((relative·a)² + absolute²) for any one of a glass's colours.
    pub fn of_colour(colour: &Absorbance, relative: f64, absolute_per_mm: f64) -> Spectrum {
        colour.spectrum().map(|a| (relative * a).hypot(absolute_per_mm))
    }
}

/// The second colour of a streaky glass, and how the two are mixed over its sheets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Streak {
    /// Absorbance of the second colour, per mm.
    pub absorbance: Absorbance,
    /// Mean share of the second colour, 0–1.
    pub mix_mean: f64,
    /// Standard deviation of that share over a sheet; what would lie below 0 or above 1 is 0 or 1.
    pub mix_sd: f64,
}

impl Streak {
    /// Mean share of the second colour if not known: half and half. Assumption.
    pub const USUAL_MEAN: f64 = 0.5;
    /// Standard deviation of the share if not known: streaks that come close to either colour. Assumption.
    pub const USUAL_SD: f64 = 0.28;

    /// A second colour that is mixed in as usual.
    pub const fn usual(absorbance: Absorbance) -> Self {
        Self { absorbance, mix_mean: Self::USUAL_MEAN, mix_sd: Self::USUAL_SD }
    }
}

/// A thin coloured layer on one face of the base.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flash {
    /// Absorbance of the flash **beyond** that of the base glass it replaces, per mm.
    pub absorbance: Absorbance,
    /// Thickness of the flash as made, mm.
    pub thickness_mm: f64,
}

/// Where a glass scatters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScatterSite {
    /// In the body: more with thickness and along a slanting path. The share applies to `reference_mm`.
    Body {
        /// Thickness to which share and back share apply, mm.
        reference_mm: f64,
    },
    /// At a surface: the same for any thickness.
    Surface,
}

/// The share of light that a glass removes from the regular beam and scatters.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiffuseShare {
    /// Share of the light crossing that is scattered, 0–1, at 560 nm.
    pub share: f64,
    /// Share of the scattered light that goes back, 0–1.
    pub back: f64,
    /// Whether the body or the surface scatters.
    pub site: ScatterSite,
    /// Scattering depth is proportional to (560/λ) to this power: 0 for white scatterers, up to 4 for very small
    /// ones.
    pub exponent: f64,
    /// How the light scattered onward is spread.
    pub lobe: Lobe,
}

impl DiffuseShare {
    /// Scattered share from which on rolled glass counts as hammered: those of the library scatter 0.25 and 0.4. Assumption.
    pub const HAMMERED_FROM: f64 = 0.32;

    /// The usual lobe of a kind of glass that scatters this share. Milk in the body spreads light evenly.
    pub const fn usual_lobe(kind: Kind, share: f64) -> Lobe {
        match kind {
            Kind::Clear | Kind::Streaky | Kind::Opalescent => Lobe::NONE,
            Kind::Seedy => Lobe::SEEDY,
            Kind::Rolled if share > Self::HAMMERED_FROM => Lobe::HAMMERED,
            Kind::Rolled => Lobe::ROLLED,
            Kind::Matted => Lobe::MATTED,
        }
    }

    /// Scatters nothing.
    pub const NONE: Self =
        Self { share: 0.0, back: 0.0, site: ScatterSite::Surface, exponent: 0.0, lobe: Lobe::NONE };
}

/// Thickness of sheets of a glass, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThicknessRange {
    /// The thinnest to be expected.
    pub min_mm: f64,
    /// The nominal thickness.
    pub nominal_mm: f64,
    /// The thickest to be expected.
    pub max_mm: f64,
}

impl ThicknessRange {
    /// Mouth-blown: 3 mm, 2–4 within the sheets (common practice, no source).
    pub const BLOWN: Self = Self { min_mm: 2.0, nominal_mm: 3.0, max_mm: 4.0 };
}

/// A glass: everything about it that does not depend on the piece cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Glass {
    /// Stable name for files, e.g. `deep-cobalt`.
    pub id: String,
    /// Name for people.
    pub name: String,
    /// Colour family.
    pub family: Family,
    /// How it is made.
    pub kind: Kind,
    /// Refractive index, at least 1; the same at every wavelength (1.50 → 1.56 costs 1.5 % of the light).
    pub n: f64,
    /// Absorbance of the glass throughout.
    pub base: Absorbance,
    /// Streaky glass: its second colour.
    pub streak: Option<Streak>,
    /// Flashed glass: its coloured layer.
    pub flash: Option<Flash>,
    /// Scattering.
    pub diffuse: DiffuseShare,
    /// Thickness of its sheets.
    pub thickness: ThicknessRange,
    /// Where the spectrum comes from.
    pub provenance: Provenance,
    /// Source in words: data set and licence, or the recipe.
    pub source: String,
    /// How uncertain the spectrum is.
    pub uncertainty: Uncertainty,
}

impl Glass {
    /// Plain pot-metal glass, coloured through: n = 1.52, clear, blown, from its absorbance.
    ///
    /// The uncertainty starts at a value for the [provenance](Provenance::usual_deviation); set the field if more is
    /// known.
    pub fn pot_metal(
        id: impl Into<String>,
        name: impl Into<String>,
        family: Family,
        base: Absorbance,
        provenance: Provenance,
    ) -> Self {
        let (relative, absolute) = provenance.usual_deviation();
        Self {
            id: id.into(),
            name: name.into(),
            family,
            kind: Kind::Clear,
            n: 1.52,
            base,
            streak: None,
            flash: None,
            diffuse: DiffuseShare::NONE,
            thickness: ThicknessRange::BLOWN,
            provenance,
            source: String::new(),
            uncertainty: Uncertainty::of(&base, relative, absolute, 100.0),
        }
    }

    /// Pot-metal glass from a recipe, `(colourant, amount)`, with the colourants' uncertainty.
    ///
    /// # Errors
    /// As [`recipe`].
    pub fn from_recipe<N: AsRef<str>>(
        id: impl Into<String>,
        name: impl Into<String>,
        family: Family,
        amounts: &[(N, f64)],
    ) -> Result<Self, RecipeError> {
        let mut glass = Self::pot_metal(id, name, family, recipe(amounts)?, Provenance::Recipe);
        glass.uncertainty.base_per_mm = recipe_sigma(amounts)?.map(|s| s.hypot(0.003));
        glass.source =
            amounts.iter().map(|(n, a)| format!("{} {a}", n.as_ref())).collect::<Vec<_>>().join(", ");
        Ok(glass)
    }

    /// Internal transmittance of a sheet of `thickness_mm` along the normal, including its whole flash; for a streaky
    /// glass, the [mean](streak_mean_internal) over its mixtures.
    ///
    /// The flash lies within the thickness and absorbs beyond the base: 10^(−a_base·d − a_flash·d_flash).
    pub fn internal(&self, thickness_mm: f64) -> Spectrum {
        let base = match &self.streak {
            Some(streak) => streak_mean_internal(
                &self.base,
                &streak.absorbance,
                thickness_mm,
                streak.mix_mean,
                streak.mix_sd,
            ),
            None => self.base.internal(thickness_mm),
        };
        self.flash.map_or(base, |f| base * f.absorbance.internal(f.thickness_mm))
    }
}
