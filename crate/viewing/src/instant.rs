//! One instant at a prepared place.

use std::f64::consts::FRAC_1_PI;

use daylight::Outside;
use plane::{RoomVector, WallPoint, bounds, room_ring_from_wall};
use spectra::{Observer, SAMPLES, Spectrum, Xyz, luminous};

use crate::angular_optics::{NODES, node_weights};
use crate::beam::Beam;
use crate::contour::form_factor_to_polygon;
use crate::glazing::Pane;
use crate::lead_depth::LeadDepth;
use crate::lobe_flux::LobeFlux;
use crate::lobes::{LobeOn, LobesNow};
use crate::prepared::{COLUMNS, Prepared, RECEIVERS};
use crate::sums::add_product;
use crate::sun_disc::{disc_radius, share_of_disc};
use crate::sun_patch::sun_patches;

/// Spectral irradiance at a plane, W·m⁻²·nm⁻¹, by path.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Irradiance {
    /// From sky, ground and objects on it, directly through the glass, scattered on the way or not.
    pub sky_ground: Spectrum,
    /// From the sun, directly through the glass or scattered in it.
    pub sun: Spectrum,
    /// From the room's surfaces, and reflected by the panes.
    pub room: Spectrum,
}

impl Irradiance {
    /// The sum.
    pub fn total(&self) -> Spectrum {
        self.sky_ground + self.sun + self.room
    }
}

/// The light of one piece at an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PieceLight {
    /// Radiance toward the eye, mean over the piece, W·m⁻²·sr⁻¹·nm⁻¹, without the sun's disc itself. `None` for a
    /// piece that cannot be seen.
    pub radiance: Option<Spectrum>,
    /// Share of the sun's disc seen through it from the place, as far as nothing outside hides it.
    pub sun_share: f64,
    /// What each receiver (vertical, horizontal) gets through it by every path. The room's part is divided among
    /// the pieces by the flux that each lets in.
    pub received: [Spectrum; RECEIVERS],
    /// How its light comes: what the ranges need.
    pub(crate) ways: Ways,
}

/// The light of a piece by the way that it takes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Ways {
    /// π times the radiance toward the eye of what it scatters: the exitance that it would have if it scattered evenly. By sky
    /// and ground, and by the sun.
    pub scattered: [Spectrum; 2],
    /// Share of it that the sun's beam reaches, bars and mesh counted: 1 without a wall with depth.
    pub sunlit: f64,
    /// What of it goes forwards.
    pub lobe: LobeLight,
    /// All that it scatters into the room, exitance.
    pub emitted: Spectrum,
    /// The part of [`PieceLight::received`] that was scattered in it, straight or by way of the room.
    pub received_scattered: [Spectrum; RECEIVERS],
}

/// The light of a piece's lobe, by sky and ground and by the sun.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct LobeLight {
    /// Straight at both receivers, lx, and the luminance toward the eye, cd/m².
    pub straight: [[f64; 2]; RECEIVERS + 1],
    /// Exitance, X, Y and Z, Y in lm/m².
    pub exitance: [Xyz; 2],
}

/// The light at a place at an instant.
#[derive(Clone, Debug, Default)]
pub struct InstantLight {
    /// On a vertical plane that faces the window.
    pub vertical: Irradiance,
    /// On a horizontal plane.
    pub horizontal: Irradiance,
    /// The totals on the same two planes with clear glass in every piece.
    pub clear: [Spectrum; RECEIVERS],
    /// Piece by piece, in the order of [`crate::WindowWall::pieces`].
    pub pieces: Vec<PieceLight>,
    /// The light at the point of the working plane, of which only what is horizontal counts; `None` if the place has
    /// none.
    pub working_plane: Option<Box<InstantLight>>,
    /// The part of each receiver's light that is the sun's, by every way: as glazed, and with clear glass.
    pub(crate) of_sun: [[Spectrum; RECEIVERS]; 2],
    /// Luminance of each of the room's directions.
    pub(crate) around_cd_m2: Vec<f64>,
}

impl InstantLight {
    /// What one of the two receivers gets: 0 for the vertical one, 1 for the horizontal one.
    pub(crate) fn on(&self, receiver: usize) -> &Irradiance {
        if receiver == 1 { &self.horizontal } else { &self.vertical }
    }
}

