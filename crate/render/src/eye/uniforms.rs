//! The uniforms of one picture's passes.

use crate::eye::exposure::WindowLevel;
use crate::eye::look::Look;
use crate::eye::spread::Plan;
use crate::eye::tone::Tone;
use crate::light::tables::LightTables;
use crate::output::view::View;
use crate::shared::frame::Frame;

/// The uniforms of one picture's passes.
pub(crate) struct Uniforms {
    pub(crate) frame: Frame,
    /// For the picture of the whole window that light spreads from.
    pub(crate) around: Option<Frame>,
    pub(crate) tone: Tone,
    pub(crate) plan: Option<Plan>,
}

impl Look {
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
        tables.frame(view, exposure, self.variation, room_white)
    }
}
