//! Edits of the scene that a prepared place can follow without preparing again.

use daylight::{Direction, Horizon};
use glass::Makeup;
use scene::{ChangeSet, Resolved, WindowChange};
use spectra::Spectrum;

use crate::prepared::{COLUMNS, Prepared, mean_path, world};

impl Prepared {
    /// Follows an edit already made to the scene from which this was prepared, if that is possible without
    /// preparing again. Otherwise returns `false`: prepare the place again.
    pub fn follow(&mut self, resolved: &Resolved, changes: &ChangeSet) -> bool {
        let moved = changes.windows.values().any(|window| window.placement || window.redrawn());
        if moved || changes.places || changes.room.size || changes.room.surfaces {
            return false;
        }
        if changes.room.facing {
            self.face(resolved.room.facing_deg);
        }
        if changes.room.facing || changes.horizon {
            self.set_horizon(&resolved.horizon);
        }
        let mut index = 0;
        for window in &resolved.windows {
            let change = changes.windows.get(&window.id);
            for piece in &window.pieces {
                let own = |change: &WindowChange| {
                    change.protective_glazing || change.deposits || change.makeups.contains_key(&piece.id)
                };
                let glass = || piece.makeup.plates.iter().any(|p| changes.glasses.contains_key(&p.glass.id));
                if change.is_some_and(own) || (!changes.glasses.is_empty() && glass()) {
                    self.set_makeup(index, &piece.makeup);
                }
                index += 1;
            }
        }
        if changes.working_planes {
            self.set_working_plane(resolved);
        }
        true
    }

    fn face(&mut self, facing_deg: f64) {
        self.wall.facing_deg = facing_deg;
        for row in &mut self.room {
            row.world = world(row.cell.direction, facing_deg);
        }
        if let Some(plane) = &mut self.plane {
            plane.at.face(facing_deg);
        }
    }

    /// Subdivides cells of the view that the skyline or trees may cross at several altitudes. The light is correct
    /// for any horizon, and more accurate for this one.
    pub(crate) fn set_horizon(&mut self, horizon: &Horizon) {
        const SPLIT: usize = 4;
        let skyline = horizon.points.iter().map(|p| p.altitude_deg);
        let top = skyline.chain(horizon.trees.iter().map(|t| t.top_altitude_deg)).fold(0.0, f64::max);
        for cell in &mut self.view {
            let middle = world(cell.direction, self.wall.facing_deg);
            let below = middle.altitude_deg - 0.5 * self.view_step_deg;
            cell.world = if middle.altitude_deg > 0.0 && below < top {
                (0..SPLIT)
                    .map(|k| {
                        let aside = (k as f64 + 0.5) / SPLIT as f64 - 0.5;
                        let altitude_deg =
                            (middle.altitude_deg + aside * self.view_step_deg).clamp(0.0, 90.0);
                        Direction { altitude_deg, ..middle }
                    })
                    .collect()
            } else {
                vec![middle]
            };
        }
        if let Some(plane) = &mut self.plane {
            plane.at.set_horizon(horizon);
        }
    }

    /// Gives a piece (index in [`crate::WindowWall::pieces`]) another make-up. Only its own rows are recomputed. An unknown
    /// piece is ignored.
    pub fn set_makeup(&mut self, piece: usize, makeup: &Makeup) {
        let Some(&old) = self.glazing.of_piece.get(piece) else { return };
        let new = self.glazing.pane(makeup);
        if new == old {
            return;
        }
        self.glazing.of_piece[piece] = new;
        let Self { glazing, pieces, view, room, response, .. } = self;
        let (before, after) = (&glazing.panes[old], &glazing.panes[new]);
        for entry in &mut pieces[piece].entries {
            entry.through = after.optics.regular(-view[entry.cell].direction[2]);
        }
        pieces[piece].path = mean_path(&pieces[piece].entries, view, after);
        for row in room {
            let mut landed = [Spectrum::ZERO; COLUMNS];
            response.add_landed_cell(
                &pieces[piece].samples,
                pieces[piece].samples_before,
                &row.cell,
                &mut landed,
            );
            let cosine = -row.cell.direction[2];
            let change =
                (after.optics.regular(cosine) - before.optics.regular(cosine)) * row.cell.projected_sr;
            for (sum, h) in row.rows.iter_mut().zip(landed) {
                *sum += h * change;
            }
        }
        self.reflect();
        if let Some(plane) = &mut self.plane {
            plane.at.set_makeup(piece, makeup);
        }
    }
}
