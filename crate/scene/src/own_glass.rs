//! A glass of the scene's own, in the physics' own types.

use std::collections::BTreeMap;
use std::sync::Arc;

use glass::{
    Absorbance, AbsorbanceError, DiffuseShare, Flash, Kind, ScatterSite, Streak, ThicknessRange, Uncertainty,
};
use spectra::{GRID_FIRST_NM, GRID_STEP_NM, SAMPLES, Spectrum};

use crate::document::{self, GlassColour, OwnGlass, SheetKind};
use crate::fault::Fault;

/// A sheet with its flash may transmit more than its base by this much, relative, before it is refused: an instrument's
/// noise (assumption).
const NOISE: f64 = 0.02;

/// Builds a glass of the scene's own.
///
/// # Errors
/// The first fault, with its path in the document: samples that no sheet can have, with the wavelength; unknown colourants.
pub(crate) fn own_glass(id: &str, own: &OwnGlass) -> Result<Arc<glass::Glass>, Fault> {
    let path = format!("glasses.{id}");
    let provenance = provenance(own.provenance);
    let base = colour(&own.colour, own.index, &format!("{path}.colour"))?;
    let mut built = glass::Glass::pot_metal(id, &own.name, family(own.family), base.absorbance, provenance);
    if let GlassColour::Recipe(amounts) = &own.colour {
        let amounts: Vec<(&str, f64)> = list(amounts);
        built.source = amounts.iter().map(|(n, a)| format!("{n} {a}")).collect::<Vec<_>>().join(", ");
    }
    built.n = own.index;
    built.uncertainty.base_per_mm = base.deviation(own);
    if let Some(sheets) = own.sheets {
        let (nominal_mm, around) = (sheets.thickness_mm, sheets.plus_minus_mm);
        let min_mm = (nominal_mm - around).max(0.0);
        built.thickness = ThicknessRange { min_mm, nominal_mm, max_mm: nominal_mm + around };
    }
    if let Some(streak) = &own.streak {
        let second = colour(&streak.colour, own.index, &format!("{path}.streak.colour"))?;
        let (mix_mean, mix_sd) = (streak.mix_mean, streak.mix_sd);
        built.streak = Some(Streak { absorbance: second.absorbance, mix_mean, mix_sd });
        built.uncertainty.streak_per_mm = second.deviation(own);
    }
    if let Some(flash) = &own.flash {
        let layer = flash_colour(flash, &base.absorbance, own.index, &format!("{path}.flash.colour"))?;
        built.flash = Some(Flash { absorbance: layer.absorbance, thickness_mm: flash.thickness_mm });
        built.uncertainty.flash_per_mm = layer.deviation(own);
    }
    (built.kind, built.diffuse) = scatter(own, &path)?;
    Ok(Arc::new(built))
}

/// One of a glass's colours and, of a recipe, its standard deviation.
struct Colour {
    absorbance: Absorbance,
    of_recipe: Option<Spectrum>,
}

impl Colour {
    /// Standard deviation of the absorbance per mm.
    fn deviation(&self, own: &OwnGlass) -> Spectrum {
        match (own.uncertainty, self.of_recipe) {
            (Some(relative), _) => Uncertainty::of_colour(&self.absorbance, relative, 0.0),
            (None, Some(deviation)) => deviation,
            (None, None) => {
                let (relative, absolute) = provenance(own.provenance).usual_deviation();
                Uncertainty::of_colour(&self.absorbance, relative, absolute)
            }
        }
    }
}

fn colour(colour: &GlassColour, index: f64, path: &str) -> Result<Colour, Fault> {
    let absorbance = match colour {
        GlassColour::Internal(internal) => {
            let path = format!("{path}.internal");
            let tau = spectrum(&internal.samples, &path)?;
            Absorbance::from_internal(&tau, internal.thickness_mm)
                .map_err(|error| refused(&error, index, &path))?
        }
        GlassColour::Total(total) => {
            let path = format!("{path}.total");
            let through = spectrum(&total.samples, &path)?;
            Absorbance::from_total(&through, index, total.thickness_mm)
                .map_err(|error| refused(&error, index, &path))?
        }
        GlassColour::Recipe(amounts) => {
            let wrong = |error: glass::RecipeError| {
                let wanted = "known colourants and amounts of at least 0";
                Fault::new(format!("{path}.recipe"), wanted, error.to_string())
            };
            let amounts = list(amounts);
            let deviation = glass::recipe_sigma(&amounts).map_err(wrong)?;
            let absorbance = glass::recipe(&amounts).map_err(wrong)?;
            return Ok(Colour { absorbance, of_recipe: Some(deviation.map(|s| s.hypot(0.003))) });
        }
    };
    Ok(Colour { absorbance, of_recipe: None })
}