impl Prepared {
    /// The light of an instant. Work: one radiance for each of about twelve hundred directions,
    /// more where edges outside or small pieces cut the view, then short sums.
    pub fn light(&self, outside: &Outside) -> InstantLight {
        let around: Vec<Spectrum> = self
            .room
            .iter()
            .map(|row| match row.world[..] {
                [(one, _)] => outside.radiance_around(one, &|| row.cell.around()),
                ref many => {
                    let part = |&(d, share)| outside.radiance_around(d, &|| row.cell.around()) * share;
                    many.iter().map(part).sum()
                }
            })
            .collect();
        let beam = self.beam(outside);
        let walled = self.walled_light(&around, beam.as_ref());
        let view = self.view_radiance(outside, &walled);

        // Irradiance on the glass by angle of incidence, distributed over the nodes of the panes' tables.
        let mut by_angle = [Spectrum::ZERO; NODES];
        for (row, radiance) in self.room.iter().zip(&around) {
            for (node, weight) in node_weights(-row.cell.direction[2]) {
                by_angle[node].add_scaled(weight * row.cell.projected_sr, radiance);
            }
        }
        let lobes = self.lobes.now(&around, beam.as_ref());
        let on_panes: Vec<OnPane> = self
            .glazing
            .panes
            .iter()
            .map(|pane| OnPane::new(pane, &by_angle, beam.as_ref(), &lobes))
            .collect();

        let mut light =
            InstantLight { pieces: vec![PieceLight::default(); self.pieces.len()], ..Default::default() };
        light.around_cd_m2 = around.iter().map(luminous).collect();
        let mut room = [Spectrum::ZERO; COLUMNS];
        let mut clear_room = room;
        // Of the sun alone.
        let (mut room_sun, mut clear_sun) = (room, room);
        for (row, radiance) in self.room.iter().zip(&around) {
            for c in 0..COLUMNS {
                add_product(&mut room[c], &row.rows[c], radiance);
                add_product(&mut clear_room[c], &row.clear[c], radiance);
            }
        }
        Self::add_walled_room(&walled, &mut room, &mut clear_room);
        for (cell, radiance) in self.view.iter().zip(&view) {
            let through = cell.clear * *radiance;
            for r in 0..RECEIVERS {
                light.clear[r].add_scaled(cell.form[r], &through);
            }
        }

        let clear_through = |b: &Beam| self.clear.optics.regular(b.cosine) * b.normal;
        let clear_beam = beam.as_ref().map_or(Spectrum::ZERO, clear_through);
        // Each kind of pane in each window with depth, once it is needed.
        let none = |lit: &Option<_>| lit.is_some().then(|| vec![None; self.glazing.panes.len()]);
        let mut walled_panes: Vec<Vec<Option<OnPane>>> =
            walled.iter().map(|lit| none(lit).unwrap_or_default()).collect();
        let mut lobes_in_wall = vec![LobeFlux::default(); walled.len()];
        let mut spread_share = [Spectrum::ZERO; RECEIVERS];
        let mut scattered_straight = vec![[Spectrum::ZERO; RECEIVERS]; self.pieces.len()];
        let mut entered = vec![[Spectrum::ZERO; RECEIVERS]; self.pieces.len()];
        for (p, piece) in self.pieces.iter().enumerate() {
            let pane = self.glazing.of_piece[p];
            let window = self.wall.pieces[p].window;
            let lit = walled.get(window).and_then(Option::as_ref);
            let in_wall = lit.map(|lit| {
                let mean =
                    walled_panes[window][pane].get_or_insert_with(|| lit.on_pane(&self.glazing.panes[pane]));
                let (landed, in_sun) = self.walled_sun(p, lit);
                (landed, lit.on_piece(mean, p, in_sun), in_sun * lit.openness_to_sun())
            });
            let behind_leads = match (&in_wall, self.wall.lead_depth(p)) {
                (None, Some(depth)) => Some(on_panes[pane].behind(depth, beam.as_ref())),
                _ => None,
            };
            let on = match &in_wall {
                Some((_, on, _)) => on,
                None => behind_leads.as_ref().unwrap_or(&on_panes[pane]),
            };
            let beam = lit.map_or(beam.as_ref(), |lit| lit.beam.as_ref());
            if let (Some((_, on, _)), Some(Some(mean))) = (&in_wall, walled_panes[window].get(pane)) {
                lobes_in_wall[window].add(&on.forward, &mean.forward, self.wall.pieces[p].area_m2);
            }
            let mut straight = [Spectrum::ZERO; RECEIVERS];
            let (mut seen, mut solid_angle) = (Spectrum::ZERO, 0.0);
            for entry in &piece.entries {
                let (through, outside) = (entry.through.samples(), view[entry.cell].samples());
                let [vertical, horizontal] = entry.form;
                for i in 0..SAMPLES {
                    let passed = through[i] * outside[i];
                    straight[0][i] += vertical * passed;
                    straight[1][i] += horizontal * passed;
                    seen[i] += entry.solid_angle * passed;
                }
                solid_angle += entry.solid_angle;
            }
            for (sum, form) in straight.iter_mut().zip(piece.form) {
                sum.add_scaled(form, &on.scattered_sky);
            }
            let mut sun = [Spectrum::ZERO; RECEIVERS];
            let scattered = on.scattered_sky + on.scattered_sun;
            for (sum, form) in scattered_straight[p].iter_mut().zip(piece.form) {
                *sum = scattered * form;
            }
            light.pieces[p].ways.scattered = [on.scattered_sky, on.scattered_sun];
            light.pieces[p].ways.sunlit = in_wall.as_ref().map_or(1.0, |(_, _, sunlit)| *sunlit);
            if let Some(lobe) = &on.lobe {
                let of = &self.glazing.panes[pane];
                let shading =
                    lit.and_then(|lit| lit.lobe_shading(self, (p, piece), of.lobe, lobe.bell.as_ref()));
                let lobes = lit.map_or(&lobes, |lit| &lit.lobes);
                let lobe = lobes.seen(lobe, of, piece, &self.view, shading.as_ref());
                let per_sr = if solid_angle > 0.0 { 1.0 / solid_angle } else { 0.0 };
                let [vertical, horizontal] = lobe.received.map(|of| of.map(|light| luminous(&light)));
                light.pieces[p].ways.lobe = LobeLight {
                    straight: [vertical, horizontal, lobe.seen.map(|light| luminous(&light) * per_sr)],
                    exitance: on.forward.map(|exitance| Xyz::absolute(&exitance, Observer::Cie1931)),
                };
                for (r, [from_sky, from_sun]) in lobe.received.into_iter().enumerate() {
                    straight[r] += from_sky;
                    sun[r] += from_sun;
                    scattered_straight[p][r] += from_sky + from_sun;
                }
                for (sum, lobe) in light.pieces[p].ways.scattered.iter_mut().zip(lobe.seen) {
                    seen += lobe;
                    if solid_angle > 0.0 {
                        sum.add_scaled(std::f64::consts::PI / solid_angle, &lobe);
                    }
                }
            }
            if let Some(beam) = beam {
                let clear_beam = if lit.is_some() { clear_through(beam) } else { clear_beam };
                let share = self.sun_share(p, beam.toward);
                light.pieces[p].sun_share = share;
                for (r, receiver) in self.receivers.iter().enumerate() {
                    let reached = share * receiver.normal.dot(beam.toward).max(0.0);
                    if reached > 0.0 {
                        sun[r].add_scaled(reached, &on.passed_sun);
                        light.of_sun[1][r].add_scaled(reached, &clear_beam);
                    }
                    sun[r].add_scaled(piece.form[r], &on.scattered_sun);
                }
                let landed = match &in_wall {
                    Some((landed, ..)) => *landed,
                    None => self.sun_in_room(p, beam),
                };
                let (own, clear) = (on.passed_sun * beam.cosine, clear_beam * beam.cosine);
                for c in 0..COLUMNS {
                    add_product(&mut room_sun[c], &landed[c], &own);
                    add_product(&mut clear_sun[c], &landed[c], &clear);
                }
                for r in 0..RECEIVERS {
                    entered[p][r] += (landed[r] + self.opening[0][r] * landed[RECEIVERS]) * own;
                }
            }
            for ((sky, sun), spread) in room.iter_mut().zip(&mut room_sun).zip(&piece.spread) {
                add_product(sky, spread, &on.scattered_sky);
                add_product(sun, spread, &on.scattered_sun);
            }
            let forward = on.forward[0] + on.forward[1];
            light.pieces[p].ways.emitted = scattered + forward;
            let flux = scattered + on.passed_sky + forward;
            for r in 0..RECEIVERS {
                let evenly = piece.spread[r] + self.opening[0][r] * piece.spread[RECEIVERS];
                entered[p][r] += evenly * flux;
                spread_share[r] += entered[p][r];
                light.pieces[p].received[r] = straight[r] + sun[r];
                // What comes by way of the room follows below, with the rest of it.
                light.pieces[p].ways.received_scattered[r] = evenly * (scattered + forward);
                light.of_sun[0][r] += sun[r];
            }
            for (sum, part) in
                [&mut light.vertical, &mut light.horizontal].into_iter().zip(straight.iter().zip(&sun))
            {
                sum.sky_ground += *part.0;
                sum.sun += *part.1;
            }
            if solid_angle > 0.0 {
                light.pieces[p].radiance = Some(seen * (1.0 / solid_angle) + scattered * FRAC_1_PI);
            }
        }
        lobes.add_room(&self.room, beam.as_ref(), [1.0; 2], [&mut room, &mut room_sun]);
        for (lit, flux) in walled.iter().zip(&lobes_in_wall) {
            if let Some(lit) = lit {
                lit.lobes.add_room(&self.room, lit.beam.as_ref(), flux.to_mean(), [&mut room, &mut room_sun]);
            }
        }
        for (r, sum) in [&mut light.vertical, &mut light.horizontal].into_iter().enumerate() {
            let by_room = |b: &[Spectrum], of: &[Spectrum; COLUMNS]| of[r] + b[r] * of[RECEIVERS];
            let of_sun = by_room(&self.opening[0], &room_sun);
            sum.room = by_room(&self.opening[0], &room) + of_sun;
            light.of_sun[0][r] += of_sun;
            light.of_sun[1][r] += by_room(&self.opening[1], &clear_sun);
            light.clear[r] += by_room(&self.opening[1], &clear_room) + light.of_sun[1][r];
            let scale = sum
                .room
                .zip_map(&spread_share[r], |all, shared| if shared > 0.0 { all / shared } else { 0.0 });
            for ((piece, entered), straight) in light.pieces.iter_mut().zip(&entered).zip(&scattered_straight)
            {
                piece.received[r] += entered[r] * scale;
                let by_room = piece.ways.received_scattered[r] * scale;
                piece.ways.received_scattered[r] = by_room + straight[r];
            }
        }
        light.working_plane = self.plane.as_ref().map(|plane| Box::new(plane.at.light(outside)));
        light
    }

