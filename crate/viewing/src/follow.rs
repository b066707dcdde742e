//! Edits of the scene that a prepared place can follow without preparing again.

use daylight::Horizon;
use glass::Makeup;
use scene::{ChangeSet, Resolved, WindowChange};
use spectra::Spectrum;

use crate::geometry::PieceShape;
use crate::glazing::Pane;
use crate::prepared::{COLUMNS, Prepared};
use crate::prepared_view::mean_path;
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
        let (mut index, mut reglazed) = (0, false);
        for window in &resolved.windows {
            let change = changes.windows.get(&window.id);
            for piece in &window.pieces {
                let own = |change: &WindowChange| {
                    change.protective_glazing || change.deposits || change.makeups.contains_key(&piece.id)
                };
                let glass = || piece.makeup.plates.iter().any(|p| changes.glasses.contains_key(&p.glass.id));
                if change.is_some_and(own) || (!changes.glasses.is_empty() && glass()) {
                    reglazed |= self.reglaze(index, &piece.makeup);
                }
                index += 1;
            }
        }
        if reglazed {
            self.reflect_again();
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
        if self.reglaze(piece, makeup) {
            self.reflect_again();
        }
    }

    /// What the opening reflects, here and at the working plane.
    fn reflect_again(&mut self) {
        self.reflect();
        if let Some(plane) = &mut self.plane {
            plane.at.reflect_again();
        }
    }

    /// Gives a piece another make-up, here and at the working plane, but for what the opening reflects: once after all
    /// pieces, [`Self::reflect_again`]. Whether anything has changed.
    fn reglaze(&mut self, piece: usize, makeup: &Makeup) -> bool {
        if let Some(plane) = &mut self.plane {
            plane.at.reglaze(piece, makeup);
        }
        let Some(&old) = self.glazing.of_piece.get(piece) else { return false };
        let new = self.glazing.pane(makeup);
        if new == old {
            return false;
        }
        self.glazing.of_piece[piece] = new;
        self.reglaze_rows(piece, [old, new]);
        self.glazing.forget_unused(old);
        true
    }

    fn reglaze_rows(&mut self, piece: usize, [old, new]: [usize; 2]) {
        let Self { glazing, pieces, view, .. } = self;
        let after = &glazing.panes[new];
        for entry in &mut pieces[piece].entries {
            entry.through = after.optics.regular(-view[entry.cell].direction[2]);
        }
        pieces[piece].path = mean_path(&pieces[piece].entries, view, after);
        if self.reglaze_walled(piece, [old, new]) {
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
        let mut lobes = std::mem::take(&mut self.lobes);
        lobes.keep(self.panes_where(|shape| self.wall.walled.get(shape.window).is_none_or(Option::is_none)));
        self.lobes = lobes;
    }

    /// The panes of these pieces.
    pub(crate) fn panes_where(&self, of: impl Fn(&PieceShape) -> bool) -> impl Iterator<Item = &Pane> {
        let pieces = self.wall.pieces.iter().zip(&self.glazing.of_piece);
        pieces.filter(move |(shape, _)| of(shape)).map(|(_, &pane)| &self.glazing.panes[pane])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SCENE: &str = r#"{
        "clerestory": 5, "name": "Two pieces", "at": "2026-06-20T12:00",
        "site": {"latitude_deg": 52.0, "longitude_deg": 0.0, "time_zone": "Europe/London"},
        "sky": {"kind": "clear"}, "ground": {"grey": 0.2},
        "room": {"width_m": 4, "height_m": 3, "depth_m": 5, "facing_deg": 180, "surfaces": {
            "window_wall": {"grey": 0.6}, "back_wall": {"grey": 0.6}, "left_wall": {"grey": 0.6},
            "right_wall": {"grey": 0.6}, "floor": {"grey": 0.2}, "ceiling": {"grey": 0.7}}},
        "windows": [{"id": "w", "centre_x_m": 2, "sill_height_m": 1,
            "drawing": {"sight_size": {"path": "M0 0H800V1200H0Z", "width_mm": 10},
                "cutlines": [{"id": 1, "path": "M0 600H800", "width_mm": 6}]},
            "pieces": [
                {"id": 1, "at_mm": [400, 300], "makeup": {
                    "plates": [{"glass": "hammered-green", "thickness_mm": 3}],
                    "paint": [{"kind": "matting", "density": 0.3}]}},
                {"id": 2, "at_mm": [400, 900], "makeup": {"plates": [{"glass": "float-clear", "thickness_mm": 3}]}}
            ]}],
        "places": [{"name": "here", "distance_m": 2, "eye_height_m": 1.5}]
    }"#;

    // While a slider is dragged, nothing of where it was is kept.
    #[test]
    fn many_makeups_one_after_the_other_leave_nothing_behind() {
        let flush: serde_json::Value = serde_json::from_str(SCENE).unwrap();
        let mut deep = flush.clone();
        deep["windows"][0]["wall"] = serde_json::json!({ "outer": { "depth_m": 0.2 } });
        for scene in [flush, deep] {
            let scene = scene::read(&scene.to_string()).unwrap_or_else(|faults| panic!("{faults:?}"));
            let mut resolved = scene::resolve(&scene, None).unwrap_or_else(|faults| panic!("{faults:?}"));
            let mut prepared = Prepared::new(&resolved, None).unwrap();
            let mut widths = std::collections::BTreeSet::new();
            let painted = resolved.windows[0].pieces.iter().position(|piece| piece.id == 1).unwrap();
            let mut steps = std::collections::BTreeSet::new();
            for k in 0..200 {
                let makeup = &mut resolved.windows[0].pieces[painted].makeup;
                makeup.paints[0].density = 0.01 * f64::from(k + 1);
                prepared.set_makeup(painted, makeup);
                let pane = &prepared.glazing.panes[prepared.glazing.of_piece[painted]];
                steps.insert(crate::lobes::step_of(pane.forward().unwrap()));
                let walled = prepared.walled.iter().flatten().map(|rows| rows.lobes.widths.len());
                widths.insert((
                    prepared.glazing.panes.len(),
                    prepared.lobes.widths.len() + walled.sum::<usize>(),
                ));
            }
            assert!(steps.len() > 3, "{steps:?}");
            assert_eq!(widths.into_iter().collect::<Vec<_>>(), [(2, 1)]);
            let outside = resolved.outside(resolved.instant("2026-06-20T12:00").unwrap().utc).unwrap();
            let (a, b) = (prepared.light(&outside), Prepared::new(&resolved, None).unwrap().light(&outside));
            for (a, b) in [(a.vertical, b.vertical), (a.horizontal, b.horizontal)] {
                for (a, b) in [(a.sky_ground, b.sky_ground), (a.sun, b.sun), (a.room, b.room)] {
                    assert!((a - b).map(f64::abs).max() <= 1e-10 * b.max());
                }
            }
        }
    }
}
