//! The figures of an instant under another sky with the sun at the same place, in less time than the whole light.
//!
//! What comes straight through glass or, once, by way of the room is summed again over all directions. What the pieces
//! scatter follows the light of sky and ground on the wall, what the sun gives follows its beam: by wavelength, but
//! without looking at angles again.

use daylight::{Direction, Outside};
use spectra::{SAMPLES, Spectrum, luminous};

use super::levels::Levels;
use crate::instant::InstantLight;
use crate::prepared::{COLUMNS, Prepared, RECEIVERS};
use crate::sums::add_product;

/// Looks to either side of a direction, in altitude, that show how far an edge has moved within a cell.
const LOOKS: usize = 5;

/// How far the edges outside move from sky to sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Edges {
    /// Not at all.
    Stay,
    /// Those of what is seen, up to so many degrees in altitude.
    MoveBy(f64),
    /// Anywhere: shadows, too.
    Move,
}

impl Edges {
    /// Whether a cell so high about a direction, degrees, may have an edge in another sky.
    fn may_cross(self, prepared: &Prepared, world: Direction, step_deg: f64) -> bool {
        match self {
            Self::Stay => false,
            Self::Move => true,
            Self::MoveBy(most_deg) => {
                let edges = prepared.edges.altitudes_deg(world.azimuth_deg - prepared.wall.facing_deg);
                let reach = 0.5 * step_deg + most_deg;
                edges.iter().any(|edge| (edge - world.altitude_deg).abs() <= reach)
            }
        }
    }
}

/// A place at an instant, ready for other skies.
pub(super) struct Skies<'a> {
    prepared: &'a Prepared,
    light: &'a InstantLight,
    edges: Edges,
    base: Sums,
    beam: Spectrum,
    plane: Option<Box<Skies<'a>>>,
}

/// Sums over all directions.
struct Sums {
    /// Sky and ground, unscattered, at each receiver: as glazed, and with clear glass.
    regular: [[Spectrum; RECEIVERS]; 2],
    /// Of each piece, cd/m², without what it scatters.
    seen: Vec<f64>,
    /// Irradiance on the wall.
    on_wall: Spectrum,
    /// By direction of the room's cells: luminance.
    around: Vec<f64>,
}

impl Sums {
    fn of(prepared: &Prepared, outside: &Outside, edges: Edges) -> Self {
        let step = prepared.view_step_deg;
        let radiance = |world: Direction, step_deg: f64| {
            if !edges.may_cross(prepared, world, step_deg) {
                return outside.radiance(world);
            }
            let look = |k: usize| {
                let aside = ((k as f64 + 0.5) / LOOKS as f64 - 0.5) * step_deg;
                let altitude_deg = (world.altitude_deg + aside).clamp(-89.9, 89.9);
                outside.radiance(Direction { altitude_deg, ..world })
            };
            (0..LOOKS).map(look).sum::<Spectrum>() * (1.0 / LOOKS as f64)
        };
        let mut regular = [[Spectrum::ZERO; RECEIVERS]; 2];
        let mut rooms = [[Spectrum::ZERO; COLUMNS]; 2];
        let (mut on_wall, mut around) = (Spectrum::ZERO, Vec::with_capacity(prepared.room.len()));
        for row in &prepared.room {
            let light: Spectrum = row.world.iter().map(|&(d, share)| radiance(d, 2.0 * step) * share).sum();
            for (sums, rows) in rooms.iter_mut().zip([&row.rows, &row.clear]) {
                for (sum, row) in sums.iter_mut().zip(rows) {
                    add_product(sum, row, &light);
                }
            }
            on_wall.add_scaled(row.cell.projected_sr, &light);
            around.push(luminous(&light));
        }
        let view: Vec<Spectrum> = prepared.view.iter().map(|cell| radiance(cell.world, step)).collect();
        for (cell, light) in prepared.view.iter().zip(&view) {
            let through = cell.clear * *light;
            for (sum, form) in regular[1].iter_mut().zip(cell.form) {
                sum.add_scaled(form, &through);
            }
        }
        let seen = prepared.pieces.iter().map(|piece| {
            let (mut seen, mut solid_angle) = (Spectrum::ZERO, 0.0);
            let [vertical, horizontal] = &mut regular[0];
            for entry in &piece.entries {
                let (through, light) = (entry.through.samples(), view[entry.cell].samples());
                for i in 0..SAMPLES {
                    let passed = through[i] * light[i];
                    vertical[i] += entry.form[0] * passed;
                    horizontal[i] += entry.form[1] * passed;
                    seen[i] += entry.solid_angle * passed;
                }
                solid_angle += entry.solid_angle;
            }
            if solid_angle > 0.0 { luminous(&seen) / solid_angle } else { 0.0 }
        });
        let seen = seen.collect();
        for ((regular, room), opening) in regular.iter_mut().zip(rooms).zip(&prepared.opening) {
            for (r, regular) in regular.iter_mut().enumerate() {
                *regular += room[r] + opening[r] * room[RECEIVERS];
            }
        }
        Self { regular, seen, on_wall, around }
    }
}