    pub(crate) fn beam(&self, outside: &Outside) -> Option<Beam> {
        let normal = outside.beam_normal();
        let sun = outside.sun().direction();
        let toward = RoomVector::toward_sky(sun.azimuth_deg - self.wall.facing_deg, sun.altitude_deg);
        (normal.max() > 0.0 && toward[2] < -1e-9).then(|| Beam { toward, normal, cosine: -toward[2] })
    }

    /// Share of the sun's disc seen through a piece from the place.
    fn sun_share(&self, piece: usize, toward: RoomVector) -> f64 {
        let walled = self.wall.around(piece);
        let eye = self.receivers[0].point_m;
        let eye = walled.map_or(eye, |walled| walled.before_glass(eye));
        let t = eye[2] / -toward[2];
        let at = WallPoint::new(eye[0] + t * toward[0], eye[1] + t * toward[1]);
        // On the wall, the disc is an ellipse no longer than this.
        let reach = 1.1 * t * disc_radius().tan() / -toward[2];
        let parts = if walled.is_some() { &self.pieces[piece].open } else { &self.wall.pieces[piece].light };
        let share: f64 = parts
            .iter()
            .filter(|l| near(l, at, reach))
            .map(|l| share_of_disc(eye, toward, &room_ring_from_wall(l)))
            .sum();
        let taken = match self.wall.lead_depth(piece) {
            Some(depth) if share > 0.0 => depth.disc_taken(eye, toward),
            _ => 0.0,
        };
        (share - taken).clamp(0.0, 1.0)
    }

