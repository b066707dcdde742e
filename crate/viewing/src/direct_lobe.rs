//! The direct method's way to what a pane scatters forward: a sum over the sky for every direction of a table.

use std::sync::Arc;

use daylight::Outside;
use plane::RoomVector;
use spectra::Spectrum;

use crate::beam::Beam;
use crate::bell::Bell;
use crate::glazing::Pane;
use crate::outdoors::{OutsideCell, outside_cells};
use crate::prepared::world;
use crate::view_edges::ViewEdges;

/// Nodes of the table each way, in direction cosines along the glass.
const NODES: usize = 41;
/// Points each way for the part of the sun's bell within the hemisphere.
const POINTS: usize = 200;

/// Light that falls on a pane: the direction from which it comes, projected solid angle, sr, and radiance.
pub(crate) type Falling = (RoomVector, f64, Spectrum);

/// The light of sky and ground on a window without depth.
pub(crate) fn falling(outside: &Outside, edges: &ViewEdges, facing_deg: f64) -> Vec<Falling> {
    let parts = |cell: &OutsideCell| {
        let projected_sr = cell.projected_sr;
        let part = |(d, share)| (d, projected_sr * share, outside.radiance(world(d, facing_deg)));
        cell.seen(edges).into_iter().map(part).collect::<Vec<_>>()
    };
    outside_cells(2).iter().flat_map(parts).collect()
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
        let table = (0..NODES * NODES)
            .map(|node| {
                let at = |k: usize| 2.0 * k as f64 / (NODES - 1) as f64 - 1.0;
                let bell = Bell::around([at(node / NODES), at(node % NODES)], lobe);
                let mut sum = Spectrum::ZERO;
                for (direction, light) in &arriving {
                    let weight = bell.toward(*direction);
                    if weight > 1e-7 {
                        sum.add_scaled(weight, light);
                    }
                }
                sum
            })
            .collect();
        let mut out = Self { table, sun: None };
        let mut leaving = [Spectrum::ZERO; 2];
        for cell in outside_cells(3) {
            leaving[0].add_scaled(cell.projected_sr, &out.sky_radiance(cell.direction));
        }
        if let Some(beam) = beam {
            let bell = Bell::new(lobe, beam);
            let light = pane.optics.diffuse(beam.cosine) * beam.normal * (lobe.share * beam.cosine);
            let at = |k: usize| (2.0 * k as f64 + 1.0) / POINTS as f64 - 1.0;
            let points = (0..POINTS * POINTS).map(|k| [at(k / POINTS), at(k % POINTS)]);
            let inside = points.filter(|[x, y]| x.hypot(*y) < 1.0);
            let kept: f64 = inside.map(|[x, y]| bell.toward(RoomVector::new(x, y, 0.0))).sum();
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
