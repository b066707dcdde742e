//! Patches of ground, own wall and block.

use std::f64::consts::PI;

use glam::{DVec2, dvec2};
use plane::RoomVector;

use super::cast::{FACES, Face, Scene};
use crate::site::Site;

/// Patches between two breaks.
const BETWEEN: usize = 6;
/// From how many times the scale a stretch between two breaks is long.
const LONG: f64 = 4.0;
/// Width of the first patch outside all breaks, in heights of what stands there.
const FIRST: f64 = 0.1;
/// How much wider each further patch is.
const GROWTH: f64 = 1.8;
/// Where the patches end, in heights of what stands there; the last one stands for all that lies beyond.
const FAR: f64 = 60.0;

/// A rectangle on a face.
#[derive(Clone, Copy, Debug)]
pub(super) struct Area {
    low: DVec2,
    high: DVec2,
}

impl Area {
    /// The point at two shares of its sides.
    pub(super) fn at(&self, shares: DVec2) -> DVec2 {
        self.low + shares * (self.high - self.low)
    }
}

/// Lines that divide one face, and the number of its first patch.
#[derive(Clone, Debug)]
struct Grid {
    first: usize,
    across: Vec<f64>,
    up: Vec<f64>,
}

impl Grid {
    fn columns(&self) -> usize {
        self.across.len().saturating_sub(1)
    }

    fn len(&self) -> usize {
        self.columns() * self.up.len().saturating_sub(1)
    }
}

/// All patches, face by face and row by row.
#[derive(Clone, Debug)]
pub(super) struct Patches {
    grids: [Grid; 6],
    /// Plan of the block, whose ground nobody sees.
    plan: [DVec2; 2],
}

impl Patches {
    pub(super) fn of(scene: &Scene, site: &Site, sun: Option<RoomVector>) -> Self {
        let [low, high] = scene.corners();
        let (own, scale) = (scene.own_height, site.scale_m());
        let across = outward(&lines(&[low.x, 0.0, high.x], scale), scale, true, true);
        let mut back = vec![low.z, high.z, 0.0];
        if let Some([_, up, into_room]) = sun.map(RoomVector::to_array)
            && own > 0.0
            && into_room > 0.0
            && up > 0.0
        {
            back.push((-own * into_room / up).max(-FAR * scale));
        }
        let back = outward(&lines(&back, scale), scale, true, own <= 0.0);
        // The lower part of a deep gap exchanges most with the ground.
        let gap = scale.min(-high.z);
        let on_own = if own > 0.0 { lines(&[0.0, own], gap) } else { Vec::new() };
        let face = lines(&[low.x, high.x], scale);
        let side = lines(&[low.z, high.z], scale);
        let up = lines(&[0.0, high.y], gap);
        let sides = [
            (across.clone(), back),
            (across, on_own),
            (face.clone(), up.clone()),
            (face, up.clone()),
            (side.clone(), up.clone()),
            (side, up),
        ];
        let mut first = 0;
        let grids = sides.map(|(across, up)| {
            let grid = Grid { first, across, up };
            first += grid.len();
            grid
        });
        Self { grids, plan: [dvec2(low.x, low.z), dvec2(high.x, high.z)] }
    }

    pub(super) fn len(&self) -> usize {
        self.grids.iter().map(Grid::len).sum()
    }

    /// Face of a patch.
    pub(super) fn face(&self, number: usize) -> Face {
        FACES[self.grids.iter().rposition(|grid| grid.first <= number && grid.len() > 0).unwrap_or(0)]
    }

    /// Face and area of a patch; `None` for ground under the block.
    pub(super) fn patch(&self, number: usize) -> Option<(Face, Area)> {
        let face = self.face(number);
        let grid = &self.grids[face as usize];
        let (row, column) = ((number - grid.first) / grid.columns(), (number - grid.first) % grid.columns());
        let area = Area {
            low: dvec2(grid.across[column], grid.up[row]),
            high: dvec2(grid.across[column + 1], grid.up[row + 1]),
        };
        let middle = area.at(DVec2::splat(0.5));
        let hidden =
            face == Face::Ground && middle.cmpgt(self.plan[0]).all() && middle.cmplt(self.plan[1]).all();
        (!hidden).then_some((face, area))
    }