    /// Light reflected by the room from the beam through a piece, for unit irradiance across the glass: the first
    /// reflection from the exact patches it lights, the later ones by samples.
    fn sun_in_room(&self, piece: usize, beam: &Beam) -> [Spectrum; COLUMNS] {
        let samples = &self.pieces[piece].samples;
        let shape = &self.wall.pieces[piece];
        let mut landed = [Spectrum::ZERO; COLUMNS];
        self.response.add_beam(samples, beam.toward, &mut landed);
        let patches: Vec<_> =
            shape.light.iter().flat_map(|l| sun_patches(&self.wall.room, l, beam.toward)).collect();
        for (r, receiver) in self.receivers.iter().enumerate() {
            let mut first = [0.0; 6];
            for patch in &patches {
                if !self.wall.room.lies_in(patch.surface, receiver.point_m) {
                    let f = form_factor_to_polygon(receiver.point_m, receiver.normal, &patch.polygon);
                    // Irradiance on the surface relative to that across the glass.
                    first[patch.surface.index()] += f * patch.cos_incidence / beam.cosine;
                }
            }
            for (factor, rho) in first.iter().zip(&self.surfaces) {
                landed[r].add_scaled(*factor, rho);
            }
        }
        let [past, _] = self.wall.past_leads(piece, beam.toward);
        landed.map(|light| light * past)
    }
}

