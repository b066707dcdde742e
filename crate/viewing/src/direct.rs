//! The direct method: the light of one instant at one place, point by point. It is slow, and the reference for the
//! prepared method.
//!
//! Every piece is cut finely as seen from the place, with its optics computed at each angle. Light falls on every
//! patch of the room from every part of every piece. The patches then exchange it forward, on one mesh, until
//! nothing noticeable is left.
//!
//! # What it shares with the prepared method
//! A fault in any of this is in both, and only the path tracer (`tests/suite/path_tracer.rs`), which has nothing of it, can
//! show it:
//! - the wall, receivers and glazing, with the panes' tables of diffuse transmittance and inner reflectance, and the closed
//!   forms of the geometry: every comparison with the tracer;
//! - how the view is cut (`ViewGrid`, finer here), and along which edges outside (`ViewEdges`, `ViewRegions`):
//!   `traced::trees_end_in_the_middle_of_the_view`, `traced::a_block_fills_most_of_the_window`;
//! - the directions outside and the samples of pieces (`outside_cells`, `piece_samples`, both finer here), `RoomMesh` and
//!   `opening_reflectance`: the room's part in `traced::the_demos_at_their_own_hour`;
//! - `Bell`: `traced::glass_and_paint_scatter_forwards`;
//! - what leads and bars with depth take (`WindowWall::past_leads`, `LeadDepth::disc_taken`): the tests of `lead_depth`;
//! - bars and mesh before a wall, and what its reveal sends back (`Walled::openness`, `Walled::returned`): the tests of
//!   `walls`.

use std::f64::consts::{FRAC_1_PI, PI};
use std::sync::Arc;

use daylight::Outside;
use plane::{RoomPoint, RoomVector, WallPoint, room_ring_from_wall};
use reveal::Way;
use scene::Resolved;
use spectra::{SAMPLES, Spectrum, luminous};

use crate::beam::Beam;
use crate::box_room::Surface;
use crate::contour::{form_factor_to_polygon, polygon_area};
use crate::direct_lobe::{Falling, PaneLobe, PieceLobes, falling};
use crate::direct_walls::{DirectWall, LitWall, Sun, walls};
use crate::error::ViewingError;
use crate::geometry::WindowWall;
use crate::glazing::{Glazing, LEAD_REFLECTANCE, Pane};
use crate::instant::{InstantLight, Irradiance, PieceLight};
use crate::landing::piece_samples;
use crate::mesh::RoomMesh;
use crate::outdoors::outside_cells;
use crate::prepared::{Prepared, RECEIVERS, opening_reflectance, world};
use crate::room_response::{Receiver, Reflectances};
use crate::sun_disc::share_of_disc;
use crate::sun_patch::{SunPatch, sun_patches};
use crate::view_edges::ViewEdges;
use crate::view_regions::ViewRegions;
use crate::window_view::ViewGrid;

/// Step of the cells into which a piece is cut as seen from the place, degrees.
const STEP_DEG: f64 = 1.0;
/// Approximate number of samples over all pieces toward the patches of the room.
const SAMPLES_OF_WINDOW: f64 = 80.0;
/// Coarse patches of its mesh; the solution uses nine times as many.
const PATCHES: usize = 100;

/// A place in a scene, computed from scratch for every instant.
#[derive(Clone, Debug)]
pub struct Direct {
    wall: WindowWall,
    surfaces: Reflectances,
    receivers: [Receiver; RECEIVERS],
    /// As glazed, and with clear glass throughout.
    glazings: [Glazing; 2],
    mesh: RoomMesh,
    /// Windows with depth, by window.
    walls: Vec<Option<DirectWall>>,
    edges: ViewEdges,
    /// The same at the point of the working plane.
    working_plane: Option<Box<Direct>>,
}

/// What does not depend on the place from which a room is seen.
struct LitRoom {
    /// Exitance of each piece by the sky and ground light and by the sunlight that it scatters evenly.
    scattered: Vec<[Spectrum; 2]>,
    /// Windows with depth.
    walls: Vec<LitWall>,
    /// What each piece scatters forward.
    lobes: PieceLobes,
    /// Of the wall of every fine patch.
    radiosity: Vec<Spectrum>,
    /// Radiosity of the window's opening, by what the room sends back to it.
    opening: Spectrum,
}

/// Maximum number of sweeps of the exchange. Each sweep's change is about the mean reflectance times that of the
/// sweep before: at 0.98, the most a document may state, about 700 sweeps bring it below a millionth.
const MOST_SWEEPS: usize = 2000;

