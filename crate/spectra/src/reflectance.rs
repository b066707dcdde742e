//! Familiar things that show what a window's light does: cloth, stone, wood, skin.
//!
//! All six curves are **invented**, by closed forms given in `data/README.md`, and must be labelled *estimated*
//! wherever they are shown. They have the typical shape of such things (skin: blood's absorption bands over a rise
//! toward red) and lie near published measurements, but belong to no real sample or person.

use std::sync::LazyLock;

use crate::{Spectrum, table};

static REFLECTANCES: LazyLock<[Spectrum; 6]> =
    LazyLock::new(|| table::spectra::<7, 6>(include_str!("../data/reflectances.csv")));

/// White linen, bleached: nearly uniform, falling below 420 nm.
pub fn white_linen() -> Spectrum {
    REFLECTANCES[0]
}

/// Pale limestone.
pub fn pale_limestone() -> Spectrum {
    REFLECTANCES[1]
}

/// Warm sandstone.
pub fn sandstone() -> Spectrum {
    REFLECTANCES[2]
}

/// Oak, oiled.
pub fn oak() -> Spectrum {
    REFLECTANCES[3]
}

/// Dark skin.
pub fn dark_skin() -> Spectrum {
    REFLECTANCES[4]
}

/// Light skin.
pub fn light_skin() -> Spectrum {
    REFLECTANCES[5]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_reflects_more_than_it_receives() {
        for r in [white_linen(), pale_limestone(), sandstone(), oak(), dark_skin(), light_skin()] {
            assert!(r.min() > 0.0 && r.max() < 1.0);
        }
    }

    #[test]
    fn the_curves_are_the_rounded_closed_forms() {
        let rise = |nm: f64, low: f64, step: f64, middle: f64, width: f64| {
            low + step / (1.0 + (-(nm - middle) / width).exp())
        };
        let band = |nm: f64, depth: f64, at: f64, width: f64| {
            1.0 - depth * (-0.5 * ((nm - at) / width).powi(2)).exp()
        };
        let close = |table: Spectrum, form: Spectrum| {
            // Five decimals are kept.
            assert!((table - form).map(f64::abs).max() < 5.01e-6);
        };
        close(white_linen(), Spectrum::from_fn(|nm| 0.86 - 0.30 * (-(nm - 380.0) / 28.0).exp()));
        close(pale_limestone(), Spectrum::from_fn(|nm| rise(nm, 0.30, 0.34, 455.0, 55.0)));
        close(sandstone(), Spectrum::from_fn(|nm| rise(nm, 0.12, 0.36, 560.0, 38.0)));
        close(oak(), Spectrum::from_fn(|nm| rise(nm, 0.05, 0.38, 600.0, 60.0)));
        close(
            dark_skin(),
            Spectrum::from_fn(|nm| {
                rise(nm, 0.055, 0.29, 632.0, 48.0)
                    * band(nm, 0.08, 417.0, 20.0)
                    * band(nm, 0.05, 543.0, 13.0)
                    * band(nm, 0.05, 576.0, 11.0)
            }),
        );
        close(
            light_skin(),
            Spectrum::from_fn(|nm| {
                rise(nm, 0.24, 0.44, 585.0, 40.0)
                    * band(nm, 0.26, 417.0, 22.0)
                    * band(nm, 0.15, 543.0, 13.0)
                    * band(nm, 0.15, 576.0, 10.0)
            }),
        );
    }
}
