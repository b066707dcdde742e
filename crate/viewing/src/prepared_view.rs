//! The window as seen from a prepared place: its cells, and every piece's share of them.

use std::sync::Arc;

use daylight::Direction;
use plane::RoomVector;
use spectra::Spectrum;

use crate::cell_directions::around;
use crate::glazing::Pane;
use crate::prepared::{Prepared, RECEIVERS, ViewCell, ViewEntry, world};
use crate::room_response::Receiver;
use crate::view_edges::ViewEdges;
use crate::view_regions::ViewRegions;
use crate::walled::Walled;
use crate::window_view::{ViewGrid, ViewPart};

/// Fine cells along each side of a cell.
const FINE: usize = 2;

impl ViewCell {
    /// Directions that stand for all of the cell.
    pub(crate) fn around(&self) -> Vec<RoomVector> {
        let [low, high] = self.limits;
        around(|shares| {
            let [across, up] = [0, 1].map(|k| low[k] + shares[k] * (high[k] - low[k]));
            RoomVector::new(across, up, -1.0).unit()
        })
    }
}

impl Prepared {
    /// Computes what depends on the edges of the view outside and on the bearing of the window.
    pub(crate) fn look_out(&mut self, edges: ViewEdges) {
        self.edges = edges;
        for row in &mut self.room {
            let seen = row.cell.seen(&self.edges).into_iter();
            row.world = seen.map(|(d, share)| (world(d, self.wall.facing_deg), share)).collect();
        }
        self.see();
    }

    /// Gives the directions their bearings after the window has turned in a view without edges.
    pub(crate) fn turn(&mut self) {
        let facing_deg = self.wall.facing_deg;
        for row in &mut self.room {
            row.world = vec![(world(row.cell.direction, facing_deg), 1.0)];
        }
        for cell in &mut self.view {
            cell.world = world(cell.direction, facing_deg);
        }
    }