/// Light on a pane and through it, independent of the place.
#[derive(Clone)]
pub(crate) struct OnPane {
    /// Sky and ground light passed regularly, exitance.
    pub(crate) passed_sky: Spectrum,
    /// Light passed and scattered evenly, exitance.
    pub(crate) scattered_sky: Spectrum,
    pub(crate) scattered_sun: Spectrum,
    /// The beam passed regularly, on a plane facing it.
    pub(crate) passed_sun: Spectrum,
    /// Light passed and scattered forward.
    pub(crate) lobe: Option<LobeOn>,
    /// Its exitance, by sky and ground and by the sun.
    pub(crate) forward: [Spectrum; 2],
}

impl OnPane {
    pub(crate) fn new(
        pane: &Pane,
        by_angle: &[Spectrum; NODES],
        beam: Option<&Beam>,
        lobes: &LobesNow<'_>,
    ) -> Self {
        let (mut passed_sky, mut scattered_sky) = (Spectrum::ZERO, Spectrum::ZERO);
        for (node, light) in by_angle.iter().enumerate() {
            add_product(&mut passed_sky, pane.optics.regular_node(node), light);
            if let Some(diffuse) = pane.optics.diffuse_node(node) {
                add_product(&mut scattered_sky, diffuse, light);
            }
        }
        let (passed_sun, mut scattered_sun) = beam.map_or((Spectrum::ZERO, Spectrum::ZERO), |b| {
            (pane.optics.regular(b.cosine) * b.normal, pane.optics.diffuse(b.cosine) * b.normal * b.cosine)
        });
        let positive = |s: Spectrum| s.map(|v| v.max(0.0));
        let mut scattered_sky = positive(scattered_sky);
        let all = [scattered_sky, scattered_sun];
        let lobe = lobes.on(pane, beam, [&mut scattered_sky, &mut scattered_sun]);
        let forward = [all[0] - scattered_sky, all[1] - scattered_sun];
        Self { passed_sky: positive(passed_sky), scattered_sky, scattered_sun, passed_sun, lobe, forward }
    }

    /// The same on a piece between leads with depth.
    fn behind(&self, depth: &LeadDepth, beam: Option<&Beam>) -> Self {
        let [one_side, both] = depth.evenly();
        let sun = beam.map_or(1.0, |beam| depth.one_side(beam.toward));
        Self {
            passed_sky: self.passed_sky * both,
            scattered_sky: self.scattered_sky * one_side,
            scattered_sun: self.scattered_sun * sun,
            forward: self.forward.map(|exitance| exitance * both),
            ..self.clone()
        }
    }
}

fn near(polygon: &[WallPoint], at: WallPoint, reach: f64) -> bool {
    bounds(polygon)
        .is_some_and(|[low, high]| (0..2).all(|k| at[k] >= low[k] - reach && at[k] <= high[k] + reach))
}