impl<'a> Skies<'a> {
    /// `light` is that of `outside`. `edges`: how far the other skies have theirs elsewhere.
    pub(super) fn new(
        prepared: &'a Prepared,
        outside: &Outside,
        light: &'a InstantLight,
        edges: Edges,
    ) -> Self {
        let plane = prepared.plane.as_ref().zip(light.working_plane.as_deref());
        Self {
            prepared,
            light,
            edges,
            base: Sums::of(prepared, outside, edges),
            beam: outside.beam_normal(),
            plane: plane.map(|(plane, light)| Box::new(Self::new(&plane.at, outside, light, edges))),
        }
    }

    /// Luminances of the directions of the room's cells.
    pub(super) fn around(&self) -> &[f64] {
        &self.base.around
    }

    /// The figures under another sky.
    pub(super) fn at(&self, outside: &Outside) -> Levels {
        let beam = outside.beam_normal();
        let hidden_sun = self.beam.max() <= 0.0 && beam.max() > 0.0;
        if hidden_sun || self.prepared.walled.iter().any(Option::is_some) {
            // A sun that was hidden, or reveals that are lit anew.
            return Levels::of(self.prepared, &self.prepared.light(outside));
        }
        let sums = Sums::of(self.prepared, outside, self.edges);
        let front = self.plane.as_ref().map(|plane| Sums::of(plane.prepared, outside, plane.edges));
        self.levels([&sums, front.as_ref().unwrap_or(&sums)], &beam)
    }

    /// The figures as [`Self::at`] finds them under the sky that is there.
    pub(super) fn now(&self) -> Levels {
        if self.prepared.walled.iter().any(Option::is_some) {
            return Levels::of(self.prepared, self.light);
        }
        self.levels([&self.base, self.plane.as_ref().map_or(&self.base, |plane| &plane.base)], &self.beam)
    }

    /// `sums` of the eye and of the figure in front.
    fn levels(&self, [sums, of_front]: [&Sums; 2], beam: &Spectrum) -> Levels {
        let (eye, clear, pieces) = self.totals(sums, beam);
        match &self.plane {
            None => Levels::from_totals(&eye[0], eye, &clear[0], pieces),
            Some(plane) => {
                let (front, clear, _) = plane.totals(of_front, beam);
                let receiver = self.prepared.front().1;
                Levels::from_totals(&front[receiver], eye, &clear[receiver], pieces)
            }
        }
    }

    /// Light at both receivers, the same with clear glass, luminances of the pieces.
    fn totals(
        &self,
        sums: &Sums,
        beam: &Spectrum,
    ) -> ([Spectrum; RECEIVERS], [Spectrum; RECEIVERS], Vec<f64>) {
        let Self { light, base, .. } = self;
        let over = |then: &Spectrum, now: &Spectrum| {
            then.zip_map(now, |then, now| if now > 0.0 { then / now } else { 0.0 })
        };
        let (sun, sky) = (over(beam, &self.beam), over(&sums.on_wall, &base.on_wall));
        let total = |r: usize, k: usize, all: Spectrum| {
            let of_sun = light.of_sun[k][r];
            let scattered = all - of_sun - base.regular[k][r];
            sums.regular[k][r] + scattered * sky + of_sun * sun
        };
        let glows = |p: usize| {
            let [of_sky, of_sun] = light.pieces[p].ways.scattered;
            luminous(&(of_sky * sky + of_sun * sun)) * std::f64::consts::FRAC_1_PI
        };
        let seen = |(p, seen): (usize, &f64)| {
            if light.pieces[p].radiance.is_some() { (seen + glows(p)).max(0.0) } else { 0.0 }
        };
        (
            std::array::from_fn(|r| total(r, 0, light.on(r).total())),
            std::array::from_fn(|r| total(r, 1, light.clear[r])),
            sums.seen.iter().enumerate().map(seen).collect(),
        )
    }
}
