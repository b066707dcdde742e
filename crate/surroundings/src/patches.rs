//! Patches of ground, own wall and blocks.

use glam::{DVec2, dvec2};

use crate::cast::{Face, SIDES, Scene, Side};
use crate::fineness::Fineness;
use crate::light::add_scaled;
use crate::lines::{beside, lines, outward, stretch, thinned};
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
        let endless = site.blocks.iter().all(|block| block.is_endless());
        let [most_across, most_along] = fineness.most_lines();
        let grading = fineness.outward(endless);
        let corners = || scene.blocks.iter().flat_map(|block| [block.low, block.high]);
        let xs: Vec<f64> = corners().map(|at| at.x).filter(|x| x.is_finite()).chain([0.0]).collect();
        let zs: Vec<f64> = corners().map(|at| at.z).filter(|z| z.is_finite()).chain([0.0]).collect();
        let across = if endless {
            ENDLESS.to_vec()
        } else {
            let inner = lines(&xs, scale, fineness.between(xs.len()), grading);
            thinned(outward(&inner, scale, [true; 2], grading), scale, most_across)
        };
        let along = {
            let between = if endless { fineness.strips() } else { fineness.between(zs.len()) };
            let inner = lines(&zs, scale, between, grading);
            // Behind the facade of a street there is no ground.
            let beyond = scene.blocks.iter().all(|block| block.low.z.is_finite() || !endless);
            let all = outward(&inner, scale, [beyond, own <= 0.0], grading);
            if endless { all } else { thinned(all, scale, most_along) }
        };
        // The lower part of a deep gap exchanges most with the ground.
        let gap = zs.iter().filter(|z| **z < 0.0).fold(scale, |gap, z| gap.min(-z));
        let between = if endless { fineness.strips() } else { fineness.upright(scene.blocks.len()) };
        let upright = |height: f64| {
            if height > 0.0 { lines(&[0.0, height], gap, between, grading) } else { Vec::new() }
        };
        let own_up = upright(own);
        let own_up = if endless { own_up } else { thinned(own_up, scale, most_along) };
        let mut sides = vec![(Face::Ground, across.clone(), along), (Face::Own, across, own_up)];
        for (number, block) in scene.blocks.iter().enumerate() {
            let (low, high) = (block.low, block.high);
            let few = scene.blocks.len() > 3 && fineness == Fineness::Quick;
            for side in SIDES {
                let ends = match side {
                    Side::Front | Side::Back => [low.x, high.x],
                    Side::Left | Side::Right => [low.z, high.z],
                };
                let exists = match side {
                    Side::Front => true,
                    Side::Back => low.z.is_finite(),
                    Side::Left | Side::Right => low.x.is_finite() && low.z.is_finite(),
                };
                let mut along = if side == Side::Front && !low.x.is_finite() {
                    ENDLESS.to_vec()
                } else if exists && ends.iter().all(|end| end.is_finite()) {
                    lines(&ends, scale, between, grading)
                } else if exists {
                    ENDLESS.to_vec()
                } else {
                    Vec::new()
                };
                let mut up = if exists { upright(high.y) } else { Vec::new() };
                // Of many blocks only the fronts show much of themselves.
                if few && side != Side::Front {
                    (along, up) = (thinned(along, scale, 2), thinned(up, scale, 2));
                }
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

    /// Number of the patch at a place; places beyond the last patch belong to it. `None` on a face without patches.
    pub(crate) fn number(&self, face: Face, at: DVec2) -> Option<usize> {
        let grid = &self.grids[face.index()];
        let row = stretch(&grid.up, at.y);
        (grid.len() > 0).then(|| grid.first + row * grid.columns() + stretch(&grid.across, at.x))
    }

    /// Figures that vary smoothly over a face, at a place of it: between the middles of the patches around. `hidden`:
    /// patches that have none.
    pub(crate) fn between<const N: usize>(
        &self,
        face: Face,
        at: DVec2,
        figures: &[[f64; N]],
        hidden: &[bool],
    ) -> [f64; N] {
        let grid = &self.grids[face.index()];
        let mut sum = [0.0; N];
        if grid.len() == 0 {
            return sum;
        }
        let mut weights = 0.0;
        for (row, by_row) in beside(&grid.up, at.y) {
            for (column, by_column) in grid.across(at.x) {
                let number = grid.first + row * grid.columns() + column;
                let weight = by_row * by_column;
                if weight > 0.0 && !hidden[number] {
                    add_scaled(&mut sum, weight, &figures[number]);
                    weights += weight;
                }
            }
        }
        if weights > 0.0 {
            sum.iter_mut().for_each(|v| *v /= weights);
        }
        sum
    }
}
