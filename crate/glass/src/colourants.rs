//! Colourants of glass: ions, sulphide and selenide edges, metal colloids; and recipes made of them.

use std::sync::LazyLock;

use spectra::{SAMPLES, Spectrum};

use crate::Absorbance;

/// Ceiling of an absorption edge, per mm per unit amount: beyond it nothing passes, and there are no measurements.
const EDGE_CEILING: f64 = 6.0;

/// One colourant: absorbance per millimetre, base 10, per unit amount.
#[derive(Clone, Debug)]
pub struct Colourant {
    /// Name as used in recipes, e.g. `Co2+`, `Ni2+ soda`, `Au_10nm`.
    pub name: String,
    /// Unit of the amount, e.g. `wt% CoO`, `ppm by volume`.
    pub unit: String,
    /// Absorbance per mm per unit amount.
    pub absorbance: Spectrum,
    /// Relative standard deviation of the absorbance, by the origin of the numbers.
    pub relative_sigma: f64,
}

/// Why a recipe gives no spectrum.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RecipeError {
    /// A name that is not in the tables.
    #[error("amounts: no colourant is called {name:?}; known colourants: {known}")]
    Unknown {
        /// The name requested.
        name: String,
        /// The known names, separated by commas.
        known: String,
    },
    /// An amount below 0 or NaN.
    #[error("amounts.{name}: expected a number of at least 0, found {found}")]
    Amount {
        /// Colourant.
        name: String,
        /// The value given.
        found: f64,
    },
    /// A thickness below 0 or NaN.
    #[error("thickness_mm: expected a number of at least 0, found {found}")]
    Thickness {
        /// The value given.
        found: f64,
    },
}

/// All colourants: the ions of `data/ions.csv`, then the colloids of `data/colloids.csv`.
///
/// Ions: sums of Gaussians in wavenumber, A(ν) = a·exp(−4 ln2 ((ν−c)/w)²), and edges a·exp((ν−c)/w) up to 6.
/// Colloids: Mie extinction of spheres of that radius in glass of n = 1.52. Sources in `data/README.md`.
pub fn colourants() -> &'static [Colourant] {
    static ALL: LazyLock<Vec<Colourant>> = LazyLock::new(|| {
        let mut all = ions(include_str!("../data/ions.csv"));
        all.extend(colloids(include_str!("../data/colloids.csv")));
        all
    });
    &ALL
}

/// The colourant of that name; spaces and underscores are equivalent.
pub fn colourant(name: &str) -> Result<&'static Colourant, RecipeError> {
    let plain = |s: &str| s.trim().replace('_', " ");
    let wanted = plain(name);
    colourants().iter().find(|c| plain(&c.name) == wanted).ok_or_else(|| RecipeError::Unknown {
        name: name.to_owned(),
        known: colourants().iter().map(|c| c.name.as_str()).collect::<Vec<_>>().join(", "),
    })
}

/// Absorbance per millimetre of a glass of these colourants, `(name, amount)`.
///
/// A recipe gives a shape to scale to a measurement, not an analysis: the furnace's redox state can halve any ion.
///
/// # Errors
/// [`RecipeError`] for an unknown name (listing the known ones) or an amount below 0.
pub fn recipe<N: AsRef<str>>(amounts: &[(N, f64)]) -> Result<Absorbance, RecipeError> {
    let mut total = Spectrum::ZERO;
    for (name, amount) in amounts {
        let (name, amount) = (name.as_ref(), *amount);
        let colourant = colourant(name)?;
        if !(amount.is_finite() && amount >= 0.0) {
            return Err(RecipeError::Amount { name: name.to_owned(), found: amount });
        }
        total.add_scaled(amount, &colourant.absorbance);
    }
    Ok(Absorbance::per_mm(total))
}

/// Standard deviation of [`recipe`]'s absorbance per millimetre: each colourant's own, added in quadrature.
///
/// # Errors
/// As [`recipe`].
pub fn recipe_sigma<N: AsRef<str>>(amounts: &[(N, f64)]) -> Result<Spectrum, RecipeError> {
    recipe(amounts)?;
    let mut variance = Spectrum::ZERO;
    for (name, amount) in amounts {
        let c = colourant(name.as_ref())?;
        variance += c.absorbance.map(|a| (a * amount * c.relative_sigma).powi(2));
    }
    Ok(variance.map(f64::sqrt))
}

