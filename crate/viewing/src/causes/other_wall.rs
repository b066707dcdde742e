//! The figures of an instant behind walls that differ a little, in less time than preparing the place again.
//!
//! What comes straight through glass, and regularly by way of the room, is summed again by direction and patch of stone, and
//! by the part of each piece in the sun. What the pieces scatter follows the light on each.

use std::f64::consts::FRAC_1_PI;

use daylight::Outside;
use plane::signed_area;
use reveal::Layer;
use spectra::{Spectrum, luminous};

use super::levels::Levels;
use crate::beam::Beam;
use crate::deeper::Deeper;
use crate::glazing::Pane;
use crate::instant::InstantLight;
use crate::prepared::{COLUMNS, Prepared, RECEIVERS, ViewCell};
use crate::sums::add_product;
use crate::walled::passing;
use crate::walled_light::WalledLight;

/// Cosine of incidence at which panes are compared.
const SLANT: f64 = 0.6;

/// A place at an instant, ready for other walls.
pub(super) struct Walls<'a> {
    pub prepared: &'a Prepared,
    pub light: &'a InstantLight,
    /// By window, as in [`Prepared::walled`].
    pub lit: Vec<Option<WalledLight<'a>>>,
    /// Radiance of each of the room's directions.
    pub around: Vec<Spectrum>,
    pub beam: Option<Beam>,
    /// What the sun gives through each piece behind a wall that can change its share.
    landed: Vec<Option<Landed>>,
    view: Vec<Spectrum>,
    /// By window and direction: its share of what all windows pass from there.
    shares: Vec<Vec<f64>>,
    plane: Option<Box<Walls<'a>>>,
}

/// How the light of one window would differ.
#[derive(Default)]
pub(super) struct Change<'a> {
    /// Radiance where the glass sees a direction, by the room's directions, before bars and mesh; empty for none.
    pub open: Vec<Spectrum>,
    /// Exitance of each patch outside.
    pub patches: Vec<Spectrum>,
    /// The bars and mesh instead of those that are there.
    pub guards: Option<Vec<Layer>>,
    /// The wall instead, and the radiance of its outer edge.
    pub deeper: Option<(&'a Deeper, Spectrum)>,
}

/// What becomes of the sun.
struct Sun {
    /// Relative change of its light on each piece.
    on: Vec<f64>,
    /// The same of its disc, as seen from the place.
    disc: Vec<f64>,
    /// Change of its regular light by way of the room: as glazed, and with clear glass.
    room: [[Spectrum; COLUMNS]; 2],
}

/// What the sun gives to the room through a piece for unit irradiance across the glass, and the share of the piece in it.
type Landed = ([Spectrum; COLUMNS], f64);

impl<'a> Walls<'a> {
    /// `light` is that of `outside`.
    pub(super) fn new(prepared: &'a Prepared, outside: &Outside, light: &'a InstantLight) -> Self {
        let radiance = |row: &crate::prepared::RoomCell| {
            row.world.iter().map(|&(d, share)| outside.radiance(d) * share).sum::<Spectrum>()
        };
        let around: Vec<Spectrum> = prepared.room.iter().map(radiance).collect();
        let beam = prepared.beam(outside);
        let lit = prepared.walled_light(&around, beam.as_ref());
        let view = prepared.view_radiance(outside, &lit);
        let mean: Spectrum = around.iter().copied().sum();
        let through = |pane: &Pane| {
            let through = (pane.optics.regular(SLANT) + pane.optics.diffuse(SLANT)) * mean;
            luminous(&through) / luminous(&mean).max(1e-300)
        };
        let panes: Vec<f64> = prepared.glazing.panes.iter().map(through).collect();
        let landed = |p: usize| {
            let lit = lit[prepared.wall.pieces[p].window].as_ref()?;
            let walled = &lit.rows.walled;
            let changes = !walled.wall.guards.is_empty() || walled.deeper().is_some();
            (changes && lit.beam.is_some()).then(|| prepared.walled_sun(p, lit))
        };
        let landed = (0..prepared.pieces.len()).map(landed).collect();
        let plane = prepared.plane.as_ref().zip(light.working_plane.as_deref());
        Self {
            shares: shares(prepared, &panes),
            landed,
            beam,
            plane: plane.map(|(plane, light)| Box::new(Self::new(&plane.at, outside, light))),
            prepared,
            light,
            lit,
            around,
            view,
        }
    }

