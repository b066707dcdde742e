//! The colour that a piece transmits, in words and in figures that do not depend on place and hour.

use schemars::JsonSchema;
use serde::Serialize;
use spectra::{Lab, Observer, Spectrum, Xyz, chroma_and_hue_deg, illuminant};

use crate::hues::hue_word;
use crate::swatch_light::SwatchLight;

/// The colour of transmitted light by standard daylight: CIE illuminant D65, 1931 observer, white is full transmission. Two
/// pieces can be compared by it wherever and whenever they are seen.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TransmittedColour {
    /// A name for the colour, such as `dark blue`.
    pub words: String,
    /// CIE L*, a*, b*.
    pub lab: [f64; 3],
    /// Luminous transmittance, 0–1.
    pub transmittance_y: f64,
    /// Dominant wavelength against D65, nm; for purples the complementary one, negative. `None` without any colour.
    pub dominant_nm: Option<f64>,
    /// Excitation purity against D65, 0–1.
    pub excitation_purity: Option<f64>,
}

impl TransmittedColour {
    /// Of the spectral transmittances of what passes straight and of what is scattered, 0–1. `None` if nothing passes.
    pub fn of(regular: &Spectrum, scattered: &Spectrum) -> Option<Self> {
        let transmittance = &(*regular + *scattered);
        let day = SwatchLight::of(illuminant::d65());
        let lab = day.lab(transmittance)?;
        let transmittance_y = day.luminous_transmittance(transmittance);
        if transmittance_y <= 0.0 {
            return None;
        }
        let xyz = Xyz::of_transmission(transmittance, &illuminant::d65(), Observer::Cie1931);
        let white = Xyz::of_transmission(&Spectrum::ONE, &illuminant::d65(), Observer::Cie1931);
        let dominant = xyz
            .chromaticity()
            .zip(white.chromaticity())
            .and_then(|(seen, white)| seen.dominant(white, Observer::Cie1931));
        Some(Self {
            words: in_words(lab, day.luminous_transmittance(scattered) / transmittance_y),
            lab: [lab.l, lab.a, lab.b],
            transmittance_y,
            dominant_nm: dominant.map(|d| d.wavelength_nm),
            excitation_purity: dominant.map(|d| d.excitation_purity),
        })
    }
}

/// Below this chroma C*ab a glass counts as colourless. Our assumption; about twice the just noticeable difference.
const COLOURLESS: f64 = 5.0;

/// From this chroma C*ab on a dark orange looks red, below it brown. Our assumption.
const VIVID: f64 = 60.0;

/// Names of colourless glass by L*: lower limit, word. Our assumption.
const GREYS: [(f64, &str); 4] =
    [(85.0, "clear"), (60.0, "light grey"), (30.0, "grey"), (f64::NEG_INFINITY, "dark grey")];

/// The same where most of the light is scattered, as by opal glass. Our assumption.
const MILKY: [(f64, &str); 3] =
    [(55.0, "milky white"), (30.0, "milky grey"), (f64::NEG_INFINITY, "dark grey")];

/// Words before the hue for chroma below a limit, for L* above 65, above 35 and below. Our assumption.
const TONES: [(f64, [&str; 3]); 3] = [
    (15.0, ["very pale ", "greyish ", "dark greyish "]),
    (40.0, ["pale ", "", "dark "]),
    (f64::INFINITY, ["bright ", "strong ", "deep "]),
];

/// `scattered`: the share of the light that does not pass straight, 0–1.
fn in_words(lab: Lab, scattered: f64) -> String {
    let (chroma, hue_deg) = chroma_and_hue_deg(lab);
    let hue = match hue_deg {
        Some(deg) if chroma >= COLOURLESS => hue_word(deg),
        _ => {
            let names = if scattered > 0.5 { &MILKY[..] } else { &GREYS[..] };
            return names.iter().find(|name| lab.l >= name.0).map_or("", |name| name.1).to_owned();
        }
    };
    // Dark orange is called brown, or red where it is vivid.
    let hue = match hue {
        "orange" | "amber" if lab.l < 50.0 && chroma < VIVID => "brown",
        "orange" if lab.l < 50.0 => "red",
        hue => hue,
    };
    let tones = TONES.iter().find(|tones| chroma < tones.0).map_or([""; 3], |tones| tones.1);
    let tone = match lab.l {
        l if l >= 65.0 => tones[0],
        l if l >= 35.0 => tones[1],
        _ => tones[2],
    };
    format!("{tone}{hue}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_have_the_names_that_people_give_them() {
        for (l, chroma, hue_deg, words) in [
            (95.0, 2.0, 120.0, "clear"),
            (40.0, 1.0, 0.0, "grey"),
            (90.0, 10.0, 130.0, "very pale yellow-green"),
            (50.0, 30.0, 260.0, "blue"),
            (20.0, 60.0, 290.0, "deep violet"),
            (35.0, 45.0, 60.0, "strong brown"),
            (75.0, 70.0, 95.0, "bright yellow"),
            (30.0, 80.0, 50.0, "deep red"),
        ] {
            let hue = f64::to_radians(hue_deg);
            assert_eq!(in_words(Lab::new(l, chroma * hue.cos(), chroma * hue.sin()), 0.0), words);
        }
    }

    #[test]
    fn opal_glass_without_colour_is_white() {
        assert_eq!(in_words(Lab::new(73.0, 0.0, 1.0), 0.9), "milky white");
        let opal = TransmittedColour::of(&Spectrum::splat(0.02), &Spectrum::splat(0.43)).unwrap();
        assert_eq!(opal.words, "milky white");
    }

    #[test]
    fn a_clear_piece_is_the_white_and_nothing_has_no_colour() {
        let clear = TransmittedColour::of(&Spectrum::ONE, &Spectrum::ZERO).unwrap();
        assert_eq!(clear.words, "clear");
        assert!((clear.lab[0] - 100.0).abs() < 1e-9 && (clear.transmittance_y - 1.0).abs() < 1e-12);
        assert_eq!(TransmittedColour::of(&Spectrum::ZERO, &Spectrum::ZERO), None);
    }

    #[test]
    fn figures_are_those_of_the_colorimetry() {
        // A filter that passes only above 600 nm: its dominant wavelength lies there, and it is nearly pure.
        let mut red = Spectrum::ZERO;
        for (i, nm) in spectra::wavelengths_nm().enumerate() {
            red[i] = if nm >= 600.0 { 0.8 } else { 0.0 };
        }
        let red = TransmittedColour::of(&red, &Spectrum::ZERO).unwrap();
        assert!(red.dominant_nm.is_some_and(|nm| (600.0..640.0).contains(&nm)), "{red:?}");
        assert!(red.excitation_purity.is_some_and(|purity| purity > 0.98), "{red:?}");
        assert_eq!(red.words, "strong red");
    }
}
