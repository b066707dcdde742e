//! The direct method's way to what a pane scatters forward: a sum over the sky for every direction of a table.

use std::sync::{Arc, LazyLock};

use daylight::Outside;
use plane::RoomVector;
use spectra::Spectrum;

use crate::beam::Beam;
use crate::bell::Bell;
use crate::glazing::Pane;
use crate::outdoors::{OutsideCell, fine_cells, outside_cells};
use crate::prepared::world;
use crate::view_edges::ViewEdges;

/// Nodes of the table each way, in direction cosines along the glass.
const NODES: usize = 41;
/// Share of its peak below which a bell is left out: all of that is a hundred-thousandth of it.
const LEAST_OF_PEAK: f64 = 1e-5;
/// Points each way for the part of the sun's bell within the hemisphere.
const POINTS: usize = 200;

/// Directions outside, and their projected solid angles, sr, over which a lobe is summed up.
static DIRECTIONS: LazyLock<Vec<(RoomVector, f64)>> =
    LazyLock::new(|| outside_cells(3).into_iter().map(|cell| (cell.direction, cell.projected_sr)).collect());

/// Light that falls on a pane: the direction from which it comes, projected solid angle, sr, and radiance.
pub(crate) type Falling = (RoomVector, f64, Spectrum);

/// The light of sky and ground on a window without depth.
pub(crate) fn falling(outside: &Outside, edges: &ViewEdges, facing_deg: f64) -> Vec<Falling> {
    let parts = |cell: &OutsideCell| {
        let projected_sr = cell.projected_sr;
        let part = |(d, share)| (d, projected_sr * share, outside.radiance(world(d, facing_deg)));
        cell.seen(edges).into_iter().map(part).collect::<Vec<_>>()
    };
    fine_cells().iter().flat_map(parts).collect()
}

/// What each piece scatters forward; `None` for one that does not.
pub(crate) type PieceLobes = Vec<Option<Arc<PaneLobe>>>;

/// What a pane scatters forward, in radiance.
pub(crate) struct PaneLobe {
    table: Vec<Spectrum>,
    sun: Option<(Bell, Spectrum)>,
}

impl PaneLobe {
    /// The lobe of a pane on which this light falls, and the exitance of sky and ground light and of sunlight that leaves in
    /// it; `None` if it has none.
    pub(crate) fn new(
        pane: &Pane,
        falling: &[Falling],
        beam: Option<&Beam>,
    ) -> Option<(Self, [Spectrum; 2])> {
        let lobe = pane.forward()?;
        let arriving: Vec<(RoomVector, Spectrum)> = falling
            .iter()
            .map(|&(d, projected_sr, radiance)| {
                (d, radiance * pane.optics.diffuse(-d[2]) * (lobe.share * projected_sr))
            })
            .collect();
        let at = |k: usize| 2.0 * k as f64 / (NODES - 1) as f64 - 1.0;
        let mut table = vec![Spectrum::ZERO; NODES * NODES];
        // A bell is the product of what it is along each axis.
        let along = |axis: usize| -> Vec<[f64; NODES]> {
            let of = |(direction, _): &(RoomVector, _)| {
                std::array::from_fn(|k| Bell::along(lobe, direction[axis] - at(k)))
            };
            arriving.iter().map(of).collect()
        };
        let (along_x, along_y) = (along(0), along(1));
        let least = LEAST_OF_PEAK * Bell::along(lobe, 0.0).powi(2);
        for (k, row) in table.chunks_exact_mut(NODES).enumerate() {
            for (((_, light), x), along_y) in arriving.iter().zip(&along_x).zip(&along_y) {
                for (sum, y) in row.iter_mut().zip(along_y) {
                    let weight = x[k] * y;
                    if weight > least {
                        sum.add_scaled(weight, light);
                    }
                }
            }
        }
        let mut out = Self { table, sun: None };
        let mut leaving = [Spectrum::ZERO; 2];
        for (direction, projected_sr) in &*DIRECTIONS {
            leaving[0].add_scaled(*projected_sr, &out.sky_radiance(*direction));
        }
        if let Some(beam) = beam {
            let bell = Bell::new(lobe, beam);
            let light = pane.optics.diffuse(beam.cosine) * beam.normal * (lobe.share * beam.cosine);
            let at = |k: usize| (2.0 * k as f64 + 1.0) / POINTS as f64 - 1.0;
            let [along_x, along_y] = bell.middle.map(|middle| {
                (0..POINTS).map(|k| (at(k), Bell::along(lobe, at(k) - middle))).collect::<Vec<_>>()
            });
            let inside = |x: f64| along_y.iter().filter(move |(y, _)| x.hypot(*y) < 1.0);
            let kept: f64 =
                along_x.iter().map(|&(x, of)| of * inside(x).map(|(_, of)| of).sum::<f64>()).sum();
            leaving[1] = light * (kept * (2.0 / POINTS as f64).powi(2)).min(1.0);
            out.sun = Some((bell, light));
        }
        Some((out, leaving))
    }

    fn sky_radiance(&self, direction: RoomVector) -> Spectrum {
        let [x, y] = [0, 1].map(|k| {
            let at = 0.5 * (direction[k] + 1.0) * (NODES - 1) as f64;
            let first = (at.max(0.0) as usize).min(NODES - 2);
            (first, at - first as f64)
        });
        let mut sum = Spectrum::ZERO;
        for (i, wx) in [(x.0, 1.0 - x.1), (x.0 + 1, x.1)] {
            for (j, wy) in [(y.0, 1.0 - y.1), (y.0 + 1, y.1)] {
                sum.add_scaled(wx * wy, &self.table[i * NODES + j]);
            }
        }
        sum
    }

    /// Toward a direction outside.
    pub(crate) fn whole(&self, direction: RoomVector) -> Spectrum {
        let [sky, sun] = self.radiance(direction);
        sky + sun
    }

    /// Toward a direction outside: of sky and ground, of the sun.
    pub(crate) fn radiance(&self, direction: RoomVector) -> [Spectrum; 2] {
        let sun = self.sun.as_ref().map_or(Spectrum::ZERO, |(bell, light)| *light * bell.toward(direction));
        [self.sky_radiance(direction), sun]
    }
}