    /// The place of the figure in front, if it is not the eye.
    pub(super) fn plane(&self) -> Option<&Self> {
        self.plane.as_deref()
    }

    /// The figures with these changes, one for each window; `room` adds to the light by way of the room, relative to it: at
    /// the eye and at the figure in front, by receiver, as glazed and with clear glass.
    pub(super) fn behind(&self, changes: &[Option<Change<'_>>], room: [[[f64; RECEIVERS]; 2]; 2]) -> Levels {
        let (eye, clear, pieces) = self.totals(changes, room[0]);
        match &self.plane {
            None => Levels::from_totals(&eye[0], eye, &clear[0], pieces),
            Some(plane) => {
                let (front, clear, _) = plane.totals(changes, room[1]);
                let receiver = self.prepared.front().1;
                Levels::from_totals(&front[receiver], eye, &clear[receiver], pieces)
            }
        }
    }

    /// Light at both receivers, the same with clear glass, luminances of the pieces.
    fn totals(
        &self,
        changes: &[Option<Change<'_>>],
        room: [[f64; RECEIVERS]; 2],
    ) -> ([Spectrum; RECEIVERS], [Spectrum; RECEIVERS], Vec<f64>) {
        let Self { prepared, light, .. } = self;
        let mut totals = [std::array::from_fn(|r| light.on(r).total()), light.clear];
        self.add_by_room(changes, &mut totals);
        let sun = self.sun(changes);
        let levels = self.levels(changes);
        let hidden = self.hidden(changes);
        let mut pieces = Vec::with_capacity(prepared.pieces.len());
        for (p, (piece, now)) in prepared.pieces.iter().zip(&light.pieces).enumerate() {
            let (mut seen, mut solid_angle) = (Spectrum::ZERO, 0.0);
            for entry in &piece.entries {
                solid_angle += entry.solid_angle;
                let cell = &prepared.view[entry.cell];
                let Some(change) = self.seen(cell, &self.view[entry.cell], changes, hidden[p]) else {
                    continue;
                };
                let through = [entry.through * change, cell.clear * change];
                for (totals, through) in totals.iter_mut().zip(&through) {
                    for (total, form) in totals.iter_mut().zip(entry.form) {
                        total.add_scaled(form, through);
                    }
                }
                seen.add_scaled(entry.solid_angle, &through[0]);
            }
            let [of_sky, of_sun] = now.ways.scattered;
            let scattered = luminous(&of_sky) + luminous(&of_sun);
            let share_of_sky = if scattered > 0.0 { luminous(&of_sky) / scattered } else { 1.0 };
            let change = share_of_sky * levels[p] + (1.0 - share_of_sky) * sun.on[p];
            for (total, scattered) in totals[0].iter_mut().zip(&now.ways.received_scattered) {
                total.add_scaled(change, scattered);
            }
            let change = if solid_angle > 0.0 { luminous(&seen) / solid_angle } else { 0.0 }
                + FRAC_1_PI * (luminous(&of_sky) * levels[p] + luminous(&of_sun) * sun.on[p]);
            pieces.push(now.radiance.map_or(0.0, |radiance| (luminous(&radiance) + change).max(0.0)));
        }
        self.add_sun(&sun, &mut totals);
        for r in 0..RECEIVERS {
            totals[0][r] += light.on(r).room * room[0][r];
            totals[1][r] += light.clear[r] * room[1][r];
        }
        let positive = |all: [Spectrum; RECEIVERS]| all.map(|light| light.map(|light| light.max(0.0)));
        let [glazed, clear] = totals.map(positive);
        (glazed, clear, pieces)
    }

    /// What comes regularly by way of the room.
    fn add_by_room(&self, changes: &[Option<Change<'_>>], totals: &mut [[Spectrum; RECEIVERS]; 2]) {
        let prepared = self.prepared;
        let mut rooms = [[Spectrum::ZERO; COLUMNS]; 2];
        for (number, row) in prepared.room.iter().enumerate() {
            let mut light = Spectrum::ZERO;
            for (change, shares) in changes.iter().zip(&self.shares) {
                if let Some(open) = change.as_ref().and_then(|change| change.open.get(number)) {
                    light.add_scaled(shares[number], open);
                }
            }
            for (sums, rows) in rooms.iter_mut().zip([&row.rows, &row.clear]) {
                for (sum, row) in sums.iter_mut().zip(rows) {
                    add_product(sum, row, &light);
                }
            }
        }
        for (change, rows) in changes.iter().zip(&prepared.walled) {
            let (Some(change), Some(rows)) = (change, rows) else { continue };
            for (light, rows) in change.patches.iter().zip(&rows.rows) {
                for (sums, rows) in rooms.iter_mut().zip(rows) {
                    for (sum, row) in sums.iter_mut().zip(rows) {
                        add_product(sum, row, light);
                    }
                }
            }
        }
        self.add_room(&rooms, totals);
    }

    /// Change of what is seen in a cell of the view through a piece, of whose view outside a share is newly hidden.
    fn seen(
        &self,
        cell: &ViewCell,
        now: &Spectrum,
        changes: &[Option<Change<'_>>],
        hidden: f64,
    ) -> Option<Spectrum> {
        let (window, patch) = cell.behind?;
        let (change, lit) = (changes[window].as_ref()?, self.lit[window].as_ref()?);
        let walled = &lit.rows.walled;
        if let Some(patch) = patch {
            return Some(change.patches[patch] * (FRAC_1_PI * walled.openness_to(patch, cell.direction)));
        }
        if let Some(guards) = &change.guards {
            let openness = walled.openness(cell.direction);
            let then = passing(guards, cell.direction);
            return Some(if openness > 0.0 { *now * (then / openness - 1.0) } else { Spectrum::ZERO });
        }
        let (_, edge) = change.deeper?;
        (hidden > 0.0).then(|| (edge - *now) * hidden)
    }

    /// Relative change of the light of sky, ground and stone on each piece.
    fn levels(&self, changes: &[Option<Change<'_>>]) -> Vec<f64> {
        let prepared = self.prepared;
        let mut levels = vec![0.0; prepared.pieces.len()];
        for (window, (change, lit)) in changes.iter().zip(&self.lit).enumerate() {
            let (Some(change), Some(lit)) = (change, lit) else { continue };
            let across = |(number, light): (usize, &Spectrum)| {
                luminous(light) * prepared.room[number].cell.projected_sr * lit.rows.walled.openness[number]
            };
            let open: Vec<f64> = change.open.iter().enumerate().map(across).collect();
            let patches: Vec<f64> = change.patches.iter().map(luminous).collect();
            for (p, level) in levels.iter_mut().enumerate() {
                let of = prepared.pieces[p].levels.as_deref();
                let (Some(of), true) = (of, prepared.wall.pieces[p].window == window) else { continue };
                let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
                if lit.levels[p] > 0.0 {
                    *level = (dot(&of.open, &open) + dot(&of.patches, &patches)) / lit.levels[p];
                }
            }
        }
        levels
    }

    /// Share of the view outside through each piece that a deeper wall hides from the place.
    fn hidden(&self, changes: &[Option<Change<'_>>]) -> Vec<f64> {
        let prepared = self.prepared;
        let mut hidden = vec![0.0; prepared.pieces.len()];
        for (window, (change, lit)) in changes.iter().zip(&self.lit).enumerate() {
            let (Some(Change { deeper: Some((deeper, _)), .. }), Some(lit)) = (change, lit) else { continue };
            let eye = lit.rows.walled.before_glass(prepared.receivers[0].point_m);
            let Ok(view) = deeper.opening.from_eye(eye) else { continue };
            for (p, hidden) in hidden.iter_mut().enumerate() {
                if prepared.wall.pieces[p].window != window {
                    continue;
                }
                let piece = &prepared.pieces[p];
                let area = |rings: &[Vec<plane::WallPoint>]| {
                    rings.iter().map(|ring| signed_area(ring).abs()).sum::<f64>()
                };
                let then: f64 = piece.open.iter().map(|ring| area(&view.open(ring))).sum();
                let now = area(&piece.open);
                *hidden = if now > 0.0 { (1.0 - then / now).clamp(0.0, 1.0) } else { 0.0 };
            }
        }
        hidden
    }

    /// What becomes of the sun.
    fn sun(&self, changes: &[Option<Change<'_>>]) -> Sun {
        let prepared = self.prepared;
        let pieces = prepared.pieces.len();
        let mut sun =
            Sun { on: vec![0.0; pieces], disc: vec![0.0; pieces], room: [[Spectrum::ZERO; COLUMNS]; 2] };
        for (window, (change, lit)) in changes.iter().zip(&self.lit).enumerate() {
            let (Some(change), Some(lit)) = (change, lit) else { continue };
            let Some(beam) = &lit.beam else { continue };
            let on = change.deeper.and_then(|(deeper, _)| deeper.opening.beam(beam.toward));
            let by_guards = change.guards.as_ref().map_or(0.0, |guards| {
                let openness = lit.openness_to_sun();
                if openness > 0.0 { passing(guards, beam.toward) / openness - 1.0 } else { 0.0 }
            });
            for (p, landed) in self.landed.iter().enumerate() {
                let (Some((landed, in_sun)), true) = (landed, prepared.wall.pieces[p].window == window)
                else {
                    continue;
                };
                let landed = match &on {
                    Some(on) if *in_sun > 0.0 => {
                        let (then, still) = prepared.walled_sun_on(p, lit.rows, beam, on);
                        sun.on[p] = still / in_sun - 1.0;
                        std::array::from_fn(|c| then[c] - landed[c])
                    }
                    _ => {
                        (sun.on[p], sun.disc[p]) = (by_guards, by_guards);
                        landed.map(|landed| landed * by_guards)
                    }
                };
                for (sums, passed) in
                    sun.room.iter_mut().zip(self.passed(p, beam).map(|passed| passed * beam.cosine))
                {
                    for (sum, landed) in sums.iter_mut().zip(&landed) {
                        add_product(sum, landed, &passed);
                    }
                }
            }
        }
        sun
    }

    /// The beam behind a piece, on a plane that faces it: through its pane, and through clear glass.
    fn passed(&self, piece: usize, beam: &Beam) -> [Spectrum; 2] {
        let prepared = self.prepared;
        [&prepared.glazing.panes[prepared.glazing.of_piece[piece]], &prepared.clear]
            .map(|pane| pane.optics.regular(beam.cosine) * beam.normal)
    }

    /// Adds the sun's own light: straight, and by way of the room.
    fn add_sun(&self, sun: &Sun, totals: &mut [[Spectrum; RECEIVERS]; 2]) {
        let prepared = self.prepared;
        for (p, piece) in self.light.pieces.iter().enumerate() {
            let lit = self.lit.get(prepared.wall.pieces[p].window).and_then(Option::as_ref);
            let change = piece.sun_share * sun.disc[p];
            let (Some(beam), true) = (lit.and_then(|lit| lit.beam.as_ref()), change != 0.0) else { continue };
            for (totals, passed) in totals.iter_mut().zip(self.passed(p, beam)) {
                for (total, receiver) in totals.iter_mut().zip(&prepared.receivers) {
                    total.add_scaled(change * receiver.normal.dot(beam.toward).max(0.0), &passed);
                }
            }
        }
        self.add_room(&sun.room, totals);
    }

    /// Adds what comes by way of the room.
    fn add_room(&self, room: &[[Spectrum; COLUMNS]; 2], totals: &mut [[Spectrum; RECEIVERS]; 2]) {
        for ((totals, room), opening) in totals.iter_mut().zip(room).zip(&self.prepared.opening) {
            for (r, total) in totals.iter_mut().enumerate() {
                *total += room[r] + opening[r] * room[RECEIVERS];
            }
        }
    }
}

/// By window and direction: how much of what all windows pass from there passes it.
fn shares(prepared: &Prepared, panes: &[f64]) -> Vec<Vec<f64>> {
    let directions = prepared.room.len();
    let mut shares = vec![vec![0.0; directions]; prepared.walled.len()];
    let mut all = vec![0.0; directions];
    for (p, (shape, piece)) in prepared.wall.pieces.iter().zip(&prepared.pieces).enumerate() {
        let through = shape.area_m2 * panes[prepared.glazing.of_piece[p]];
        let openness = prepared.walled[shape.window].as_ref().map(|rows| &rows.walled.openness);
        for number in 0..directions {
            let open = match (piece.levels.as_deref(), openness) {
                (Some(levels), Some(openness)) => levels.open[number] * openness[number],
                _ => 1.0,
            };
            shares[shape.window][number] += through * open;
            all[number] += through * open;
        }
    }
    for shares in &mut shares {
        for (share, all) in shares.iter_mut().zip(&all) {
            *share = if *all > 0.0 { *share / all } else { 0.0 };
        }
    }
    shares
}
