//! What a report says of the wall around a window.

use scene::Resolved;
use schemars::JsonSchema;
use serde::Serialize;

use crate::prepared::Prepared;

/// The wall around one window: what is stated, and what it takes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WallReport {
    /// Id of the window.
    pub window: String,
    /// The reveal outside the glass.
    pub outer: RevealReport,
    /// The reveal inside.
    pub inner: RevealReport,
    /// How far the overhang stands out, m; 0 without one.
    pub overhang_m: f64,
    /// Share of the light straight onto the window that bars and mesh let by, 0–1.
    pub guards_open: f64,
    /// Share of the light on the outside of the glass under a CIE standard overcast sky over a ground that reflects 0.2, with
    /// nothing else outside, that the wall, its overhang, bars and mesh take, 0–1.
    pub overcast_taken: f64,
}

/// One reveal.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RevealReport {
    /// From the glass to the face of the wall, m.
    pub depth_m: f64,
    /// Splay of the jambs, degrees.
    pub jamb_deg: f64,
    /// Splay of the head, degrees.
    pub head_deg: f64,
    /// Splay of the sill, degrees.
    pub sill_deg: f64,
}

impl From<reveal::Reveal> for RevealReport {
    fn from(reveal: reveal::Reveal) -> Self {
        let reveal::Reveal { depth_m, jamb_deg, head_deg, sill_deg } = reveal;
        Self { depth_m, jamb_deg, head_deg, sill_deg }
    }
}

/// What is left out of figures with a wall.
pub(crate) const WALL_LEFT_OUT: &str = "wall: its reveals are taken as even, matt stone, \
     bars and mesh outside as an even black veil; the ranges count how well its stone, its depth outside and the thickness \
     of bars and mesh are known, to first order, and take all else of it as exact";

impl Prepared {
    /// The walls of all windows that have depth.
    pub(crate) fn wall_reports(&self, resolved: &Resolved) -> Vec<WallReport> {
        let of =
            |(walled, window): (&Option<std::sync::Arc<crate::walled::Walled>>, &scene::ResolvedWindow)| {
                let walled = walled.as_ref()?;
                let depths = &walled.wall.depths;
                Some(WallReport {
                    window: window.id.clone(),
                    outer: depths.outer.into(),
                    inner: depths.inner.into(),
                    overhang_m: depths.overhang.map_or(0.0, |over| over.depth_m),
                    guards_open: walled.openness(plane::RoomVector::new(0.0, 0.0, -1.0)),
                    overcast_taken: walled.overcast_taken(),
                })
            };
        self.wall.walled.iter().zip(&resolved.windows).filter_map(of).collect()
    }
}
