//! A site in a light, and what a window in it gets and sees.

use std::f64::consts::PI;

use glam::DVec3;
use plane::{RoomPoint, RoomVector};

use crate::cast::{Face, Hit, before};
use crate::exchange::Exchange;
use crate::fault::{Fault, unit, within};
use crate::light::{Light, Met, Surface, add_scaled};
use crate::site::Reflectances;
use crate::solve::exitances;

/// A site after light went back and forth between its surfaces. Diffuse light varies smoothly between the patches of a
/// surface; the beam and its shadow are computed at each point on its own.
#[derive(Clone, Debug)]
pub struct Lit<const N: usize> {
    pub(crate) exchange: Exchange,
    reflectances: Reflectances<N>,
    pub(crate) sun: Option<DVec3>,
    beam_normal: [f64; N],
    /// Illuminance of each patch without the beam.
    diffuse: Vec<[f64; N]>,
}

impl Exchange {
    /// The site in a light: everything thrown back and forth until nothing changes.
    ///
    /// # Errors
    /// [`Fault`] for a reflectance outside 0–1, a beam that is negative or not a number, and a sun that is not a unit
    /// vector.
    pub fn lit<const N: usize>(
        &self,
        light: Light<'_, N>,
        reflectances: &Reflectances<N>,
    ) -> Result<Lit<N>, Fault> {
        reflectances.check(self.0.site.blocks.len())?;
        for beam in light.beam_normal {
            within("sky.beam_normal_lx", beam, &(0.0..=f64::MAX), "a number from 0")?;
        }
        if let Some(sun) = light.sun {
            unit("sun", sun)?;
        }
        Ok(Lit::new(self.clone(), light, reflectances))
    }
}

impl<const N: usize> Lit<N> {
    fn new(exchange: Exchange, light: Light<'_, N>, reflectances: &Reflectances<N>) -> Self {
        let geometry = &*exchange.0;
        let sun = light.sun.map(RoomVector::vector).filter(|_| light.beam_normal.iter().any(|b| *b > 0.0));
        let cells = geometry.sky.means(light.sky, light.edges);
        let mut diffuse: Vec<[f64; N]> = geometry
            .skies
            .iter()
            .map(|seen| {
                let mut sum = [0.0; N];
                seen.iter()
                    .for_each(|(cell, share)| add_scaled(&mut sum, PI * share, &cells[*cell as usize]));
                sum
            })
            .collect();
        let mut direct = diffuse.clone();
        if let Some(sun) = sun {
            for (i, points) in geometry.points.iter().enumerate() {
                let sum: f64 =
                    points.iter().map(|at| geometry.scene.sunlit(geometry.faces[i], *at, sun)).sum();
                add_scaled(&mut direct[i], sum / points.len().max(1) as f64, &light.beam_normal);
            }
        }
        let reflectance: Vec<&[f64; N]> = geometry.faces.iter().map(|face| of(reflectances, *face)).collect();
        let exitances = exitances(&direct, &reflectance, &geometry.views, geometry.fineness.settled());
        for (sum, view) in diffuse.iter_mut().zip(&geometry.views) {
            view.iter().for_each(|(j, share)| add_scaled(sum, *share, &exitances[*j as usize]));
        }
        let reflectances = reflectances.clone();
        Self { exchange, reflectances, sun, beam_normal: light.beam_normal, diffuse }
    }

    /// What a view from the window's middle meets toward a unit vector; `None` for the sky.
    ///
    /// # Errors
    /// [`Fault`] for a direction that is not a unit vector, or leads into the own building.
    pub fn met(&self, toward: RoomVector) -> Result<Option<Met<N>>, Fault> {
        unit("look", toward)?;
        if self.exchange.0.site.own_height_m > 0.0 && toward.to_array()[2] > 1e-9 {
            return Err(Fault {
                field: "look",
                expected: "a bearing from -90 to 90 degrees, since the own building lies behind the window",
                found: format!("the direction {toward:?}"),
            });
        }
        Ok(self.seen(toward))
    }

    /// As [`Lit::met`], without refusing anything: behind the window it meets the own wall.
    pub fn seen(&self, toward: RoomVector) -> Option<Met<N>> {
        self.seen_around(toward, &Vec::new)
    }

    /// As [`Lit::seen`], but with the mean beam on what those of `around` meet that meet the same face: for what a direction
    /// stands for when the edge of a shadow may cross it. They are asked for where the sun may shine.
    pub fn seen_around(&self, toward: RoomVector, around: &dyn Fn() -> Vec<RoomVector>) -> Option<Met<N>> {
        let geometry = &*self.exchange.0;
        let (surface, at, luminance) = match geometry.scene.cast(geometry.window(), toward.vector()) {
            Hit::Sky => return None,
            Hit::Black(at) => (Surface::Roof, at, [0.0; N]),
            Hit::Face(face, at) => {
                let surface = match face {
                    Face::Ground => Surface::Ground,
                    Face::Own => Surface::OwnBuilding,
                    Face::Block(number, _) => Surface::Block(number),
                };
                (surface, at, self.luminance(face, at, around))
            }
        };
        Some(Met { surface, at: RoomPoint::from(at.to_array()), luminance })
    }

    /// Luminance of a point: the diffuse light of the patches around it and its own beam, or the mean of those around it.
    fn luminance(&self, face: Face, at: DVec3, around: &dyn Fn() -> Vec<RoomVector>) -> [f64; N] {
        let geometry = &*self.exchange.0;
        let mut light = [0.0; N];
        for (number, weight) in geometry.patches.around(face, face.place(at), &geometry.hidden) {
            if weight > 0.0 {
                add_scaled(&mut light, weight, &self.diffuse[number]);
            }
        }
        if let Some(sun) = self.sun
            && face.normal().dot(sun) > 0.0
        {
            let (mut sum, mut met) = (0.0, 0.0);
            for toward in around() {
                if let Hit::Face(other, at) = geometry.scene.cast(geometry.window(), toward.vector())
                    && other == face
                {
                    sum += geometry.scene.sunlit(face, before(face, at), sun);
                    met += 1.0;
                }
            }
            if met == 0.0 {
                (sum, met) = (geometry.scene.sunlit(face, before(face, at), sun), 1.0);
            }
            add_scaled(&mut light, sum / met, &self.beam_normal);
        }
        let reflectance = of(&self.reflectances, face);
        light.iter_mut().zip(reflectance).for_each(|(v, rho)| *v *= rho / PI);
        light
    }

    /// Illuminance by the beam on the upright plane at the window's middle.
    pub(crate) fn beam_on_window(&self) -> [f64; N] {
        let geometry = &*self.exchange.0;
        let at = before(Face::Own, geometry.window());
        let cosine = self.sun.map_or(0.0, |sun| geometry.scene.sunlit(Face::Own, at, sun));
        self.beam_normal.map(|beam| cosine * beam)
    }
}

fn of<const N: usize>(reflectances: &Reflectances<N>, face: Face) -> &[f64; N] {
    match face {
        Face::Ground => &reflectances.ground,
        Face::Own => &reflectances.own_building,
        Face::Block(number, _) => &reflectances.blocks[number],
    }
}
