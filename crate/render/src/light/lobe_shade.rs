//! What the wall before the glass outside does to light that pieces scatter forward.
//!
//! A piece in a wall with depth scatters the mean of the light on it. Here that is known at few places of the
//! glass: what of the outside and of the stone each sees within the bell around the direction in which the
//! eye sees it.

use plane::{PanelPoint, PanelSpaceVector, WallPoint, contains};

use crate::glazing::forward::{ANGLES, angle_weights, entering};
use crate::light::field::Eye;
use crate::light::lobe_grid::{CELL, deviation};
use crate::light::wall::{STONE_SPECTRA, WallLight};
use crate::window::outer_wall::OuterWall;

/// Points each way of a node's cell at which the sun is looked for.
const SUN_POINTS: usize = 4;

/// The wall in the light of an instant, from one eye.
#[derive(Clone, Copy)]
pub(crate) struct Shade<'a> {
    pub(crate) wall: &'a OuterWall,
    pub(crate) light: &'a WallLight,
    pub(crate) eye: Eye,
}

/// Light that one place scatters forward toward the eye.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct AtPlace {
    /// Share of the light of sky and ground that reaches it.
    pub(crate) open: f64,
    /// Light of the stone that enters: weights of the stone's spectra.
    pub(crate) stone: [f64; STONE_SPECTRA],
}

impl Shade<'_> {
    /// At each place, for bells of this step.
    pub(crate) fn places(&self, step: i32) -> Vec<AtPlace> {
        let (wall, light) = (self.wall, self.light);
        // No narrower than the cells.
        let variance = deviation(step).max(0.9 * wall.cell_side()).powi(2);
        let enter: Vec<f64> =
            wall.cells.iter().map(|cell| cell.projected_sr * entering(-cell.toward[2])).collect();
        wall.ways
            .iter()
            .zip(wall.places())
            .map(|(ways, at)| {
                let toward = self.eye.direction_through(wall.on_panel(at));
                let (mut whole, mut all, mut open) = (0.0, 0.0, 0.0);
                let mut stone = [0.0; STONE_SPECTRA];
                for ((cell, way), (enter, level)) in
                    wall.cells.iter().zip(ways).zip(enter.iter().zip(&light.cell_level))
                {
                    let square = (cell.toward[0] - toward[0]).powi(2) + (cell.toward[1] - toward[1]).powi(2);
                    if square > 30.0 * variance {
                        continue;
                    }
                    let weight = enter * (-0.5 * square / variance).exp();
                    whole += cell.projected_sr * (-0.5 * square / variance).exp();
                    all += weight * level;
                    if let Some(patch) = (*way as usize).checked_sub(1) {
                        let weight = weight * wall.openness_to(patch, cell.toward);
                        for (sum, of) in stone.iter_mut().zip(&light.patches[patch]) {
                            *sum += weight * f64::from(*of);
                        }
                    } else {
                        open += weight * level * cell.openness;
                    }
                }
                // Of a bell around a direction that is seen, nearly all lies within the hemisphere.
                stone.iter_mut().for_each(|sum| *sum /= f64::max(whole, 1e-300));
                AtPlace { open: if all > 0.0 { open / all } else { 0.0 }, stone }
            })
            .collect()
    }

    /// At a point of the panel, between the places.
    pub(crate) fn between(&self, places: &[AtPlace], point: PanelPoint) -> AtPlace {
        let mut sum = AtPlace::default();
        for (place, weight) in self.wall.around(point) {
            let at = &places[place];
            sum.open += weight * at.open;
            sum.stone.iter_mut().zip(at.stone).for_each(|(sum, of)| *sum += weight * of);
        }
        sum.open = sum.open.clamp(0.0, 1.0);
        sum
    }

    /// Of all light on the glass but the sun's, shares that enter, by cosine of incidence; `share`: of the light from a
    /// direction that counts.
    pub(crate) fn by_angle(&self, share: impl Fn(PanelSpaceVector) -> f64) -> [f64; ANGLES] {
        let mut sums = [0.0; ANGLES];
        for (cell, light) in self.wall.cells.iter().zip(&self.light.arriving) {
            let light = light * share(cell.toward.to_array().into());
            for (node, weight) in angle_weights(-cell.toward[2]) {
                sums[node] += weight * light * entering(-cell.toward[2]);
            }
        }
        let whole: f64 = self.light.arriving.iter().sum::<f64>().max(1e-300);
        sums.map(|sum| sum / whole)
    }

    /// Share of a rectangle around a point of the panel that the sun reaches.
    pub(crate) fn sunlit(&self, point: PanelPoint, [width, height]: [f64; 2]) -> f64 {
        let offset = |k: usize| (k as f64 + 0.5) / SUN_POINTS as f64 - 0.5;
        let lit = (0..SUN_POINTS * SUN_POINTS).filter(|k| {
            let at = PanelPoint::new(
                point[0] + width * offset(k % SUN_POINTS),
                point[1] + height * offset(k / SUN_POINTS),
            );
            let at: WallPoint = self.wall.on_glass(at);
            self.light.lit.iter().any(|ring| contains([ring], at))
        });
        lit.count() as f64 / (SUN_POINTS * SUN_POINTS) as f64
    }
}

/// Bilinear between the cells of a grid of direction cosines.
pub(crate) fn in_grid(grid: &[f64], side: usize, d: PanelSpaceVector) -> f64 {
    let [x, y] = [0, 1].map(|k| {
        let at = ((d[k] + 1.0) / CELL - 0.5).clamp(0.0, side as f64 - 1.001);
        (at as usize, at.fract())
    });
    let at = |i: usize, j: usize| grid[(y.0 + j) * side + x.0 + i];
    let row = |j: usize| at(0, j) * (1.0 - x.1) + at(1, j) * x.1;
    row(0) * (1.0 - y.1) + row(1) * y.1
}
