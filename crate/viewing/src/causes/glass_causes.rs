//! What is not known of the glasses: colourants shared by all recipes that have them, whole spectra of the others.

use std::collections::BTreeMap;
use std::sync::Arc;

use glass::{Absorbance, Glass, Provenance, colourant};
use scene::{GlassColour, Scene};
use spectra::Spectrum;
use uncertainty::{Absorber, CauseError, NumberId, Origin};

use super::deviations::{EDGE_NM, GLASS_SCATTER_LN, INDEX, LEFT_OUT_PER_MM};
use super::listed::Listed;
use super::names;
use super::plates::{Colour, GlassModel};

/// The glasses of a scene and their causes.
#[derive(Default)]
pub(super) struct Glasses {
    pub models: Vec<GlassModel>,
    /// Factor of the depth by which each scatters, for those that do.
    pub scatter: Vec<Option<NumberId>>,
    number: BTreeMap<String, usize>,
}

/// Colourants and how much of them.
type Amounts = Vec<(String, f64)>;

/// Factor of a colourant's strength, and the shift of its edge.
type Colourants = BTreeMap<String, (NumberId, Option<NumberId>)>;

impl Glasses {
    /// All of `used`, each once.
    pub(super) fn new<'a>(
        scene: &Scene,
        used: impl Iterator<Item = &'a Arc<Glass>>,
        listed: &mut Listed,
    ) -> Result<Self, CauseError> {
        let mut distinct: Vec<&Arc<Glass>> = Vec::new();
        let mut glasses = Self::default();
        for glass in used {
            if !glasses.number.contains_key(&glass.id) {
                glasses.number.insert(glass.id.clone(), distinct.len());
                distinct.push(glass);
            }
        }
        let recipes: Vec<Recipe> = distinct.iter().map(|glass| Recipe::of(scene, glass)).collect();
        let count = recipes.iter().filter(|recipe| recipe.base.is_some()).count();
        let spread = names::plus_minus(LEFT_OUT_PER_MM, " per mm");
        let mut left_out =
            listed.deviations("what recipes leave out", count, spread, Origin::Assumption)?.into_iter();
        let spread = names::plus_minus(INDEX, "");
        let index =
            listed.deviations("refractive index of the glass", distinct.len(), spread, Origin::Assumption)?;
        let mut colourants = Colourants::new();
        for ((glass, recipe), index) in distinct.iter().zip(recipes).zip(index) {
            let background = recipe.base.as_ref().and_then(|_| left_out.next());
            let passes = GlassModel::passes(glass.base.spectrum());
            let mut colour = |part: &str, amounts: Option<Amounts>, absorbance, sigma, background| {
                let absorbers = match amounts {
                    Some(amounts) => of_recipe(&amounts, background, &mut colourants, listed)?,
                    None => of_spectrum(glass, part, absorbance, sigma, listed)?,
                };
                Ok::<_, CauseError>(Colour::new(absorbers, &passes))
            };
            let sigma = &glass.uncertainty;
            glasses.models.push(GlassModel {
                base: colour("", recipe.base, &glass.base, &sigma.base_per_mm, background)?,
                streak: match &glass.streak {
                    Some(streak) => Some(colour(
                        "second colour of ",
                        recipe.streak,
                        &streak.absorbance,
                        &sigma.streak_per_mm,
                        background,
                    )?),
                    None => None,
                },
                // It lies within a base that has been counted.
                flash: match &glass.flash {
                    Some(flash) => {
                        let absorbance = &flash.absorbance;
                        Some(colour("flash of ", recipe.flash, absorbance, &sigma.flash_per_mm, None)?)
                    }
                    None => None,
                },
                n: glass.n,
                index,
            });
            glasses.scatter.push(if glass.diffuse.share > 0.0 {
                let name = format!("light scattered by {}", glass.name);
                Some(listed.factor(name, GLASS_SCATTER_LN, Origin::Assumption)?)
            } else {
                None
            });
        }
        Ok(glasses)
    }

    /// Place of a glass in `models`.
    pub(super) fn number(&self, id: &str) -> Option<usize> {
        self.number.get(id).copied()
    }
}

/// What each of a glass's colours is made of, where that is known.
#[derive(Default)]
struct Recipe {
    base: Option<Amounts>,
    streak: Option<Amounts>,
    flash: Option<Amounts>,
}

