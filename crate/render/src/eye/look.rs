//! How a picture should look.

use crate::rgb::Gamut;

/// How exposure is chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Exposure {
    /// From the window's own luminance.
    #[default]
    Auto,
    /// From the window's own luminance, made brighter or darker by stops.
    Stops(f64),
    /// This luminance, cd/m², becomes the screen's white.
    White(f64),
}

/// What a picture is for. Label every picture with it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mode {
    /// To compare colours: one scale factor, chromaticity unchanged, no tone curve.
    ColourTrue,
    /// How the window appears from the dim room: light spreads in the eye, and a soft shoulder compresses
    /// highlights.
    #[default]
    Appearance,
}

/// How a picture should look; the default is appearance, sRGB, automatic exposure, varied glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// What the picture is for.
    pub mode: Mode,
    /// Primaries of the output.
    pub gamut: Gamut,
    /// The exposure.
    pub exposure: Exposure,
    /// How much of each sheet's variation is drawn: 1 in full, 0 makes every sheet even.
    pub variation: f64,
    /// Marks with stripes what the screen cannot show.
    pub show_clipped: bool,
    /// Whether light spreads in the eye, in appearance mode. This takes half the time of a picture, so a coarse
    /// preview does without it.
    pub spread: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            mode: Mode::default(),
            gamut: Gamut::default(),
            exposure: Exposure::default(),
            variation: 1.0,
            show_clipped: false,
            spread: true,
        }
    }
}

impl Look {
    /// Even glass and plain colours, for comparison with spectra.
    pub fn colour_true() -> Self {
        Self { mode: Mode::ColourTrue, variation: 0.0, ..Self::default() }
    }
}
