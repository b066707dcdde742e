//! The cast: the colour that light has taken on, in figures and in words.

use serde::Serialize;
use spectra::{Chromaticity, Observer, Spectrum, UvPrime, Xyz};

/// The chromaticity of the light at a place and how it differs from the same room with clear glass.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Cast {
    /// CIE 1931 x.
    pub x: Option<f64>,
    /// CIE 1931 y.
    pub y: Option<f64>,
    /// CIE 1976 u′.
    pub u_prime: Option<f64>,
    /// CIE 1976 v′.
    pub v_prime: Option<f64>,
    /// Correlated colour temperature, K; none where |Duv| exceeds 0.05.
    pub cct_k: Option<f64>,
    /// Distance from the Planckian locus, above it positive.
    pub duv: Option<f64>,
    /// Dominant wavelength, nm, with the clear room's light as white; for purples the complementary one, negative.
    pub dominant_nm: Option<f64>,
    /// Excitation purity against the same white, 0–1.
    pub excitation_purity: Option<f64>,
    /// Δu′v′ from the same room with clear glass at the same minute.
    pub shift_from_clear: Option<f64>,
    /// Standard deviation of the place in (u′, v′) from the glasses' uncertainty, √(σu′² + σv′²).
    pub uncertainty_uv: Option<f64>,
    /// For a client.
    pub words: String,
}

/// Below this illuminance, lx, colour is not judged: vision by rods (CIE 191:2010 gives 0.005–5 cd/m² as the range
/// between; 0.3 lx on white cloth is 0.08 cd/m²; our assumption).
pub const COLOUR_FROM_LX: f64 = 0.3;

impl Cast {
    /// Of a spectral irradiance, against that of the same room with clear glass. Everything is `None` in the dark.
    pub fn of(light: &Spectrum, clear: &Spectrum) -> Self {
        let xyz = Xyz::absolute(light, Observer::Cie1931);
        let (Some(xy), Some(uv)) = (xyz.chromaticity(), xyz.u_prime_v_prime()) else {
            return Self { words: DARK.to_owned(), ..Self::default() };
        };
        let white = Xyz::absolute(clear, Observer::Cie1931);
        let shift = white.u_prime_v_prime().map(|w| uv.distance(w));
        let dominant = white.chromaticity().and_then(|w| xy.dominant(w, Observer::Cie1931));
        let temperature = uv.cct_duv();
        let words = if xyz.y < COLOUR_FROM_LX {
            DARK.to_owned()
        } else {
            cast_in_words(shift.unwrap_or(0.0), dominant.map(|d| d.wavelength_nm))
        };
        Self {
            x: Some(xy.x),
            y: Some(xy.y),
            u_prime: Some(uv.u),
            v_prime: Some(uv.v),
            cct_k: temperature.map(|t| t.cct_k),
            duv: temperature.map(|t| t.duv),
            dominant_nm: dominant.map(|d| d.wavelength_nm),
            excitation_purity: dominant.map(|d| d.excitation_purity),
            shift_from_clear: shift,
            uncertainty_uv: None,
            words,
        }
    }

    /// (u′, v′), where there is light.
    pub fn uv(&self) -> Option<UvPrime> {
        Some(UvPrime { u: self.u_prime?, v: self.v_prime? })
    }

    /// (x, y), where there is light.
    pub fn xy(&self) -> Option<Chromaticity> {
        Some(Chromaticity { x: self.x?, y: self.y? })
    }
}

const DARK: &str = "Too dark to see colour";

/// Strength by Δu′v′ from clear glass: up to, and the words around the hue. The first step is the difference that half
/// of observers just notice side by side (CIE TN 001:2014: 0.0033); the others are our assumption, each a little more
/// than double the last.
const STRENGTHS: [(f64, &str, &str); 6] = [
    (0.0033, "", ""),
    (0.010, "A hint of ", ""),
    (0.025, "A pale ", " cast, gentle"),
    (0.060, "A ", " cast, distinct"),
    (0.120, "A strong ", " cast"),
    (f64::INFINITY, "A deep ", " light"),
];

/// Hues by dominant wavelength, nm: up to, word (our assumption, near the ISCC–NBS ranges of light sources after
/// Kelly 1943, from memory).
const SPECTRAL_HUES: [(f64, &str); 11] = [
    (460.0, "violet"),
    (474.0, "violet-blue"),
    (484.0, "blue"),
    (490.0, "blue-green"),
    (500.0, "turquoise"),
    (548.0, "green"),
    (569.0, "yellow-green"),
    (577.0, "yellow"),
    (586.0, "amber"),
    (600.0, "orange"),
    (f64::INFINITY, "red"),
];

/// Hues without a wavelength of their own, by the complementary one.
const PURPLE_HUES: [(f64, &str); 4] =
    [(503.0, "rose"), (535.0, "magenta"), (557.0, "purple"), (f64::INFINITY, "violet")];

/// The cast for a client: how strong by the shift from clear glass, which hue by the dominant wavelength against the
/// clear room's light (negative: complementary).
pub fn cast_in_words(shift_from_clear: f64, dominant_nm: Option<f64>) -> String {
    let Some(&(_, before, after)) = STRENGTHS.iter().find(|s| shift_from_clear < s.0) else {
        return "No cast to speak of".to_owned();
    };
    let hue = dominant_nm.and_then(|nm| {
        let table: &[(f64, &str)] = if nm < 0.0 { &PURPLE_HUES } else { &SPECTRAL_HUES };
        table.iter().find(|h| nm.abs() < h.0).map(|h| h.1)
    });
    match hue {
        Some(hue) if !before.is_empty() => {
            let vowel = hue.starts_with(['a', 'o']) && before == "A ";
            format!("{}{hue}{after}", if vowel { "An " } else { before })
        }
        _ => "No cast to speak of".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_client_understands_it() {
        for (shift, nm, words) in [
            (0.001, Some(520.0), "No cast to speak of"),
            (0.005, Some(520.0), "A hint of green"),
            (0.02, Some(520.0), "A pale green cast, gentle"),
            (0.04, Some(583.0), "An amber cast, distinct"),
            (0.04, Some(480.0), "A blue cast, distinct"),
            (0.1, Some(620.0), "A strong red cast"),
            (0.2, Some(-520.0), "A deep magenta light"),
            (0.2, None, "No cast to speak of"),
        ] {
            assert_eq!(cast_in_words(shift, nm), words);
        }
    }

    #[test]
    fn no_light_no_figures() {
        let cast = Cast::of(&Spectrum::ZERO, &Spectrum::ZERO);
        assert_eq!((cast.x, cast.dominant_nm, cast.words.as_str()), (None, None, DARK));
    }
}