    /// Number of the patch at a place; places beyond the last patch belong to it.
    pub(super) fn number(&self, face: Face, at: DVec2) -> usize {
        let grid = &self.grids[face as usize];
        grid.first + stretch(&grid.up, at.y) * grid.columns() + stretch(&grid.across, at.x)
    }

    /// A figure that varies smoothly over a face, at a place of it: between the middles of the patches around.
    pub(super) fn between(&self, face: Face, at: DVec2, figures: &[f64]) -> f64 {
        let grid = &self.grids[face as usize];
        let (mut sum, mut weights) = (0.0, 0.0);
        for (row, by_row) in beside(&grid.up, at.y) {
            for (column, by_column) in beside(&grid.across, at.x) {
                let number = grid.first + row * grid.columns() + column;
                let weight = by_row * by_column;
                if weight > 0.0 && (face != Face::Ground || self.patch(number).is_some()) {
                    sum += weight * figures[number];
                    weights += weight;
                }
            }
        }
        if weights > 0.0 { sum / weights } else { figures[self.number(face, at)] }
    }
}

/// Number of the stretch between two lines in which a value lies.
fn stretch(lines: &[f64], v: f64) -> usize {
    lines.partition_point(|line| *line <= v).saturating_sub(1).min(lines.len().saturating_sub(2))
}

/// The two stretches whose middles lie around a value, and their weights; before the first and after the last middle,
/// that stretch alone.
fn beside(lines: &[f64], v: f64) -> [(usize, f64); 2] {
    let here = stretch(lines, v);
    let middle = |i: usize| (lines[i] + lines[i + 1]) / 2.0;
    let other = if v >= middle(here) { here + 1 } else { here.wrapping_sub(1) };
    if other >= lines.len().saturating_sub(1) {
        return [(here, 1.0), (here, 0.0)];
    }
    let share = ((v - middle(here)) / (middle(other) - middle(here))).clamp(0.0, 1.0);
    [(here, 1.0 - share), (other, share)]
}

/// Lines from the first break to the last, finer toward each break; on a stretch much longer than `scale`, ever farther
/// apart toward its middle.
fn lines(breaks: &[f64], scale: f64) -> Vec<f64> {
    let mut breaks = breaks.to_vec();
    breaks.sort_by(f64::total_cmp);
    let whole = breaks[breaks.len() - 1] - breaks[0];
    breaks.dedup_by(|b, a| *b - *a < 1e-6 * whole);
    let mut lines = vec![breaks[0]];
    for ends in breaks.windows(2) {
        let (a, b) = (ends[0], ends[1]);
        if b - a > LONG * scale {
            let steps = steps(scale, (b - a) / 2.0 - scale);
            lines.extend(steps.iter().map(|step| a + step));
            lines.extend(steps.iter().rev().map(|step| b - step));
            lines.push(b);
        } else {
            let share = |i: usize| (1.0 - (PI * i as f64 / BETWEEN as f64).cos()) / 2.0;
            lines.extend((1..=BETWEEN).map(|i| a + (b - a) * share(i)));
        }
    }
    lines
}

/// Steps from a break, each wider than the last, up to a distance.
fn steps(scale: f64, to: f64) -> Vec<f64> {
    let (mut width, mut reached) = (FIRST * scale, 0.0);
    let mut steps = Vec::new();
    while reached + width < to {
        reached += width;
        width *= GROWTH;
        steps.push(reached);
    }
    steps
}

/// The same with lines beyond the first and the last, ever farther apart.
fn outward(lines: &[f64], scale: f64, before: bool, after: bool) -> Vec<f64> {
    let steps = steps(scale, FAR * scale);
    let (first, last) = (lines[0], lines[lines.len() - 1]);
    let mut all = Vec::new();
    if before {
        all.extend(steps.iter().rev().map(|step| first - step));
    }
    all.extend_from_slice(lines);
    if after {
        all.extend(steps.iter().map(|step| last + step));
    }
    all
}