/// The colour of a flash beyond its base.
fn flash_colour(
    flash: &document::OwnFlash,
    base: &Absorbance,
    index: f64,
    path: &str,
) -> Result<Colour, Fault> {
    let GlassColour::Total(total) = &flash.colour else {
        return colour(&flash.colour, index, path);
    };
    // Per mm of the whole sheet.
    let sheet = colour(&flash.colour, index, path)?.absorbance;
    let beyond = (*sheet.spectrum() - *base.spectrum()) * total.thickness_mm;
    let least = -(1.0 + NOISE).log10();
    if let Some(sample) = beyond.samples().iter().position(|a| *a < least) {
        let path = format!("{path}.total.samples[{sample}]");
        let wanted = "at most what a sheet of the base alone lets through, since the flash lies on it";
        let more = (10f64.powf(-beyond[sample]) - 1.0) * 100.0;
        let found = format!("{}, {more:.0} % more at {} nm", total.samples[sample], nm(sample));
        return Err(Fault::new(path, wanted, found));
    }
    Ok(Colour { absorbance: Absorbance::per_mm(beyond * (1.0 / flash.thickness_mm)), of_recipe: None })
}

fn list(amounts: &BTreeMap<String, f64>) -> Vec<(&str, f64)> {
    amounts.iter().map(|(name, amount)| (name.as_str(), *amount)).collect()
}

fn spectrum(samples: &[f64], path: &str) -> Result<Spectrum, Fault> {
    Spectrum::from_slice(samples).ok_or_else(|| {
        let wanted = format!("{SAMPLES} samples, 380–780 nm by 5 nm");
        Fault::new(format!("{path}.samples"), wanted, format!("{}", samples.len()))
    })
}

fn nm(sample: usize) -> f64 {
    GRID_FIRST_NM + GRID_STEP_NM * sample as f64
}

fn refused(error: &AbsorbanceError, index: f64, path: &str) -> Fault {
    match error {
        AbsorbanceError::Transmittance { nm, found, most } => {
            let sample = ((nm - GRID_FIRST_NM) / GRID_STEP_NM).round();
            let path = format!("{path}.samples[{sample}]");
            let found = format!("{found} at {nm} nm");
            if *most < 1.0 {
                let wanted = format!(
                    "at most {most:.4}, what the two faces of a sheet of index {index} let through; or give it as \
                     `internal`, if the reflections are already removed"
                );
                Fault::new(path, wanted, found)
            } else {
                Fault::new(path, "an internal transmittance above 0 and up to 1", found)
            }
        }
        AbsorbanceError::Thickness { found } => {
            Fault::new(format!("{path}.thickness_mm"), "a thickness above 0", format!("{found}"))
        }
        AbsorbanceError::Index { .. } => {
            Fault::new(path, "a refractive index of at least 1", format!("{index}"))
        }
    }
}

/// How it is made and how it scatters: the back share of each kind as in the library, invented.
fn scatter(own: &OwnGlass, path: &str) -> Result<(Kind, DiffuseShare), Fault> {
    let share = own.diffuse_share;
    let kind = match own.kind {
        Some(SheetKind::Clear) if share > 0.0 => {
            let wanted = "a kind that scatters: seedy, opalescent, rolled or matted";
            let found = format!("clear, with a diffuse_share of {share}");
            return Err(Fault::new(format!("{path}.kind"), wanted, found));
        }
        Some(SheetKind::Clear) | None if own.streak.is_some() && share <= 0.0 => Kind::Streaky,
        Some(SheetKind::Clear) => Kind::Clear,
        None if share <= 0.0 => Kind::Clear,
        Some(SheetKind::Opalescent) | None => Kind::Opalescent,
        Some(SheetKind::Seedy) => Kind::Seedy,
        Some(SheetKind::Rolled) => Kind::Rolled,
        Some(SheetKind::Matted) => Kind::Matted,
    };
    if share <= 0.0 {
        return Ok((kind, DiffuseShare::NONE));
    }
    // A milky sheet scatters in its body and sends about as much light back as forward (common practice, no source).
    let reference_mm = own.sheets.map_or(3.0, |sheets| sheets.thickness_mm);
    let (back, site) = match kind {
        Kind::Seedy => (0.15, ScatterSite::Surface),
        Kind::Rolled => (0.05, ScatterSite::Surface),
        Kind::Matted => (0.08, ScatterSite::Surface),
        Kind::Clear | Kind::Streaky | Kind::Opalescent => (0.4, ScatterSite::Body { reference_mm }),
    };
    let lobe = document::Lobe::or_usual(own.lobe.as_deref(), DiffuseShare::usual_lobe(kind, share));
    Ok((kind, DiffuseShare { share, back, site, exponent: 0.0, lobe }))
}

fn provenance(provenance: document::Provenance) -> glass::Provenance {
    match provenance {
        document::Provenance::Measured => glass::Provenance::Measured,
        document::Provenance::Photographed => glass::Provenance::Photographed,
        document::Provenance::EstimatedFromColour => glass::Provenance::EstimatedFromColour,
        document::Provenance::Recipe => glass::Provenance::Recipe,
    }
}

fn family(family: document::Family) -> glass::Family {
    use document::Family;
    match family {
        Family::White => glass::Family::White,
        Family::Grey => glass::Family::Grey,
        Family::Yellow => glass::Family::Yellow,
        Family::Orange => glass::Family::Orange,
        Family::Brown => glass::Family::Brown,
        Family::Red => glass::Family::Red,
        Family::Pink => glass::Family::Pink,
        Family::Purple => glass::Family::Purple,
        Family::Violet => glass::Family::Violet,
        Family::Blue => glass::Family::Blue,
        Family::BlueGreen => glass::Family::BlueGreen,
        Family::Green => glass::Family::Green,
    }
}