impl Recipe {
    fn of(scene: &Scene, glass: &Glass) -> Self {
        let owned = |amounts: &[(&'static str, f64)]| {
            Some(amounts.iter().map(|(name, amount)| ((*name).to_owned(), *amount)).collect())
        };
        let written = |colour: &GlassColour| match colour {
            GlassColour::Recipe(amounts) => Some(amounts.clone().into_iter().collect()),
            GlassColour::Internal(_) | GlassColour::Total(_) => None,
        };
        match scene.glasses.get(&glass.id) {
            // A stated uncertainty is that of the whole spectrum.
            Some(own) if own.uncertainty.is_some() => Self::default(),
            Some(own) => Self {
                base: written(&own.colour),
                streak: own.streak.as_ref().and_then(|streak| written(&streak.colour)),
                flash: own.flash.as_ref().and_then(|flash| written(&flash.colour)),
            },
            None if glass.provenance == Provenance::Recipe => {
                glass::ingredients(&glass.id).map_or_else(Self::default, |found| Self {
                    base: owned(&found.base),
                    streak: owned(&found.streak),
                    flash: owned(&found.flash),
                })
            }
            None => Self::default(),
        }
    }
}

fn of_recipe(
    amounts: &Amounts,
    background: Option<NumberId>,
    colourants: &mut Colourants,
    listed: &mut Listed,
) -> Result<Vec<Absorber>, CauseError> {
    let mut absorbers = Vec::new();
    for (name, amount) in amounts {
        let Ok(known) = colourant(name) else { continue };
        let (strength, edge) = match colourants.get(&known.name) {
            Some(found) => *found,
            None => {
                let words = names::colourant(&known.name);
                let name = format!("strength of {words}");
                let strength = listed.factor(name, known.relative_sigma, Origin::Assumption)?;
                let edge = if glass::is_edge(&known.name) {
                    let spread = names::plus_minus(EDGE_NM, " nm");
                    Some(listed.added(format!("edge of {words}"), EDGE_NM, spread, Origin::Assumption)?)
                } else {
                    None
                };
                *colourants.entry(known.name.clone()).or_insert((strength, edge))
            }
        };
        let absorber = Absorber::new(&Absorbance::per_mm(known.absorbance * *amount)).with_strength(strength);
        absorbers.push(match edge {
            Some(shift) => absorber.with_shift_nm(shift),
            None => absorber,
        });
    }
    if let Some(background) = background {
        let flat = Absorbance::per_mm(Spectrum::splat(LEFT_OUT_PER_MM));
        absorbers.push(Absorber::new(&flat).with_strength(background));
    }
    Ok(absorbers)
}

/// A colour whose spectrum is known as a whole: one curve of relative errors, and an absolute one where it hardly
/// absorbs, which together have the standard deviation `sigma`. `part` names the colour, for the base not at all.
fn of_spectrum(
    glass: &Glass,
    part: &str,
    absorbance: &Absorbance,
    sigma: &Spectrum,
    listed: &mut Listed,
) -> Result<Vec<Absorber>, CauseError> {
    let origin = match glass.provenance {
        Provenance::Measured => Origin::Measured,
        Provenance::Photographed | Provenance::EstimatedFromColour | Provenance::Recipe => Origin::Assumption,
    };
    let (relative, absolute) = relative_and_absolute(absorbance, sigma);
    let name = format!("spectrum of {part}{}, {}", glass.name, glass.provenance.name());
    let curve = listed.curve(name, relative, glass.uncertainty.correlation_nm, origin)?;
    let name = format!("spectrum of {part}{} where it is clear", glass.name);
    let offset = listed.added(name, 1.0, names::plus_minus(absolute, " per mm"), origin)?;
    let flat = Absorbance::per_mm(Spectrum::splat(absolute));
    Ok(vec![Absorber::new(absorbance).with_curve(curve), Absorber::new(&flat).with_strength(offset)])
}

/// σ² = (relative · a)² + absolute², from the wavelengths where the glass absorbs most and least.
fn relative_and_absolute(base: &Absorbance, sigma: &Spectrum) -> (f64, f64) {
    let a = base.spectrum();
    let places = 0..spectra::SAMPLES;
    let (Some(most), Some(least)) = (
        places.clone().max_by(|&i, &j| a[i].total_cmp(&a[j])),
        places.min_by(|&i, &j| a[i].total_cmp(&a[j])),
    ) else {
        return (0.0, 0.0);
    };
    let (high, low) = (a[most].powi(2), a[least].powi(2));
    let (sigma_high, sigma_low) = (sigma[most].powi(2), sigma[least].powi(2));
    if high - low < 1e-12 {
        return (0.0, sigma_high.sqrt());
    }
    let relative = ((sigma_high - sigma_low) / (high - low)).max(0.0);
    (relative.sqrt(), (sigma_low - relative * low).max(0.0).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_standard_deviation_by_wavelength_is_split_and_adds_up_again() {
        let base = Absorbance::per_mm(Spectrum::from_fn(|nm| 0.001 * (nm - 350.0)));
        let uncertainty = glass::Uncertainty::of(&base, 0.15, 0.01, 100.0);
        let (relative, absolute) = relative_and_absolute(&base, &uncertainty.base_per_mm);
        assert!((relative - 0.15).abs() < 1e-9 && (absolute - 0.01).abs() < 1e-9, "{relative} {absolute}");
        let grey = Absorbance::per_mm(Spectrum::splat(0.2));
        let uncertainty = glass::Uncertainty::of(&grey, 0.15, 0.0, 100.0);
        let (relative, absolute) = relative_and_absolute(&grey, &uncertainty.base_per_mm);
        assert!(relative.abs() < 1e-12 && (absolute - 0.03).abs() < 1e-12);
    }
}
