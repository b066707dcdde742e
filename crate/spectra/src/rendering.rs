//! CIE colour rendering index: Ra and the fourteen special indices.

use std::sync::LazyLock;

use crate::illuminant::{self, IlluminantError};
use crate::observer::Observer;
use crate::{CctDuv, Spectrum, TristimulusWeights, Xyz, table};

/// Colour rendering of a light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColourRendering {
    /// General index Ra, the mean of R1–R8.
    pub ra: f64,
    /// Special indices R1–R14.
    pub r: [f64; 14],
    /// Temperature and Duv of the light; the reference has the same temperature.
    pub cct_duv: CctDuv,
}

/// Distance from the reference's chromaticity in CIE 1960 (u, v) beyond which CIE 13.3 calls its indices less
/// accurate.
pub const LARGEST_ACCURATE_DISTANCE: f64 = 5.4e-3;

impl ColourRendering {
    /// Whether the light is so far off the Planckian locus (|Duv| above [`LARGEST_ACCURATE_DISTANCE`]) that CIE
    /// 13.3 warns about the figures. This holds for most light through coloured glass.
    pub fn is_doubtful(&self) -> bool {
        self.cct_duv.duv.abs() > LARGEST_ACCURATE_DISTANCE
    }
}

/// Why a light has no colour rendering index.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum RenderingError {
    /// It is not a light.
    #[error(transparent)]
    NotALight(#[from] IlluminantError),
    /// It has no correlated colour temperature, and hence no reference light for comparison.
    #[error(
        "the light has no correlated colour temperature (|Duv| above 0.05, or outside 1000 to 100000 K), so there is no reference light"
    )]
    NoTemperature,
    /// Its temperature lies beyond the reference daylights.
    #[error("correlated colour temperature {cct_k} K: reference daylight ends at 25000 K")]
    TooBlue {
        /// The light's temperature, K.
        cct_k: f64,
    },
}

// Source: data/README.md.
static TEST_COLOURS: LazyLock<[Spectrum; 14]> =
    LazyLock::new(|| table::spectra::<15, 14>(include_str!("../data/test_colours.csv")));

/// Reference light: a black body below this temperature, CIE daylight at and above it. (CIE 13.3-1995)
const DAYLIGHT_FROM_K: f64 = 5000.0;

/// CIE Ra and R1–R14 of a light; its scale does not matter.
///
/// # Errors
/// [`RenderingError`] if the index has no meaning: no light, no correlated colour temperature, or one beyond 25 000
/// K.
///
/// # Source
/// CIE 13.3-1995, with the exact correlated colour temperature and unrounded daylight factors.
pub fn colour_rendering(light: &Spectrum) -> Result<ColourRendering, RenderingError> {
    illuminant::check(light)?;
    // A light at the very end of the number range would overflow its own scale.
    let light = &(*light / light.max());
    let cct_duv = Xyz::absolute(light, Observer::Cie1931).cct_duv().ok_or(RenderingError::NoTemperature)?;
    let cct_k = cct_duv.cct_k;
    let reference = if cct_k < DAYLIGHT_FROM_K {
        illuminant::planck(cct_k)
    } else {
        illuminant::daylight(cct_k).map_err(|_| RenderingError::TooBlue { cct_k })?
    };

    let tested = TristimulusWeights::of_transmission(light, Observer::Cie1931);
    let compared = TristimulusWeights::of_transmission(&reference, Observer::Cie1931);
    let (white, reference_white) = (Uv::of(tested.xyz(&Spectrum::ONE)), Uv::of(compared.xyz(&Spectrum::ONE)));

    let mut r = [0.0; 14];
    for (r, colour) in r.iter_mut().zip(&*TEST_COLOURS) {
        let (seen, meant) = (tested.xyz(colour), compared.xyz(colour));
        let shifted = Uv::of(seen).adapted(white, reference_white);
        let (w, w_meant) = (lightness(seen.y), lightness(meant.y));
        let [u, v] = shifted.u_v_star(w, reference_white);
        let [u_meant, v_meant] = Uv::of(meant).u_v_star(w_meant, reference_white);
        *r = 100.0 - 4.6 * (w - w_meant).hypot((u - u_meant).hypot(v - v_meant));
    }
    Ok(ColourRendering { ra: r[..8].iter().sum::<f64>() / 8.0, r, cct_duv })
}

/// CIE 1964 lightness W* of Y = 100 for white.
fn lightness(y: f64) -> f64 {
    25.0 * y.cbrt() - 17.0
}

/// CIE 1960 (u, v).
#[derive(Clone, Copy)]
struct Uv {
    u: f64,
    v: f64,
}

impl Uv {
    /// Only for lights that passed the check, and for test colours in them.
    fn of(xyz: Xyz) -> Self {
        let sum = xyz.x + 15.0 * xyz.y + 3.0 * xyz.z;
        Self { u: 4.0 * xyz.x / sum, v: 6.0 * xyz.y / sum }
    }

    /// Von Kries adaptation in the form of CIE 13.3-1995
    fn adapted(self, white: Self, reference_white: Self) -> Self {
        let [c, d] = self.c_d();
        let ([ck, dk], [cr, dr]) = (white.c_d(), reference_white.c_d());
        let (c, d) = (cr / ck * c, dr / dk * d);
        let denominator = 16.518 + 1.481 * c - d;
        Self { u: (10.872 + 0.404 * c - 4.0 * d) / denominator, v: 5.520 / denominator }
    }

    fn c_d(self) -> [f64; 2] {
        [(4.0 - self.u - 10.0 * self.v) / self.v, (1.708 * self.v + 0.404 - 1.481 * self.u) / self.v]
    }

    /// U*, V* of CIE 1964, seen from `white`.
    fn u_v_star(self, lightness: f64, white: Self) -> [f64; 2] {
        [13.0 * lightness * (self.u - white.u), 13.0 * lightness * (self.v - white.v)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_light_renders_perfectly() {
        for light in
            [illuminant::planck(2700.0), illuminant::planck(4990.0), illuminant::daylight(6504.0).unwrap()]
        {
            let found = colour_rendering(&light).unwrap();
            // Daylight's own temperature is not exactly the nominal one.
            assert!(found.r.iter().all(|r| *r > 99.98), "{found:?}");
        }
    }

    #[test]
    fn lights_without_meaning_are_refused() {
        assert!(matches!(
            colour_rendering(&Spectrum::ZERO),
            Err(RenderingError::NotALight(IlluminantError::NoLight { .. }))
        ));
        let mut line = Spectrum::ZERO;
        line[30] = 1.0;
        assert_eq!(colour_rendering(&line), Err(RenderingError::NoTemperature));
        assert!(matches!(
            colour_rendering(&illuminant::planck(30_000.0)),
            Err(RenderingError::TooBlue { cct_k }) if (cct_k - 30_000.0).abs() < 500.0
        ));
        let mut negative = illuminant::d65();
        negative[80] = -1.0;
        assert!(matches!(colour_rendering(&negative), Err(RenderingError::NotALight(_))));
    }
}
