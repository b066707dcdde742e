//! Edits of the scene that a prepared place can follow without preparing again.

use daylight::Horizon;
use glass::Makeup;
use scene::{ChangeSet, Resolved, WindowChange};
use spectra::Spectrum;

use crate::glazing::Pane;
use crate::prepared::{COLUMNS, Prepared, mean_path};
use crate::view_edges::ViewEdges;

impl Prepared {
    /// Follows an edit already made to the scene from which this was prepared, if that is possible without
    /// preparing again. Otherwise returns `false`: prepare the place again.
    pub fn follow(&mut self, resolved: &Resolved, changes: &ChangeSet) -> bool {
        let moved =
            changes.windows.values().any(|window| window.placement || window.wall || window.redrawn());
        if moved || changes.places || changes.room.size || changes.room.surfaces {
            return false;
        }
        if changes.room.facing || changes.horizon {
            self.turn_and_look_out(resolved.room.facing_deg, &resolved.horizon);
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

    /// Subdivides the view and the room's directions along the edges of a horizon, as seen from a wall that faces a bearing.
    fn turn_and_look_out(&mut self, facing_deg: f64, horizon: &Horizon) {
        self.wall.facing_deg = facing_deg;
        let edges = ViewEdges::new(horizon, facing_deg);
        if self.edges.is_empty() && edges.is_empty() {
            self.turn();
        } else {
            self.look_out(edges);
        }
        if let Some(plane) = &mut self.plane {
            plane.at.turn_and_look_out(facing_deg, horizon);
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
        let Self { glazing, pieces, view, .. } = self;
        let after = &glazing.panes[new];
        for entry in &mut pieces[piece].entries {
            entry.through = after.optics.regular(-view[entry.cell].direction[2]);
        }
        pieces[piece].path = mean_path(&pieces[piece].entries, view, after);
        if self.reglaze_walled(piece, [old, new]) {
            self.reflect();
            self.reglaze_plane(piece, makeup);
            return;
        }
        let Self { glazing, pieces, room, response, lobes, wall, .. } = self;
        let (before, after) = (&glazing.panes[old], &glazing.panes[new]);
        let (samples, first) = (&pieces[piece].samples, pieces[piece].samples_before);
        let scatters = [before, after].iter().any(|pane| pane.forward().is_some());
        for (at_row, row) in room.iter_mut().enumerate() {
            let mut landed = [Spectrum::ZERO; COLUMNS];
            let mut evenly = [Spectrum::ZERO; COLUMNS];
            let [past, _] = wall.past_leads(piece, row.cell.direction);
            response.for_landed(samples, first, &row.cell, |at, area, h| {
                let area = past * area;
                if scatters {
                    for (sum, h) in evenly.iter_mut().zip(h) {
                        sum.add_scaled(area, h);
                    }
                }
                let area = row.grazing.as_ref().map_or(area, |grazing| area * grazing.passed[at]);
                for (sum, h) in landed.iter_mut().zip(h) {
                    sum.add_scaled(area, h);
                }
            });
            for (pane, sign) in [(before, -1.0), (after, 1.0)] {
                lobes.add_landed(pane, at_row, row.cell.direction, sign * row.cell.projected_sr, &evenly);
            }
            let passed = |pane: &Pane| {
                let mean = row.grazing.as_ref().map_or(1.0, |grazing| grazing.mean_to_middle(&pane.optics));
                pane.optics.regular(-row.cell.direction[2]) * (mean * row.cell.projected_sr)
            };
            let change = passed(after) - passed(before);
            for (sum, h) in row.rows.iter_mut().zip(landed) {
                *sum += h * change;
            }
        }
        self.reflect();
        self.reglaze_plane(piece, makeup);
    }

    fn reglaze_plane(&mut self, piece: usize, makeup: &Makeup) {
        if let Some(plane) = &mut self.plane {
            plane.at.set_makeup(piece, makeup);
        }
    }
}