impl Direct {
    /// For a place of a scene: the named one, or the first.
    ///
    /// # Errors
    /// As [`Prepared::new`].
    pub fn new(resolved: &Resolved, place: Option<&str>) -> Result<Self, ViewingError> {
        Prepared::new(resolved, place).map(|prepared| Self::from_prepared(&prepared))
    }

    /// For the place and the pieces of a prepared place.
    pub fn from_prepared(prepared: &Prepared) -> Self {
        let wall = prepared.wall.clone();
        let clear = Glazing { panes: vec![Pane::clear()], of_piece: vec![0; wall.pieces.len()] };
        Self {
            mesh: RoomMesh::new(wall.room, &wall.openings, PATCHES),
            walls: walls(&wall),
            surfaces: prepared.surfaces,
            edges: prepared.edges.clone(),
            receivers: prepared.receivers,
            working_plane: prepared.plane.as_ref().map(|plane| Box::new(Self::from_prepared(&plane.at))),
            glazings: [prepared.glazing.clone(), clear],
            wall,
        }
    }

    /// The light of an instant. [`PieceLight::received`] stays empty: only the prepared method computes what each
    /// piece adds to the place, and with it the spread due to the glasses.
    pub fn light(&self, outside: &Outside) -> InstantLight {
        // The working plane stands in the same lit room as the eye.
        let rooms = self.glazings.each_ref().map(|glazing| self.lit(glazing, outside));
        let mut light = self.seen(&rooms, outside);
        light.working_plane = self.working_plane.as_ref().map(|plane| Box::new(plane.seen(&rooms, outside)));
        light
    }

    /// What the sides of a window's inner reveal send at an instant, patch by patch: what each belongs to, its area, m², and
    /// its exitance. Empty for a window without one.
    pub fn inner_exitance(&self, window: usize, outside: &Outside) -> Vec<(reveal::Face, f64, Spectrum)> {
        let Some(wall) = self.walls.get(window).and_then(Option::as_ref) else { return Vec::new() };
        let (_, walls, _) = self.through_walls(&self.glazings[0], outside);
        let sent = walls[window].inner.iter().enumerate();
        sent.map(|(patch, sent)| (wall.inner.face(patch), wall.inner.area_m2(patch), *sent)).collect()
    }

    /// The light at this place in the rooms lit through the window as glazed and through clear glass.
    fn seen(&self, [room, clear]: &[LitRoom; 2], outside: &Outside) -> InstantLight {
        let mut light = self.with(&self.glazings[0], room, outside);
        let clear = self.with(&self.glazings[1], clear, outside);
        light.clear = [clear.vertical.total(), clear.horizontal.total()];
        light
    }

    /// What the room does with the light of an instant, the same for every place in it.
    fn lit(&self, glazing: &Glazing, outside: &Outside) -> LitRoom {
        let (scattered, walls, lobes) = self.through_walls(glazing, outside);
        let Sun { toward, beam, shines } = self.sun(outside);
        let cosine = -toward[2];
        let mut landed = self.landed(glazing, outside, &scattered, (&walls, &lobes));
        if shines {
            for (p, (shape, &pane)) in self.wall.pieces.iter().zip(&glazing.of_piece).enumerate() {
                let [past, _] = self.wall.past_leads(p, toward);
                let through = glazing.panes[pane].optics.regular(cosine) * beam * past;
                if let Some(wall) = &self.walls[shape.window] {
                    let Some(on) = wall.opening.beam(toward) else { continue };
                    let through = through * wall.walled.openness(toward);
                    for ring in shape.light.iter().flat_map(|l| on.lit(l)).flat_map(|l| on.inside(&l).open) {
                        let ring = wall.walled.at_face(&ring, toward);
                        for patch in sun_patches(&self.wall.room, &ring, toward) {
                            self.land_sun(&patch, &through, &mut landed);
                        }
                    }
                    continue;
                }
                for patch in shape.light.iter().flat_map(|l| sun_patches(&self.wall.room, l, toward)) {
                    self.land_sun(&patch, &through, &mut landed);
                }
            }
        }
        let (radiosity, opening) = self.exchange(glazing, &landed);
        LitRoom { scattered, walls, lobes, radiosity, opening }
    }

