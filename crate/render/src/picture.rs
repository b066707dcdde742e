//! How a picture is wanted.

use crate::{
    exposure::{Exposure, WindowLevel},
    frame::{Frame, View},
    tables::LightTables,
    tone::{Gamut, Mode, Tone},
};

/// How a picture is wanted; the default is appearance, sRGB, automatic exposure, varied glass.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// What the picture is for.
    pub mode: Mode,
    /// Primaries of the output.
    pub gamut: Gamut,
    /// How bright.
    pub exposure: Exposure,
    /// How much of each sheet's variation is drawn: 1 as it is, 0 every sheet even.
    pub variation: f64,
    /// Marks what the screen cannot show with stripes.
    pub show_clipped: bool,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            mode: Mode::default(),
            gamut: Gamut::default(),
            exposure: Exposure::default(),
            variation: 1.0,
            show_clipped: false,
        }
    }
}

impl Look {
    /// Even glass, plain colours: what is compared with spectra.
    pub fn colour_true() -> Self {
        Self { mode: Mode::ColourTrue, variation: 0.0, ..Self::default() }
    }

    /// The luminance that becomes white, cd/m², for a window in its light.
    pub fn white_cd_m2(&self, level: &WindowLevel) -> f64 {
        1.0 / level.exposure(self.mode, self.exposure)
    }

    pub(crate) fn uniforms(&self, tables: &LightTables, view: &View) -> (Frame, Tone) {
        self.uniforms_at(&WindowLevel::new(tables), tables, view)
    }

    pub(crate) fn uniforms_at(
        &self,
        level: &WindowLevel,
        tables: &LightTables,
        view: &View,
    ) -> (Frame, Tone) {
        let exposure = level.exposure(self.mode, self.exposure);
        let room_white = level.room_white(tables.room_white_cd_m2);
        let frame = Frame::new(tables, view, exposure, self.variation, room_white);
        (frame, Tone::new(self.mode, self.gamut, level.veil(exposure), self.show_clipped))
    }
}