/// Internal transmittance of `thickness_mm` of a glass of these colourants, `(name, amount)`.
///
/// ```
/// let cobalt = glass::recipe_internal(&[("Fe2+", 0.02), ("Fe3+", 0.06), ("Co2+", 0.12)], 3.0)?;
/// assert!(cobalt[12] > 0.5 && cobalt[43] < 0.01); // 440 nm passes, 595 nm does not
/// # Ok::<(), glass::RecipeError>(())
/// ```
///
/// # Errors
/// As [`recipe`], and a thickness below 0.
pub fn recipe_internal<N: AsRef<str>>(
    amounts: &[(N, f64)],
    thickness_mm: f64,
) -> Result<Spectrum, RecipeError> {
    if !(thickness_mm.is_finite() && thickness_mm >= 0.0) {
        return Err(RecipeError::Thickness { found: thickness_mm });
    }
    Ok(recipe(amounts)?.internal(thickness_mm))
}

fn ions(table: &str) -> Vec<Colourant> {
    let mut all: Vec<Colourant> = Vec::new();
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let [name, unit, kind, centre, width, peak, basis] = cells[..] else { continue };
        let (Ok(centre), Ok(width), Ok(peak)) =
            (centre.parse::<f64>(), width.parse::<f64>(), peak.parse::<f64>())
        else {
            continue;
        };
        let band = Spectrum::from_fn(|nm| {
            let x = (1e7 / nm - centre) / width;
            if kind == "edge" {
                (peak * x.exp()).min(EDGE_CEILING)
            } else {
                peak * (-4.0 * std::f64::consts::LN_2 * x * x).exp()
            }
        });
        let sigma = relative_sigma(name, basis);
        match all.iter_mut().find(|c| c.name == name) {
            Some(c) => {
                c.absorbance += band;
                c.relative_sigma = c.relative_sigma.max(sigma);
            }
            None => all.push(Colourant {
                name: name.to_owned(),
                unit: unit.to_owned(),
                absorbance: band,
                relative_sigma: sigma,
            }),
        }
    }
    all
}

/// How far an ion's strength may be off. Basis: `F` fitted to open spectra, `P` published, `K` catalogue values,
/// `M` from memory. Our own judgement, in addition to ± 40 of 180 l/mol/cm for cobalt and ± 50 % for Cr⁶⁺, Ni²⁺,
/// V³⁺ and Nd³⁺.
fn relative_sigma(name: &str, basis: &str) -> f64 {
    match name {
        "Cr6+" | "Ni2+ soda" | "Ni2+ potash" | "V3+" | "Nd3+" => 0.5,
        "Co2+" | "Co2+ potash" => 0.22,
        _ if basis.contains('M') => 0.3,
        _ => 0.15,
    }
}

fn colloids(table: &str) -> Vec<Colourant> {
    let mut lines = table.lines();
    let names: Vec<&str> = lines.next().unwrap_or_default().split(',').skip(1).collect();
    let mut all: Vec<Colourant> = names
        .iter()
        .map(|name| Colourant {
            name: (*name).to_owned(),
            unit: "ppm by volume".to_owned(),
            absorbance: Spectrum::ZERO,
            relative_sigma: 0.3,
        })
        .collect();
    for (sample, line) in lines.take(SAMPLES).enumerate() {
        for (colloid, cell) in all.iter_mut().zip(line.split(',').skip(1)) {
            colloid.absorbance[sample] = cell.parse().unwrap_or(0.0);
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_read_with_space_or_underscore() {
        assert_eq!(colourant("Ni2+_soda").unwrap().name, "Ni2+ soda");
        assert_eq!(colourant("Au 10nm").unwrap().name, "Au_10nm");
    }

    #[test]
    fn faults_name_the_colourant() {
        let fault = recipe(&[("Co2+", -1.0)]).unwrap_err();
        assert_eq!(fault.to_string(), "amounts.Co2+: expected a number of at least 0, found -1");
        let fault = recipe(&[("Xx", 1.0)]).unwrap_err().to_string();
        assert!(fault.contains("\"Xx\"") && fault.contains("Cu2+"), "{fault}");
        assert!(recipe(&[("Co2+", f64::NAN)]).is_err());
    }

    #[test]
    fn cobalt_absorbs_where_its_published_peaks_are() {
        // Filter-glass peaks 537, 595, 643 nm; between them it opens.
        let a = colourant("Co2+").unwrap().absorbance;
        let at = |nm: f64| a[((nm - 380.0) / 5.0) as usize];
        assert!(at(595.0) > at(565.0) && at(595.0) > at(615.0) && at(640.0) > at(620.0));
        // ε ≈ 180 l/mol/cm is 6.0 per mm per wt%.
        assert!((at(595.0) - 6.0).abs() < 1.0, "{}", at(595.0));
    }

    #[test]
    fn colloid_bands_peak_where_silver_and_gold_do() {
        let peak = |name: &str| {
            let a = colourant(name).unwrap().absorbance;
            380.0 + 5.0 * (0..81).max_by(|&i, &j| a[i].total_cmp(&a[j])).unwrap() as f64
        };
        assert_eq!((peak("Ag_10nm"), peak("Au_10nm")), (410.0, 535.0));
    }
}