    /// What each piece scatters, what the stone of walls with depth sends, and what pieces scatter forward.
    fn through_walls(
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

    fn sun(&self, outside: &Outside) -> Sun {
        let sun = outside.sun().direction();
        let toward = RoomVector::toward_sky(sun.azimuth_deg - self.wall.facing_deg, sun.altitude_deg);
        let beam = outside.beam_normal();
        Sun { toward, beam, shines: beam.max() > 0.0 && toward[2] < -1e-9 }
    }

    fn with(&self, glazing: &Glazing, room: &LitRoom, outside: &Outside) -> InstantLight {
        let Sun { toward, beam, shines } = self.sun(outside);
        let cosine = -toward[2];
        let eye = self.receivers[0].point_m;
        let mut out = InstantLight::default();
        let mut parts = [Irradiance::default(); RECEIVERS];
        for (p, (shape, &pane)) in self.wall.pieces.iter().zip(&glazing.of_piece).enumerate() {
            let prepared = glazing.panes[pane].makeup.prepare();
            let [sky, glow] = room.scattered[p];
            let mut piece = PieceLight::default();
            let (mut seen, mut solid_angle) = (Spectrum::ZERO, 0.0);
            // In a wall with depth: what the eye sees past the stone, in the frame of the glass, and what is behind it.
            let wall = self.walls[shape.window].as_ref();
            let place = |receiver: Receiver| Receiver {
                point_m: wall.map_or(receiver.point_m, |wall| wall.walled.before_glass(receiver.point_m)),
                ..receiver
            };
            let receivers = self.receivers.map(place);
            let eye = wall.map_or(eye, |_| receivers[0].point_m);
            let mut behind: Vec<(Vec<WallPoint>, Option<usize>)> = Vec::new();
            match wall.map(|wall| wall.opening.from_eye(eye)) {
                None => behind.extend(shape.light.iter().map(|l| (l.clone(), None))),
                Some(Err(_)) => {}
                Some(Ok(view)) => {
                    for visible in shape.light.iter().flat_map(|l| view.visible(l)) {
                        let split = view.through(&visible);
                        behind.extend(split.open.into_iter().map(|ring| (ring, None)));
                        behind.extend(split.patches.into_iter().map(|(patch, ring)| (ring, Some(patch))));
                    }
                }
            }
            // Of a lobe behind stone, what is seen and lit counts.
            let seen_lobe = wall.zip(room.lobes[p].as_ref()).and_then(|(wall, _)| {
                let (lit, around) = (&room.walls[shape.window].outer, (&self.edges, self.wall.facing_deg));
                let falling = wall.falling(shape, Some(eye), lit, outside, around);
                let normal = beam * wall.walled.openness(toward);
                let beam = shines.then_some(Beam { toward, normal, cosine });
                PaneLobe::new(&glazing.panes[pane], &falling, beam.as_ref()).map(|(lobe, _)| lobe)
            });
            if let (Some(lobe), Some(on)) = (&seen_lobe, wall.and_then(|wall| wall.opening.beam(toward))) {
                for ring in behind.iter().flat_map(|(ring, _)| on.lit(ring)) {
                    let Some(grid) = ViewGrid::new(eye, &ring, STEP_DEG) else { continue };
                    for part in grid.parts(&ring, &receivers, 1, |_| None) {
                        let [past, _] = self.wall.past_leads(p, part.middle);
                        let sun = lobe.radiance(part.middle)[1] * past;
                        seen.add_scaled(PI * part.facing / (-part.middle[2]).max(1e-6), &sun);
                        for (sum, form) in parts.iter_mut().zip(&part.form_factors) {
                            sum.sun.add_scaled(PI * form, &sun);
                        }
                    }
                }
            }
            let openness = |d: RoomVector| wall.map_or(1.0, |wall| wall.walled.openness(d));
            for (light, patch) in &behind {
                if let Some(grid) = ViewGrid::new(eye, light, STEP_DEG) {
                    let regions = ViewRegions::new(&grid, &self.edges, 1);
                    for part in grid.parts(light, &receivers, 1, |cell| regions.of(cell)) {
                        let angle_deg = (-part.middle[2]).clamp(0.0, 1.0).acos().to_degrees();
                        let beyond = match patch {
                            Some(patch) => {
                                let open = wall.map_or(1.0, |wall| wall.openness_to(*patch, part.middle));
                                room.walls[shape.window].outer[*patch] * (FRAC_1_PI * open)
                            }
                            None => {
                                outside.radiance(world(part.middle, self.wall.facing_deg))
                                    * openness(part.middle)
                            }
                        };
                        let passed = beyond * prepared.optics(angle_deg).regular_transmittance;
                        let lobe = seen_lobe.as_ref().or(room.lobes[p].as_deref());
                        let [lobe_sky, mut lobe_sun] =
                            lobe.map_or([Spectrum::ZERO; 2], |lobe| lobe.radiance(part.middle));
                        if wall.is_some() {
                            lobe_sun = Spectrum::ZERO;
                        }
                        let [past, one_side] = self.wall.past_leads(p, part.middle);
                        let across = PI * past * part.facing / (-part.middle[2]).max(1e-6);
                        seen.add_scaled(across, &(passed + lobe_sky + lobe_sun));
                        solid_angle += across;
                        for (sum, form) in parts.iter_mut().zip(&part.form_factors) {
                            let straight = PI * past;
                            sum.sky_ground
                                .add_scaled(*form, &((passed + lobe_sky) * straight + sky * one_side));
                            sum.sun.add_scaled(*form, &(lobe_sun * straight + glow * one_side));
                        }
                    }
                }
            }
            if shines {
                let open = behind.iter().filter(|(_, patch)| patch.is_none());
                piece.sun_share = self.sun_share(p, open.map(|(ring, _)| &ring[..]), eye, toward);
                let through = prepared.optics(cosine.min(1.0).acos().to_degrees()).regular_transmittance
                    * (beam * openness(toward));
                for (part, receiver) in parts.iter_mut().zip(&self.receivers) {
                    part.sun.add_scaled(piece.sun_share * receiver.normal.dot(toward).max(0.0), &through);
                }
            }
            if solid_angle > 0.0 {
                piece.radiance = Some(seen * (1.0 / solid_angle) + (sky + glow) * FRAC_1_PI);
            }
            out.pieces.push(piece);
        }

        for (part, room) in parts.iter_mut().zip(self.gathered(room)) {
            part.room = room;
        }
        for (wall, lit) in self.walls.iter().zip(&room.walls) {
            let Some(wall) = wall else { continue };
            for (form, sent) in wall.inner_forms(&self.receivers).iter().zip(&lit.inner) {
                for (part, form) in parts.iter_mut().zip(form) {
                    part.room.add_scaled(*form, sent);
                }
            }
        }
        [out.vertical, out.horizontal] = parts;
        out
    }

    /// Share of the sun's disc that `eye` sees through the open parts of a piece, less what the depth of its leads and bars
    /// takes of all of them together.
    fn sun_share<'a>(
        &self,
        piece: usize,
        open: impl Iterator<Item = &'a [WallPoint]>,
        eye: RoomPoint,
        toward: RoomVector,
    ) -> f64 {
        let share: f64 = open.map(|ring| share_of_disc(eye, toward, &room_ring_from_wall(ring))).sum();
        let taken = self.wall.lead_depth(piece).map_or(0.0, |depth| depth.disc_taken(eye, toward));
        (share - taken).clamp(0.0, 1.0)
    }

