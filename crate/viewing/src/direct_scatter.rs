//! What pieces scatter, and what the stone around them sends, by the direct method.

use std::sync::Arc;

use daylight::Outside;
use spectra::{Spectrum, luminous};

use crate::beam::Beam;
use crate::direct::Direct;
use crate::direct_lobe::{Falling, PaneLobe, PieceLobes, falling};
use crate::direct_walls::{DirectWall, LitWall, Sun};
use crate::glazing::{Glazing, Pane};
use crate::outdoors::fine_cells;
use crate::prepared::world;

impl Direct {
    /// What each piece scatters, what the stone of walls with depth sends, and what pieces scatter forward.
    pub(crate) fn through_walls(
        &self,
        glazing: &Glazing,
        outside: &Outside,
    ) -> (Vec<[Spectrum; 2]>, Vec<LitWall>, PieceLobes) {
        let sun = self.sun(outside);
        let Sun { toward, beam, shines } = sun;
        let cosine = -toward[2];
        let of_pane: Vec<[Spectrum; 2]> = glazing
            .panes
            .iter()
            .map(|pane| {
                let sky = self.scattered_sky(pane, outside);
                [sky, if shines { pane.optics.diffuse(cosine) * beam * cosine } else { Spectrum::ZERO }]
            })
            .collect();
        // What a pane's lobe takes, in windows without depth, is not spread evenly.
        let mut evenly = of_pane.clone();
        let shining = |share: f64| shines.then_some(Beam { toward, normal: beam * share, cosine });
        let split = |pane: &Pane, falling: &[Falling], sun: f64, evenly: &mut [Spectrum; 2]| {
            let (lobe, leaving) = PaneLobe::new(pane, falling, shining(sun).as_ref())?;
            for (rest, leaving) in evenly.iter_mut().zip(leaving) {
                *rest = (*rest - leaving).map(|v| v.max(0.0));
            }
            Some(Arc::new(lobe))
        };
        let falling = falling(outside, &self.edges, self.wall.facing_deg);
        let of_panes: PieceLobes = glazing
            .panes
            .iter()
            .zip(&mut evenly)
            .map(|(pane, evenly)| split(pane, &falling, 1.0, evenly))
            .collect();
        let outer = |wall: &Option<DirectWall>| {
            let outer = wall.as_ref().map(|wall| wall.outer_exitance(outside, &sun, self.wall.facing_deg));
            LitWall { outer: outer.unwrap_or_default(), inner: Vec::new() }
        };
        let mut walls: Vec<LitWall> = self.walls.iter().map(outer).collect();
        let (scattered, lobes): (Vec<[Spectrum; 2]>, Vec<_>) = self
            .wall
            .pieces
            .iter()
            .zip(&glazing.of_piece)
            .enumerate()
            .map(|(p, (shape, &pane))| {
                let optics = &glazing.panes[pane].optics;
                let [_, sun_past] = self.wall.past_leads(p, toward);
                match &self.walls[shape.window] {
                    Some(wall) if optics.scatters() => {
                        let (lit, seen) = (&walls[shape.window].outer, (&self.edges, self.wall.facing_deg));
                        let share = sun_past * wall.in_sun(shape, toward) * wall.walled.openness(toward);
                        let mut falling = wall.falling(shape, None, lit, outside, seen);
                        for (d, _, light) in &mut falling {
                            *light *= self.wall.past_leads(p, *d)[1];
                        }
                        let of_sky = |(d, projected_sr, light): &Falling| {
                            optics.diffuse(-d[2]) * *light * *projected_sr
                        };
                        let mut evenly = [falling.iter().map(of_sky).sum(), of_pane[pane][1] * share];
                        let lobe = split(&glazing.panes[pane], &falling, share, &mut evenly);
                        (evenly, lobe)
                    }
                    Some(_) => (of_pane[pane], None),
                    None => {
                        let [sky, sun] = evenly[pane];
                        let enters = self.entering(p, &glazing.panes[pane], outside);
                        ([sky * enters, sun * sun_past], of_panes[pane].clone())
                    }
                }
            })
            .unzip();
        for (window, lit) in walls.iter_mut().enumerate() {
            if let Some(wall) = &self.walls[window] {
                let (of, around) = ((&self.wall, glazing), (outside, &self.edges, &sun));
                lit.inner = wall.inner_exitance(window, of, around, (&lit.outer, &scattered, &lobes));
            }
        }
        (scattered, walls, lobes)
    }

    /// Exitance of the sky and ground light that a pane scatters.
    fn scattered_sky(&self, pane: &Pane, outside: &Outside) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        if pane.optics.scatters() {
            for cell in fine_cells() {
                for (direction, share) in cell.seen(&self.edges) {
                    let light = outside.radiance(world(direction, self.wall.facing_deg));
                    let through = pane.optics.diffuse(-direction[2]) * light;
                    sum.add_scaled(cell.projected_sr * share, &through);
                }
            }
        }
        sum
    }

    /// Share of the sky and ground light that leads with depth let by on its way to be scattered in a piece.
    fn entering(&self, piece: usize, pane: &Pane, outside: &Outside) -> f64 {
        let Some(depth) = self.wall.lead_depth(piece).filter(|_| pane.optics.scatters()) else { return 1.0 };
        let (mut enters, mut all) = (0.0, 1e-300);
        for cell in fine_cells() {
            for (direction, share) in cell.seen(&self.edges) {
                let light = outside.radiance(world(direction, self.wall.facing_deg));
                let light =
                    share * cell.projected_sr * luminous(&(pane.optics.diffuse(-direction[2]) * light));
                enters += light * depth.one_side(direction);
                all += light;
            }
        }
        enters / all
    }
}
