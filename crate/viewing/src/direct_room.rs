//! Light that lands in the room and is exchanged there, by the direct method.

use std::f64::consts::FRAC_1_PI;

use daylight::Outside;
use plane::{RoomPoint, RoomVector, WallPoint};
use reveal::Way;
use spectra::{SAMPLES, Spectrum};

use crate::box_room::Surface;
use crate::contour::{clip_to_half_space, polygon_area};
use crate::direct::Direct;
use crate::direct_lobe::PieceLobes;
use crate::direct_walls::LitWall;
use crate::glazing::{Glazing, LEAD_REFLECTANCE};
use crate::landing::piece_samples;
use crate::prepared::world;
use crate::prepared_room::opening_reflectance;
use crate::sun_patch::SunPatch;

/// Approximate number of samples over all pieces toward the patches of the room.
const SAMPLES_OF_WINDOW: f64 = 80.0;
/// Maximum number of sweeps of the exchange. Each sweep's change is about the mean reflectance times that of the
/// sweep before: at 0.98, the most a document may state, about 700 sweeps bring it below a millionth.
const MOST_SWEEPS: usize = 2000;

impl Direct {
    /// Irradiance of every fine patch directly from the pieces' sky light, lobes and glow.
    pub(crate) fn landed(
        &self,
        glazing: &Glazing,
        outside: &Outside,
        scattered: &[[Spectrum; 2]],
        (walls, lobes): (&[LitWall], &PieceLobes),
    ) -> Vec<Spectrum> {
        let area: f64 = self.wall.pieces.iter().map(|p| p.area_m2).sum();
        let step = (area / SAMPLES_OF_WINDOW).sqrt().max(0.02);
        let samples: Vec<_> = self
            .wall
            .pieces
            .iter()
            .zip(&glazing.of_piece)
            .enumerate()
            .flat_map(|(p, (shape, &pane))| {
                shape
                    .light
                    .iter()
                    .flat_map(move |l| piece_samples(l, step))
                    .map(move |s| (s.point_m, s.area_m2, pane, p, shape.window))
            })
            .collect();
        let mut landed = vec![Spectrum::ZERO; self.mesh.fine.len()];
        for (sum, patch) in landed.iter_mut().zip(&self.mesh.fine) {
            if patch.surface == Surface::WindowWall {
                continue;
            }
            let normal = patch.surface.inward();
            for (u, v) in points(patch.rectangle.u, patch.rectangle.v) {
                let at = self.wall.room.point_on(patch.surface, u, v);
                for &(on_glass, area, pane, piece, window) in &samples {
                    let wall = self.walls[window].as_ref();
                    let from = wall.map_or(on_glass, |wall| wall.walled.in_room(on_glass));
                    let r = (from - at).length();
                    let d = (from - at).unit();
                    let geometry = normal.dot(d).max(0.0) * -d[2] * area / (r * r);
                    if geometry <= 0.0 {
                        continue;
                    }
                    let [sky, glow] = scattered[piece];
                    let beyond = || outside.radiance(world(d, self.wall.facing_deg));
                    let light = match wall {
                        None => beyond(),
                        Some(wall) => {
                            let at = WallPoint::new(on_glass[0], on_glass[1]);
                            if wall.opening.inward(at, -d) != Way::Open {
                                continue;
                            }
                            wall.radiance(&walls[window].outer, on_glass, d, beyond)
                        }
                    };
                    let [past, one_side] = self.wall.past_leads(piece, d);
                    let forward = lobes[piece].as_ref().map_or(Spectrum::ZERO, |lobe| lobe.whole(d));
                    // In a wall with depth, the lobe is that of the light that has come past the leads outside.
                    let radiance = forward * if wall.is_some() { one_side } else { past }
                        + light * glazing.panes[pane].optics.regular(-d[2]) * past
                        + (sky + glow) * (one_side * FRAC_1_PI);
                    sum.add_scaled(0.25 * geometry, &radiance);
                }
            }
        }
        for (wall, lit) in self.walls.iter().zip(walls) {
            if let Some(wall) = wall {
                wall.land(&self.mesh, &lit.inner, &mut landed);
            }
        }
        landed
    }

