//! The two standard observers and what follows directly from them: light units and the spectrum locus.

use std::sync::LazyLock;

use crate::chromaticity::Chromaticity;
use crate::table;
use crate::{GRID_STEP_NM, Spectrum};

/// Luminous efficacy Km used throughout, lm/W.
///
/// SI defines 683 lm/W at 540·10¹² Hz; the maximum of V(λ) then lies at 683.002, which is not used here.
pub const LUMINOUS_EFFICACY: f64 = 683.0;

/// A standard observer, which selects the colour-matching functions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Observer {
    /// CIE 1931, 2° field. The observer of every light unit, of u′v′, CCT and colour rendering.
    #[default]
    Cie1931,
    /// CIE 1964, 10° field: for large uniform areas of colour.
    Cie1964,
}

/// First and last wavelength of the 1 nm tables, nm.
pub(crate) const ONE_NM_FIRST: usize = 360;
const ONE_NM_ROWS: usize = 471;

/// One column of the 1 nm tables.
type OneNm = [f64; ONE_NM_ROWS];

// Source: CIE 1931 and CIE 1964 standard colorimetric observers; data/README.md gives origin and licence. The 5 nm
// values of CIE 15 are every fifth row.
static ONE_NM: LazyLock<[OneNm; 7]> = LazyLock::new(|| table::columns(include_str!("../data/observers.csv")));

static FUNCTIONS: LazyLock<[[Spectrum; 3]; 2]> = LazyLock::new(|| {
    [Observer::Cie1931, Observer::Cie1964].map(|observer| one_nm(observer).map(every_fifth))
});

/// First wavelength of the spectrum locus, nm. It ends at 700 nm: beyond, the chromaticity no longer changes.
pub(crate) const LOCUS_FIRST_NM: f64 = 380.0;
const LOCUS_POINTS: usize = 321;

static LOCI: LazyLock<[[Chromaticity; LOCUS_POINTS]; 2]> =
    LazyLock::new(|| [Observer::Cie1931, Observer::Cie1964].map(locus));

/// x̄, ȳ, z̄ of an observer, 360–830 nm by 1 nm.
pub(crate) fn one_nm(observer: Observer) -> [&'static OneNm; 3] {
    let [_, x, y, z, x10, y10, z10] = &*ONE_NM;
    match observer {
        Observer::Cie1931 => [x, y, z],
        Observer::Cie1964 => [x10, y10, z10],
    }
}

fn every_fifth(column: &OneNm) -> Spectrum {
    Spectrum::new(std::array::from_fn(|i| column[380 - ONE_NM_FIRST + 5 * i]))
}

fn locus(observer: Observer) -> [Chromaticity; LOCUS_POINTS] {
    let [x, y, z] = one_nm(observer);
    std::array::from_fn(|i| {
        let row = i + 380 - ONE_NM_FIRST;
        let sum = x[row] + y[row] + z[row];
        Chromaticity { x: x[row] / sum, y: y[row] / sum }
    })
}

/// The colour-matching functions x̄, ȳ, z̄ of an observer on the project's grid.
pub fn observer_functions(observer: Observer) -> &'static [Spectrum; 3] {
    &FUNCTIONS[observer as usize]
}

/// The spectrum locus, 380–700 nm by 1 nm; the purple line joins its two ends.
pub fn spectrum_locus(observer: Observer) -> &'static [Chromaticity] {
    LOCI[observer as usize].as_slice()
}

/// The luminous quantity of a spectral one: 683 lm/W · Σ S·ȳ · 5 nm, 1931 observer.
///
/// Radiance in W·m⁻²·sr⁻¹·nm⁻¹ gives luminance in cd/m², irradiance in W·m⁻²·nm⁻¹ illuminance in lx.
///
/// # Source
/// CIE 15:2018, with the sum taken at 5 nm.
pub fn luminous(spectrum: &Spectrum) -> f64 {
    LUMINOUS_EFFICACY * GRID_STEP_NM * spectrum.dot(&observer_functions(Observer::Cie1931)[1])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_grid_contains_the_published_five_nanometre_values() {
        let [x, y, z] = observer_functions(Observer::Cie1931);
        // CIE 15, table of the 1931 observer at 380, 555 and 780 nm.
        assert_eq!((x[0], y[0], z[0]), (0.001368, 3.9e-05, 0.006450001));
        assert_eq!((x[35], y[35], z[35]), (0.5120501, 1.0, 0.005749999));
        let [x10, y10, z10] = observer_functions(Observer::Cie1964);
        assert_eq!((x10[0], y10[0], z10[0]), (0.000159952, 1.7364e-05, 0.000704776));
    }

    #[test]
    fn one_watt_at_555_nm_is_683_lumen() {
        let mut line = Spectrum::ZERO;
        line[35] = 1.0 / GRID_STEP_NM;
        assert!((luminous(&line) - 683.0).abs() < 1e-9);
    }

    #[test]
    fn the_locus_passes_through_known_points() {
        let locus = spectrum_locus(Observer::Cie1931);
        assert_eq!(locus.len(), 321);
        // CIE 15: 380 nm (0.1741, 0.0050), 520 nm (0.0743, 0.8338), 700 nm (0.7347, 0.2653), four decimals.
        for (nm, x, y) in [(380, 0.1741, 0.0050), (520, 0.0743, 0.8338), (700, 0.7347, 0.2653)] {
            let p = locus[nm - 380];
            assert!((p.x - x).abs() < 6e-5 && (p.y - y).abs() < 6e-5, "{nm}: {p:?}");
        }
    }
}