    /// Computes the window as seen from the point, and every piece's share of it.
    fn see(&mut self) {
        let sights: Vec<Sight> = (0..=self.wall.walled.len()).map(|slot| self.sight(slot)).collect();
        let views: Vec<_> = sights
            .iter()
            .map(|sight| {
                let walled = sight.walled.as_ref();
                walled.and_then(|walled| walled.opening.from_eye(sight.receivers[0].point_m).ok())
            })
            .collect();
        let mut numbers = std::collections::HashMap::new();
        let mut middles: Vec<RoomVector> = Vec::new();
        self.view.clear();
        for (p, (shape, piece)) in self.wall.pieces.iter().zip(&mut self.pieces).enumerate() {
            let slot = if self.wall.walled.get(shape.window).is_some_and(Option::is_some) {
                shape.window + 1
            } else {
                0
            };
            let sight = &sights[slot];
            piece.open.clear();
            piece.visible.clear();
            let parts: Vec<(Option<usize>, ViewPart)> = match (&sight.grid, &sight.walled, &views[slot]) {
                (Some((grid, regions)), None, _) => shape
                    .light
                    .iter()
                    .flat_map(|l| grid.parts(l, &sight.receivers, FINE, |group| regions.of(group)))
                    .map(|part| (None, part))
                    .collect(),
                (Some((grid, regions)), Some(_), Some(view)) => {
                    let mut parts = Vec::new();
                    for visible in shape.light.iter().flat_map(|l| view.visible(l)) {
                        let split = view.through(&visible);
                        piece.visible.push(visible);
                        for (patch, ring) in &split.patches {
                            let seen = grid.parts(ring, &sight.receivers, FINE, |_| None);
                            parts.extend(seen.into_iter().map(|part| (Some(*patch), part)));
                        }
                        for ring in split.open {
                            let seen = grid.parts(&ring, &sight.receivers, FINE, |group| regions.of(group));
                            parts.extend(seen.into_iter().map(|part| (None, part)));
                            piece.open.push(ring);
                        }
                    }
                    parts
                }
                _ => Vec::new(),
            };
            let own = is_small(&parts).then_some(p);
            piece.entries.clear();
            piece.form = [0.0; RECEIVERS];
            let grid = sight.grid.as_ref().map(|(grid, _)| grid);
            for (grid, (patch, part)) in
                grid.iter().flat_map(|grid| parts.iter().map(move |part| (grid, part)))
            {
                let behind = (slot > 0).then_some((shape.window, *patch));
                let [past, one_side] = self.wall.past_leads(p, part.middle);
                let key = (cell_key(grid, part, own), behind);
                let cell = *numbers.entry(key).or_insert_with(|| {
                    middles.push(RoomVector::ZERO);
                    self.view.push(ViewCell {
                        direction: RoomVector::ZERO,
                        world: Direction { altitude_deg: 0.0, azimuth_deg: 0.0 },
                        limits: [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]],
                        form: [0.0; RECEIVERS],
                        clear: Spectrum::ZERO,
                        behind,
                    });
                    middles.len() - 1
                });
                let [low, high] = &mut self.view[cell].limits;
                for k in 0..2 {
                    low[k] = low[k].min(part.limits[0][k]);
                    high[k] = high[k].max(part.limits[1][k]);
                }
                middles[cell] += part.middle * part.form_factors.iter().sum::<f64>();
                let entry = match piece.entries.iter().position(|e| e.cell == cell) {
                    Some(known) => &mut piece.entries[known],
                    None => {
                        let form = [0.0; RECEIVERS];
                        piece.entries.push(ViewEntry {
                            cell,
                            form,
                            solid_angle: 0.0,
                            through: Spectrum::ZERO,
                        });
                        let last = piece.entries.len() - 1;
                        &mut piece.entries[last]
                    }
                };
                for (r, whole) in piece.form.iter_mut().enumerate() {
                    let f = part.form_factors[r];
                    *whole += one_side * f;
                    entry.form[r] += std::f64::consts::PI * past * f;
                    self.view[cell].form[r] += std::f64::consts::PI * past * f;
                }
                entry.solid_angle += std::f64::consts::PI * past * part.facing / (-part.middle[2]).max(1e-6);
            }
        }
        for (cell, middle) in self.view.iter_mut().zip(middles) {
            cell.direction =
                if middle.length() > 0.0 { middle.unit() } else { RoomVector::new(0.0, 0.0, -1.0) };
            cell.world = world(cell.direction, self.wall.facing_deg);
            cell.clear = self.clear.optics.regular(-cell.direction[2]);
        }
        for (p, piece) in self.pieces.iter_mut().enumerate() {
            let pane = &self.glazing.panes[self.glazing.of_piece[p]];
            for entry in &mut piece.entries {
                entry.through = pane.optics.regular(-self.view[entry.cell].direction[2]);
            }
            piece.path = mean_path(&piece.entries, &self.view, pane);
        }
    }

    /// How the windows without depth are seen, slot 0, or one with depth, from slot 1 on.
    fn sight(&self, slot: usize) -> Sight {
        let walled = slot.checked_sub(1).and_then(|window| self.wall.walled[window].clone());
        let place = |receiver: &Receiver| Receiver {
            point_m: walled.as_ref().map_or(receiver.point_m, |walled| walled.before_glass(receiver.point_m)),
            normal: receiver.normal,
        };
        let receivers = [place(&self.receivers[0]), place(&self.receivers[1])];
        let own = |window: usize| match slot {
            0 => self.wall.walled.get(window).is_none_or(Option::is_none),
            _ => walled.is_some() && window + 1 == slot,
        };
        let pieces = self.wall.pieces.iter().filter(|piece| own(piece.window));
        let all = pieces.flat_map(|p| p.light.iter().flatten());
        // Fine cells tell where the light of a cell mainly comes from.
        let grid = ViewGrid::new(receivers[0].point_m, all, 0.5 * self.view_step_deg);
        let grid = grid.map(|grid| {
            let regions = ViewRegions::new(&grid, &self.edges, FINE);
            (grid, regions)
        });
        Sight { walled, receivers, grid }
    }
}

/// Windows as seen from the point, in the frame of their glass.
struct Sight {
    walled: Option<Arc<Walled>>,
    receivers: [Receiver; RECEIVERS],
    grid: Option<(ViewGrid, ViewRegions)>,
}

/// Whether a piece is too small for the cells that it would share: its luminance would be that of its neighbours'
/// surroundings. It then has cells of its own.
fn is_small(parts: &[(Option<usize>, ViewPart)]) -> bool {
    (0..2).all(|k| {
        let lines = parts.iter().map(|(_, part)| part.cell[k]);
        lines.clone().max().unwrap_or(0) - lines.min().unwrap_or(0) <= FINE
    })
}

/// What tells the cell of a part from all others: the small piece that owns it, counted from 1, or 0; its group, or if a
/// small piece owns it and no edge crosses it, only whether it lies above the horizon; its region.
fn cell_key(grid: &ViewGrid, part: &ViewPart, own: Option<usize>) -> [usize; 4] {
    let [column, row] = match (own, part.region) {
        (Some(_), 0) => [0, usize::from(part.cell[1] >= grid.rows_below_horizon())],
        _ => grid.group(part.cell, FINE),
    };
    [own.map_or(0, |piece| piece + 1), column, row, part.region]
}

/// Length of the path in the glass relative to its thickness, mean over the view of a piece.
pub(crate) fn mean_path(entries: &[ViewEntry], view: &[ViewCell], pane: &Pane) -> f64 {
    let total: f64 = entries.iter().map(|e| e.solid_angle).sum();
    if total <= 0.0 {
        return 1.0;
    }
    entries.iter().map(|e| e.solid_angle * pane.path(-view[e.cell].direction[2])).sum::<f64>() / total
}