    /// Adds a sunlit polygon, divided among the fine patches it covers.
    pub(crate) fn land_sun(&self, patch: &SunPatch, through: &Spectrum, landed: &mut [Spectrum]) {
        let axes = patch.surface.in_plane_axes();
        for (sum, fine) in landed.iter_mut().zip(&self.mesh.fine) {
            if fine.surface != patch.surface {
                continue;
            }
            let mut covered = patch.polygon.clone();
            for (axis, limits) in axes.into_iter().zip([fine.rectangle.u, fine.rectangle.v]) {
                for (side, limit) in [(1.0, limits[0]), (-1.0, limits[1])] {
                    let (mut origin, mut normal) = (RoomPoint::new(0.0, 0.0, 0.0), RoomVector::ZERO);
                    origin[axis] = limit;
                    normal[axis] = side;
                    covered = clip_to_half_space(&covered, origin, normal);
                }
            }
            if covered.len() >= 3 {
                sum.add_scaled(patch.cos_incidence * polygon_area(&covered) / fine.area, through);
            }
        }
    }

    /// All reflections of the light that has landed: the radiosity of every fine patch's wall, and of the opening.
    pub(crate) fn exchange(&self, glazing: &Glazing, landed: &[Spectrum]) -> (Vec<Spectrum>, Spectrum) {
        let fine = &self.mesh.fine;
        let mut pane_reflectance = Spectrum::ZERO;
        let mut glass_area = 0.0;
        for (shape, &pane) in self.wall.pieces.iter().zip(&glazing.of_piece) {
            pane_reflectance.add_scaled(shape.area_m2, &glazing.panes[pane].reflectance_inside);
            glass_area += shape.area_m2;
        }
        let whole = self.wall.opening_area_m2().max(glass_area).max(1e-12);
        pane_reflectance += Spectrum::splat(LEAD_REFLECTANCE * (whole - glass_area));
        pane_reflectance *= 1.0 / whole;
        if self.walls.iter().any(Option::is_some) {
            pane_reflectance = opening_reflectance(&self.wall, glazing, None);
        }
        let open_area: f64 = fine.iter().map(|p| p.open * p.area).sum();

        let mut radiosity: Vec<Spectrum> =
            fine.iter().zip(landed).map(|(p, e)| self.surfaces[p.surface.index()] * *e).collect();
        let mut opening = Spectrum::ZERO;
        for _ in 0..MOST_SWEEPS {
            let mut change = 0.0f64;
            let mut on_opening = Spectrum::ZERO;
            for f in 0..fine.len() {
                let mut sum = [0.0; SAMPLES];
                for (other, &x) in self.mesh.exchange_row(f).iter().enumerate() {
                    if x > 0.0 {
                        let (open, wall) = (x * fine[other].open, x * (1.0 - fine[other].open));
                        let walls = radiosity[other].samples();
                        // Most patches are all wall.
                        if open > 0.0 {
                            for ((s, b), o) in sum.iter_mut().zip(walls).zip(opening.samples()) {
                                *s += wall * b + open * o;
                            }
                        } else {
                            for (s, b) in sum.iter_mut().zip(walls) {
                                *s += wall * b;
                            }
                        }
                    }
                }
                let received = Spectrum::new(sum) * (1.0 / fine[f].area);
                on_opening.add_scaled(fine[f].open * fine[f].area, &received);
                let new = self.surfaces[fine[f].surface.index()] * (landed[f] + received);
                change = change.max((new - radiosity[f]).map(f64::abs).max() / new.max().max(1e-300));
                radiosity[f] = new;
            }
            if open_area > 0.0 {
                opening = on_opening * pane_reflectance * (1.0 / open_area);
            }
            if change < 1e-6 {
                break;
            }
        }
        (radiosity, opening)
    }
}

/// The four Gauss points of a rectangle, each a quarter of it.
fn points(u: [f64; 2], v: [f64; 2]) -> [(f64, f64); 4] {
    let at = |limits: [f64; 2], side: f64| {
        0.5 * (limits[0] + limits[1]) + side * 0.5 * (limits[1] - limits[0]) / 3f64.sqrt()
    };
    [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)].map(|(a, b)| (at(u, a), at(v, b)))
}
