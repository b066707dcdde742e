//! The cast: the colour of the light, in figures and in words.

use schemars::JsonSchema;
use serde::Serialize;
use spectra::{Chromaticity, Lab, Observer, Spectrum, UvPrime, Xyz, chroma_and_hue_deg};

use crate::hues::hue_word;
use crate::looks::{COLOUR_FROM_LX, look};

/// The chromaticity of the light at a place and how it differs from the same room with clear glass.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Cast {
    /// CIE 1931 x.
    pub x: Option<f64>,
    /// CIE 1931 y.
    pub y: Option<f64>,
    /// CIE 1976 u′.
    pub u_prime: Option<f64>,
    /// CIE 1976 v′.
    pub v_prime: Option<f64>,
    /// Correlated colour temperature, K; `None` where |Duv| exceeds 0.05.
    pub cct_k: Option<f64>,
    /// Distance from the Planckian locus, positive above it.
    pub duv: Option<f64>,
    /// Dominant wavelength, nm, with equal-energy light as white, as is usual for the colour of lights. For purples
    /// it is the complementary wavelength, negative.
    pub dominant_nm: Option<f64>,
    /// Excitation purity against the same white, 0–1.
    pub excitation_purity: Option<f64>,
    /// Δu′v′ from the same room with clear glass at the same minute.
    pub shift_from_clear: Option<f64>,
    /// Standard deviation of the position in (u′, v′) if only the glasses were not known exactly, √(σu′² + σv′²). `None`
    /// if the ranges were not asked for, and at the eye where the place has a working plane.
    pub uncertainty_uv: Option<f64>,
    /// In words for a client.
    pub words: String,
}

impl Cast {
    /// The cast of a spectral irradiance, compared with that of the same room with clear glass. In the dark
    /// everything is `None`.
    pub fn of(light: &Spectrum, clear: &Spectrum) -> Self {
        let xyz = Xyz::absolute(light, Observer::Cie1931);
        let (Some(xy), Some(uv)) = (xyz.chromaticity(), xyz.u_prime_v_prime()) else {
            return Self { words: DARK.to_owned(), ..Self::default() };
        };
        let white = Xyz::absolute(clear, Observer::Cie1931);
        let shift = white.u_prime_v_prime().map(|w| uv.distance(w));
        let dominant = xy.dominant(EQUAL_ENERGY, Observer::Cie1931);
        let temperature = uv.cct_duv();
        let on_white = look(&Spectrum::ONE, light).filter(|_| xyz.y >= COLOUR_FROM_LX);
        let words = on_white.map_or_else(
            || DARK.to_owned(),
            |seen| {
                let [l, a, b] = seen.lab;
                cast_in_words(Lab::new(l, a, b))
            },
        );
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

    /// (u′, v′), if there is light.
    pub fn uv(&self) -> Option<UvPrime> {
        Some(UvPrime { u: self.u_prime?, v: self.v_prime? })
    }

    /// (x, y), if there is light.
    pub fn xy(&self) -> Option<Chromaticity> {
        Some(Chromaticity { x: self.x?, y: self.y? })
    }
}

const DARK: &str = "Too dark to see colour";

/// Chromaticity of equal-energy light.
const EQUAL_ENERGY: Chromaticity = Chromaticity { x: 1.0 / 3.0, y: 1.0 / 3.0 };

/// Strength by the chroma C*ab that white takes on: upper limit, and the words before and after the hue. Our
/// assumption; the first step is about the just noticeable difference, each further one about double the last.
const STRENGTHS: [(f64, &str, &str); 6] = [
    (2.5, "", ""),
    (6.0, "A hint of ", ""),
    (14.0, "A pale ", " cast, gentle"),
    (28.0, "A ", " cast, distinct"),
    (50.0, "A strong ", " cast"),
    (f64::INFINITY, "A deep ", " light"),
];

/// The cast in words for a client, from the look of white to an eye that has partly adapted ([`look`]): the same
/// colour as shown beside the words.
fn cast_in_words(white: Lab) -> String {
    let (chroma, hue_deg) = chroma_and_hue_deg(white);
    let strength = STRENGTHS.iter().find(|s| chroma < s.0);
    match (strength, hue_deg.map(hue_word)) {
        (Some((_, before, after)), Some(hue)) if !before.is_empty() => {
            let vowel = hue.starts_with(['a', 'o']) && *before == "A ";
            format!("{}{hue}{after}", if vowel { "An " } else { before })
        }
        _ => "No cast to speak of".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_a_client() {
        for (chroma, hue_deg, words) in [
            (1.0, 150.0, "No cast to speak of"),
            (5.0, 150.0, "A hint of green"),
            (10.0, 150.0, "A pale green cast, gentle"),
            (20.0, 80.0, "An amber cast, distinct"),
            (20.0, 260.0, "A blue cast, distinct"),
            (40.0, 30.0, "A strong red cast"),
            (70.0, 340.0, "A deep magenta light"),
            (70.0, 359.0, "A deep rose light"),
        ] {
            let hue = f64::to_radians(hue_deg);
            assert_eq!(cast_in_words(Lab::new(90.0, chroma * hue.cos(), chroma * hue.sin())), words);
        }
    }

    #[test]
    fn words_follow_the_light_not_the_glass_alone() {
        let of = |light: Spectrum| Cast::of(&light, &light).words;
        let at_100_lx = |light: Spectrum| light * (100.0 / spectra::luminous(&light));
        assert_eq!(of(at_100_lx(spectra::illuminant::d65())), "No cast to speak of");
        assert!(
            of(at_100_lx(spectra::illuminant::a())).contains("orange"),
            "{}",
            of(at_100_lx(spectra::illuminant::a()))
        );
        assert!(of(at_100_lx(spectra::illuminant::planck(20_000.0))).contains("blue"));
    }

    #[test]
    fn no_light_gives_no_figures() {
        let cast = Cast::of(&Spectrum::ZERO, &Spectrum::ZERO);
        assert_eq!((cast.x, cast.dominant_nm, cast.words.as_str()), (None, None, DARK));
    }
}
