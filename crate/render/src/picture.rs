//! How a picture is wanted.

use crate::{
    exposure::{Exposure, WindowLevel},
    frame::{Frame, View},
    spread::Plan,
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
    /// Whether light spreads in the eye, in appearance mode: half of what a picture costs. A coarse one that another
    /// follows at once goes without.
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
    /// Even glass, plain colours: what is compared with spectra.
    pub fn colour_true() -> Self {
        Self { mode: Mode::ColourTrue, variation: 0.0, ..Self::default() }
    }

    /// The luminance that becomes white, cd/m², for a window in its light.
    pub fn white_cd_m2(&self, level: &WindowLevel) -> f64 {
        1.0 / level.exposure(self.mode, self.exposure)
    }

    /// The uniforms of one picture, and how light spreads in it.
    pub(crate) fn uniforms(
        &self,
        level: &WindowLevel,
        tables: &LightTables,
        view: &View,
        tiled: bool,
    ) -> Uniforms {
        let plan = Plan::new(tables, level, self, view, tiled);
        let frame = self.frame(level, tables, plan.as_ref().map_or(view, |p| &p.target));
        let around = plan.as_ref().map(|p| self.frame(level, tables, &p.around));
        let tone = Tone::new(self.mode, self.gamut, self.show_clipped, plan.as_ref());
        Uniforms { frame, around, tone, plan }
    }

    fn frame(&self, level: &WindowLevel, tables: &LightTables, view: &View) -> Frame {
        let exposure = level.exposure(self.mode, self.exposure);
        let room_white = level.room_white(tables.room_white_cd_m2);
        Frame::new(tables, view, exposure, self.variation, room_white)
    }
}

/// What the passes of one picture read.
pub(crate) struct Uniforms {
    pub(crate) frame: Frame,
    /// For the picture of the whole window that light spreads from.
    pub(crate) around: Option<Frame>,
    pub(crate) tone: Tone,
    pub(crate) plan: Option<Plan>,
}
