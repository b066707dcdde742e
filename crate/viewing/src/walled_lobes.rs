//! What stone does to the light that pieces scatter forwards toward the place.

use std::f64::consts::{FRAC_1_PI, PI};

use glass::Lobe;

use crate::bell::Bell;
use crate::lobes::blurred_at;
use crate::lobes_seen::Shading;
use crate::prepared::{PieceView, Prepared, RECEIVERS, ViewEntry};
use crate::room_response::Receiver;
use crate::walled_light::WalledLight;
use crate::walled_rows::Seen;
use crate::window_view::ViewGrid;

/// Step of the parts in which the sun's bell on a piece is taken as one, in half widths of the bell.
const BELL_STEP: f64 = 0.3;

impl WalledLight<'_> {
    /// What a piece's lobe sends to the place, over what it would send if the piece were lit as the window in the mean.
    pub(crate) fn lobe_shading(
        &self,
        prepared: &Prepared,
        (p, piece): (usize, &PieceView),
        lobe: Lobe,
        bell: Option<&Bell>,
    ) -> Option<Shading> {
        let levels = piece.levels.as_deref()?;
        let mut seen: Vec<f64> =
            levels.open_seen.iter().zip(&self.open_cd_m2).map(|(share, light)| share * light).collect();
        for &Seen { patch, row, share } in &levels.seen {
            seen[row as usize] += FRAC_1_PI * f64::from(share) * self.of_patch[patch as usize];
        }
        let grid = self.rows.lobes.grid(&seen);
        let shaded = |entry: &ViewEntry| {
            let direction = prepared.view[entry.cell].direction;
            let [own, mean] = blurred_at([&grid, &self.mean_grid], direction, lobe.variance());
            if mean > 0.0 { own / mean } else { 0.0 }
        };
        let mut sun = [0.0; RECEIVERS + 1];
        if let (Some(on), Some(bell)) = (&self.on_opening, bell) {
            let eye = self.rows.walled.before_glass(prepared.receivers[0].point_m);
            let receivers = prepared.receivers.map(|receiver| Receiver { point_m: eye, ..receiver });
            let step_deg = (BELL_STEP * lobe.half_width_deg).max(prepared.view_step_deg);
            for ring in piece.visible.iter().flat_map(|ring| on.lit(ring)) {
                let Some(grid) = ViewGrid::new(eye, &ring, step_deg) else { continue };
                for part in grid.parts(&ring, &receivers, 1, |_| None) {
                    let [past, _] = prepared.wall.past_leads(p, part.middle);
                    let toward = PI * past * bell.toward(part.middle);
                    for (sum, form) in sun.iter_mut().zip(&part.form_factors) {
                        *sum += toward * form;
                    }
                    sun[RECEIVERS] += toward * part.facing / (-part.middle[2]).max(1e-6);
                }
            }
        }
        Some(Shading { sky: piece.entries.iter().map(shaded).collect(), sun })
    }
}
