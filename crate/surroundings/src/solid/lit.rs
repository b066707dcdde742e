//! A site with a block in a light.

use std::f64::consts::PI;

use glam::{DVec3, dvec3};
use plane::{RoomPoint, RoomVector};

use super::Solid;
use super::cast::{FACES, Face, Hit};
use super::rays::lambertian;
use crate::light::{Light, Met, Surface};
use crate::site::Reflectances;
use crate::solve::exitances;

/// Rings and sectors of the directions by which the light of a single point is gathered.
const RINGS: usize = 48;
/// See `RINGS`.
const SECTORS: usize = 96;

/// A site with a block after light went back and forth between its patches.
pub(crate) struct LitSolid<'a> {
    pub(super) solid: &'a Solid,
    pub(super) light: Light<'a>,
    reflectances: Reflectances,
    /// Illuminance of each patch without the beam.
    diffuse: Vec<f64>,
}

impl Solid {
    pub(crate) fn lit<'a>(&'a self, light: Light<'a>, reflectances: &Reflectances) -> LitSolid<'a> {
        let share = 1.0 / self.rays.len() as f64;
        let skies = FACES.map(|face| {
            let luminance = |direction: DVec3| {
                let direction = face.turned(direction);
                if direction.y >= 0.0 { (light.sky)(RoomVector::from(direction)) } else { 0.0 }
            };
            self.rays.iter().map(|ray| PI * share * luminance(ray.direction)).collect::<Vec<f64>>()
        });
        let faces: Vec<Face> = (0..self.patches.len()).map(|i| self.patches.face(i)).collect();
        let sky = |i: usize| {
            let from = &skies[faces[i] as usize];
            self.views[i].sky.iter().map(|k| from[usize::from(*k)]).sum::<f64>()
        };
        let sky: Vec<f64> = (0..faces.len()).map(sky).collect();
        let direct: Vec<f64> =
            sky.iter().zip(&self.views).map(|(sky, view)| sky + light.beam_normal * view.sunlit).collect();
        let gathered = |i: usize, exitance: &[f64]| {
            share * self.views[i].patches.iter().map(|j| exitance[*j as usize]).sum::<f64>()
        };
        let exitances = exitances(&direct, |i| of(reflectances, faces[i]), gathered);
        let diffuse = sky.iter().enumerate().map(|(i, sky)| sky + gathered(i, &exitances)).collect();
        LitSolid { solid: self, light, reflectances: *reflectances, diffuse }
    }
}

fn of(reflectances: &Reflectances, face: Face) -> f64 {
    match face {
        Face::Ground => reflectances.ground,
        Face::Own => reflectances.own_building,
        Face::Front | Face::Back | Face::Left | Face::Right => reflectances.opposite,
    }
}

impl LitSolid<'_> {
    /// Just outside the window's middle.
    pub(super) fn window(&self) -> DVec3 {
        self.solid.scene.before(Face::Own, dvec3(0.0, self.solid.window_height, 0.0))
    }

    pub(crate) fn met(&self, toward: RoomVector) -> Met {
        let point = |at: DVec3| Some(RoomPoint::from(at.to_array()));
        match self.solid.scene.cast(self.window(), toward.vector()) {
            Hit::Sky => Met { surface: Surface::Sky, at: None, luminance: (self.light.sky)(toward) },
            Hit::Black(at) => Met { surface: Surface::Roof, at: point(at), luminance: 0.0 },
            Hit::Face(face, at) => {
                let surface = if face == Face::Ground { Surface::Ground } else { Surface::Facade };
                let luminance = of(&self.reflectances, face) * self.irradiance(face, at) / PI;
                Met { surface, at: point(at), luminance }
            }
        }
    }

    /// Luminance of a point with the diffuse light of the patches around it and its own beam.
    pub(super) fn luminance_by_patches(&self, face: Face, at: DVec3) -> f64 {
        let solid = self.solid;
        let diffuse = solid.patches.between(face, face.place(at), &self.diffuse);
        of(&self.reflectances, face) * (diffuse + self.beam(face, at)) / PI
    }

    /// Illuminance by the beam at a point of a face; 0 in shadow.
    pub(super) fn beam(&self, face: Face, at: DVec3) -> f64 {
        let scene = &self.solid.scene;
        self.solid
            .sun
            .filter(|_| self.light.beam_normal > 0.0)
            .map_or(0.0, |sun| self.light.beam_normal * scene.sunlit(face, scene.before(face, at), sun))
    }

    /// Illuminance at a point of a face by everything it sees.
    fn irradiance(&self, face: Face, at: DVec3) -> f64 {
        let scene = &self.solid.scene;
        let from = scene.before(face, at);
        let mut sum = 0.0;
        for ring in 0..RINGS {
            for sector in 0..SECTORS {
                let first = (ring as f64 + 0.5) / RINGS as f64;
                let second = (sector as f64 + 0.5) / SECTORS as f64;
                let toward = face.turned(lambertian(first, second));
                sum += match scene.cast(from, toward) {
                    Hit::Sky => (self.light.sky)(RoomVector::from(toward)),
                    Hit::Black(_) => 0.0,
                    Hit::Face(face, at) => self.luminance_by_patches(face, at),
                };
            }
        }
        PI * sum / (RINGS * SECTORS) as f64 + self.beam(face, at)
    }
}
