//! Patches of ground, own wall and blocks.

use glam::{DVec2, dvec2};

use crate::cast::{Corners, Face, SIDES, Scene, Side};
use crate::fineness::{FEW, Fineness};
use crate::lines::{Break, ascending, beside, thinned};
use crate::site::Site;

/// The single stretch of a surface that is endless along x.
const ENDLESS: [f64; 2] = [f64::NEG_INFINITY, f64::INFINITY];

/// A rectangle on a face.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Area {
    low: DVec2,
    high: DVec2,
}

impl Area {
    /// The point at two shares of its sides; before the window if it is endless.
    pub(crate) fn at(&self, shares: DVec2) -> DVec2 {
        let at = self.low + shares * (self.high - self.low);
        if self.low.x.is_finite() { at } else { dvec2(0.0, at.y) }
    }
}

/// Lines that divide one face, and the number of its first patch.
#[derive(Clone, Debug)]
struct Grid {
    face: Face,
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

    /// The two columns around a place, and their weights.
    fn across(&self, x: f64) -> [(usize, f64); 2] {
        if self.across.len() == 2 { [(0, 1.0), (0, 0.0)] } else { beside(&self.across, x) }
    }
}

/// All patches, face by face and row by row.
#[derive(Clone, Debug)]
pub(crate) struct Patches {
    /// By the index of their face.
    grids: Vec<Grid>,
}

impl Patches {
    pub(crate) fn of(scene: &Scene, site: &Site, fineness: Fineness) -> Self {
        let (own, scale) = (scene.own_height, site.scale_m());
        let endless = site.is_endless();
        let [most_across, most_along] = fineness.most_lines();
        let most_upright = fineness.most_upright(scene.blocks.len());
        let grading = fineness.grading(endless);
        // Light changes within the distance of what stands opposite, or within its height.
        let near =
            |block: &Corners| (-block.high.z).max(0.25 * block.high.y).min(block.high.y).max(0.05 * scale);
        let before_window = scene
            .blocks
            .iter()
            .map(near)
            .fold(site.window_middle_height_m.min(scale), f64::min)
            .max(0.05 * scale);
        let breaks = |axis: usize| {
            let corners = scene.blocks.iter().flat_map(move |block| {
                [block.low, block.high].map(|at| Break { at: at[axis], scale: near(block) })
            });
            let window = Break { at: 0.0, scale: if axis == 0 { scale } else { before_window } };
            ascending(corners.filter(|b| b.at.is_finite()).chain([window]).collect())
        };
        let (xs, zs) = (breaks(0), breaks(2));
        let thin = |lines: Vec<f64>, most: usize| {
            if endless { lines } else { thinned(lines, before_window, most) }
        };
        let across = if endless {
            ENDLESS.to_vec()
        } else {
            thin(grading.outward(&xs, [true; 2], scale), most_across)
        };
        let along = {
            // Behind the facade of a street there is no ground.
            let beyond = scene.blocks.iter().all(|block| block.low.z.is_finite() || !endless);
            thin(grading.outward(&zs, [beyond, own <= 0.0], scale), most_along)
        };
        // The lower part of a deep gap exchanges most with the ground.
        let upright = |height: f64, gap: f64| {
            let ends = [0.0, height].map(|at| Break { at, scale: gap.min(height) });
            if height > 0.0 { grading.lines(&ends) } else { Vec::new() }
        };
        let gap = scene.blocks.iter().map(near).fold(scale, f64::min);
        let own_up = thin(upright(own, gap), most_along);
        let mut sides = vec![(Face::Ground, across.clone(), along), (Face::Own, across, own_up)];
        let few = scene.blocks.len() <= FEW || fineness == Fineness::Fine;
        for (number, block) in scene.blocks.iter().enumerate() {
            let (low, high) = (block.low, block.high);
            for side in SIDES {
                let (ends, breaks) = match side {
                    Side::Front | Side::Back => ([low.x, high.x], &xs),
                    Side::Left | Side::Right => ([low.z, high.z], &zs),
                };
                let exists = match side {
                    Side::Front => true,
                    Side::Back => low.z.is_finite(),
                    Side::Left | Side::Right => low.x.is_finite() && low.z.is_finite(),
                };
                let mut along = if side == Side::Front && !low.x.is_finite() {
                    ENDLESS.to_vec()
                } else if exists && ends.iter().all(|end| end.is_finite()) {
                    let own = ends.map(|at| Break { at, scale: near(block) });
                    // What stands before it hides much of a part of it.
                    let within = |b: &&Break| few && b.at != 0.0 && b.at > ends[0] && b.at < ends[1];
                    let others = breaks.iter().filter(within).copied();
                    grading.lines(&ascending(own.into_iter().chain(others).collect()))
                } else if exists {
                    ENDLESS.to_vec()
                } else {
                    Vec::new()
                };
                let mut up = if exists { upright(high.y, near(block)) } else { Vec::new() };
                // Of many blocks only the fronts show much of themselves.
                let most = 1 + if few || side == Side::Front { most_upright } else { 1 };
                (along, up) = (thin(along, most), thin(up, most));
                sides.push((Face::Block(number, side), along, up));
            }
        }
        let mut first = 0;
        let grids = sides
            .into_iter()
            .map(|(face, across, up)| {
                let grid = Grid { face, first, across, up };
                first += grid.len();
                grid
            })
            .collect();
        Self { grids }
    }

    /// All patches in order: their face and area.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (Face, Area)> + '_ {
        self.grids.iter().flat_map(|grid| {
            (0..grid.len()).map(move |number| {
                let (row, column) = (number / grid.columns(), number % grid.columns());
                let low = dvec2(grid.across[column], grid.up[row]);
                let high = dvec2(grid.across[column + 1], grid.up[row + 1]);
                (grid.face, Area { low, high })
            })
        })
    }

    /// The patches around a place of a face, whose figures vary smoothly between their middles, and their weights, which
    /// sum to one. None of those that are `hidden`, and none on a face without patches.
    pub(crate) fn around(&self, face: Face, at: DVec2, hidden: &[bool]) -> [(usize, f64); 4] {
        let grid = &self.grids[face.index()];
        let mut around = [(0, 0.0); 4];
        if grid.len() == 0 {
            return around;
        }
        let mut sum = 0.0;
        for (i, (row, by_row)) in beside(&grid.up, at.y).into_iter().enumerate() {
            for (j, (column, by_column)) in grid.across(at.x).into_iter().enumerate() {
                let number = grid.first + row * grid.columns() + column;
                if !hidden[number] {
                    around[2 * i + j] = (number, by_row * by_column);
                    sum += by_row * by_column;
                }
            }
        }
        if sum > 0.0 {
            around.iter_mut().for_each(|(_, weight)| *weight /= sum);
        }
        around
    }
}
