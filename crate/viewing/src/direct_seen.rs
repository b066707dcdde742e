//! What a place sees and gets of the window and the room, by the direct method.

use std::f64::consts::{FRAC_1_PI, PI};

use daylight::Outside;
use plane::{RoomPoint, RoomVector, WallPoint, room_ring_from_wall};
use spectra::Spectrum;

use crate::beam::Beam;
use crate::contour::form_factor_to_polygon;
use crate::direct::{Direct, LitRoom};
use crate::direct_lobe::PaneLobe;
use crate::direct_walls::Sun;
use crate::glazing::Glazing;
use crate::instant::{InstantLight, Irradiance, PieceLight};
use crate::prepared::{RECEIVERS, world};
use crate::room_response::Receiver;
use crate::sun_disc::share_of_disc;
use crate::view_regions::ViewRegions;
use crate::window_view::ViewGrid;

/// Step of the cells into which a piece is cut as seen from the place, degrees.
const STEP_DEG: f64 = 1.0;

impl Direct {
    pub(crate) fn with(&self, glazing: &Glazing, room: &LitRoom, outside: &Outside) -> InstantLight {
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
