//! A wall a little deeper than it is stated: what more of the outside it hides from the glass.

use reveal::{Opening, Patches};
use scene::ResolvedWall;

use crate::outdoors::outside_cells;

/// How much deeper, m: little beside any wall, and much beside what rounding does to the areas compared.
pub(crate) const STEP_M: f64 = 0.01;

/// A wall whose outer reveal and overhang, where it has them, are deeper by [`STEP_M`].
#[derive(Clone, Debug)]
pub(crate) struct Deeper {
    /// In fine patches: its inner reveal is that of the wall itself.
    pub(crate) opening: Opening,
    /// By the room's directions: how much of the glass that saw it still does.
    pub(crate) open: Vec<f64>,
}

impl Deeper {
    /// `None` if there is nothing outside, or no room for more.
    pub(crate) fn new(wall: &ResolvedWall) -> Option<Self> {
        let mut depths = wall.depths;
        let mut changed = false;
        if depths.outer.depth_m > 0.0 {
            depths.outer.depth_m += STEP_M;
            changed = true;
        }
        if let Some(over) = &mut depths.overhang {
            over.depth_m += STEP_M;
            changed = true;
        }
        if !changed {
            return None;
        }
        let of = |depths, patches| Opening::new(wall.outline.clone(), depths, patches).ok();
        let (now, then) = (of(&wall.depths, Patches::Few)?, of(&depths, Patches::Few)?);
        let still_open = |cell: &crate::outdoors::OutsideCell| {
            let [now, then] =
                [&now, &then].map(|o| o.beam(cell.direction).map_or(0.0, |beam| beam.lit_share()));
            if now > 0.0 { (then / now).min(1.0) } else { 1.0 }
        };
        let open = outside_cells(1).iter().map(still_open).collect();
        Some(Self { open, opening: of(&depths, Patches::Fine)? })
    }
}