    /// Irradiance of every fine patch directly from the pieces' sky light, lobes and glow.
    fn landed(
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
    fn land_sun(&self, patch: &SunPatch, through: &Spectrum, landed: &mut [Spectrum]) {
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
                    covered = crate::contour::clip_to_half_space(&covered, origin, normal);
                }
            }
            if covered.len() >= 3 {
                sum.add_scaled(patch.cos_incidence * polygon_area(&covered) / fine.area, through);
            }
        }
    }

    /// All reflections of the light that has landed: the radiosity of every fine patch's wall, and of the opening.
    fn exchange(&self, glazing: &Glazing, landed: &[Spectrum]) -> (Vec<Spectrum>, Spectrum) {
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

    /// Exitance of the sky and ground light that a pane scatters.
    fn scattered_sky(&self, pane: &Pane, outside: &Outside) -> Spectrum {
        let mut sum = Spectrum::ZERO;
        if pane.optics.scatters() {
            for cell in outside_cells(2) {
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
        for cell in outside_cells(2) {
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

    /// The light that the room sends to each receiver.
    fn gathered(&self, LitRoom { radiosity, opening, .. }: &LitRoom) -> [Spectrum; RECEIVERS] {
        self.receivers.map(|receiver| {
            let mut sum = Spectrum::ZERO;
            for (f, patch) in self.mesh.fine.iter().enumerate() {
                if !self.wall.room.lies_in(patch.surface, receiver.point_m) {
                    let form =
                        form_factor_to_polygon(receiver.point_m, receiver.normal, &self.mesh.corners(f));
                    sum.add_scaled(form * (1.0 - patch.open), &radiosity[f]);
                    sum.add_scaled(form * patch.open, opening);
                }
            }
            sum
        })
    }
}

/// The four Gauss points of a rectangle, each a quarter of it.
fn points(u: [f64; 2], v: [f64; 2]) -> [(f64, f64); 4] {
    let at = |limits: [f64; 2], side: f64| {
        0.5 * (limits[0] + limits[1]) + side * 0.5 * (limits[1] - limits[0]) / 3f64.sqrt()
    };
    [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)].map(|(a, b)| (at(u, a), at(v, b)))
}
