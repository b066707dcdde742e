//! How the light that a room gives back depends on each of its six surfaces, to first order: one brightness for each
//! whole surface, lit first by what lands on it through the window. Good enough for a standard deviation, not for a
//! figure.

use plane::RoomPoint;
use spectra::luminous;

use crate::beam::Beam;
use crate::box_room::{BoxRoom, Surface};
use crate::contour::form_factor_to_polygon;
use crate::form_factor::{Rectangle, parallel_exchange, perpendicular_exchange};
use crate::instant::InstantLight;
use crate::prepared::Prepared;
use crate::room_response::Receiver;

/// Pieces through which light is followed to where it lands.
const PIECES_FOLLOWED: usize = 16;

/// The exchange between the surfaces of a room, and the light that lands on each.
pub(super) struct Exchange<'a> {
    room: &'a BoxRoom,
    factors: [[f64; 6]; 6],
    /// Light on each surface, lm/m², before any reflection.
    first: [f64; 6],
}

impl<'a> Exchange<'a> {
    /// `around`: luminances of the directions of the room's cells.
    pub(super) fn new(
        prepared: &'a Prepared,
        light: &InstantLight,
        around: &[f64],
        beam: Option<&Beam>,
    ) -> Self {
        let room = &prepared.wall.room;
        let flux = landed(prepared, light, around, beam);
        let first = std::array::from_fn(|s| {
            let [u, v] = Surface::ALL[s].in_plane_axes();
            flux[s] / (room.size_m[u] * room.size_m[v])
        });
        Self { room, factors: form_factors(room), first }
    }

    /// Relative change of the room's light at a receiver over that of the reflectance of each surface, in the order of
    /// [`Surface::ALL`], with these reflectances.
    pub(super) fn elasticities(&self, rho: &[f64; 6], receiver: &Receiver) -> [f64; 6] {
        const STEP: f64 = 0.01;
        let seen: [f64; 6] = std::array::from_fn(|s| {
            if self.room.lies_in(Surface::ALL[s], receiver.point_m) {
                return 0.0;
            }
            form_factor_to_polygon(receiver.point_m, receiver.normal, &corners(self.room, Surface::ALL[s]))
        });
        let light = |rho: &[f64; 6]| {
            let out = exitances(&self.factors, &self.first, rho);
            (0..6).map(|s| seen[s] * out[s]).sum::<f64>()
        };
        let now = light(rho);
        std::array::from_fn(|s| {
            if now <= 0.0 {
                return 0.0;
            }
            let mut more = *rho;
            more[s] *= 1.0 + STEP;
            (light(&more) / now).ln() / STEP
        })
    }
}

/// Light that lands on each surface through the window, lm, in proportion.
fn landed(prepared: &Prepared, light: &InstantLight, around: &[f64], beam: Option<&Beam>) -> [f64; 6] {
    let room = &prepared.wall.room;
    let pane = |p: usize| &prepared.glazing.panes[prepared.glazing.of_piece[p]];
    let (mut all, mut even) = ([0.0; 6], [0.0; 6]);
    let step = prepared.pieces.len().div_ceil(PIECES_FOLLOWED).max(1);
    for (p, piece) in prepared.pieces.iter().enumerate().step_by(step) {
        let Some(sample) = piece.samples.get(piece.samples.len() / 2) else { continue };
        let regular = luminous(&pane(p).optics.regular(0.6));
        for (row, luminance) in prepared.room.iter().zip(around) {
            let Some((surface, _)) = room.hit(sample.point_m, -row.cell.direction) else { continue };
            let weight = row.cell.projected_sr * prepared.wall.pieces[p].area_m2;
            all[surface.index()] += weight * luminance * regular;
            even[surface.index()] += weight;
        }
    }
    let white = luminous(&spectra::Spectrum::ONE);
    let followed: f64 = prepared.wall.pieces.iter().step_by(step).map(|p| p.area_m2).sum();
    let whole: f64 = prepared.wall.pieces.iter().map(|p| p.area_m2).sum();
    let scale = if followed > 0.0 { whole / followed } else { 0.0 };
    all.iter_mut().for_each(|flux| *flux *= scale / white);
    let mut glows = 0.0;
    for (p, (piece, ways)) in prepared.pieces.iter().zip(light.pieces.iter().map(|p| &p.ways)).enumerate() {
        glows += luminous(&ways.emitted) * prepared.wall.pieces[p].area_m2;
        let Some(beam) = beam else { continue };
        let passed = luminous(&(pane(p).optics.regular(beam.cosine) * beam.normal)) * beam.cosine;
        for sample in &piece.samples {
            if let Some((surface, _)) = room.hit(sample.point_m, -beam.toward) {
                all[surface.index()] += passed * sample.area_m2;
            }
        }
    }
    let sum: f64 = even.iter().sum();
    std::array::from_fn(|s| all[s] + if sum > 0.0 { glows * even[s] / sum } else { 0.0 })
}

/// Exitance of each surface in the light that lands on them.
fn exitances(factors: &[[f64; 6]; 6], first: &[f64; 6], rho: &[f64; 6]) -> [f64; 6] {
    let mut out = [0.0; 6];
    for _ in 0..60 {
        out = std::array::from_fn(|s| {
            rho[s] * (first[s] + (0..6).map(|t| factors[s][t] * out[t]).sum::<f64>())
        });
    }
    out
}

/// Form factor from each surface to each other.
fn form_factors(room: &BoxRoom) -> [[f64; 6]; 6] {
    std::array::from_fn(|a| {
        std::array::from_fn(|b| {
            let (from, to) = (Surface::ALL[a], Surface::ALL[b]);
            if a == b {
                return 0.0;
            }
            let size = |axis: usize| room.size_m[axis];
            let [u, v] = from.in_plane_axes();
            let area = size(u) * size(v);
            let exchange = if from.axis() == to.axis() {
                let face = Rectangle { u: [0.0, size(u)], v: [0.0, size(v)] };
                parallel_exchange(face, face, size(from.axis()))
            } else {
                // The common edge runs along the third axis.
                let along = 3 - from.axis() - to.axis();
                let face = |depth: usize| Rectangle { u: [0.0, size(depth)], v: [0.0, size(along)] };
                perpendicular_exchange(face(to.axis()), face(from.axis()))
            };
            exchange / area
        })
    })
}

fn corners(room: &BoxRoom, surface: Surface) -> Vec<RoomPoint> {
    let [a, b] = surface.in_plane_axes().map(|axis| room.size_m[axis]);
    [[0.0, 0.0], [a, 0.0], [a, b], [0.0, b]].map(|[u, v]| room.point_on(surface, u, v)).to_vec()
}

#[cfg(test)]
mod tests {
    use plane::RoomPoint;

    use super::*;

    // Every surface sees the whole room; in a white furnace all light is back: 1/(1 − ρ) of the first light, so that
    // a change of all six together by 1 % changes what is reflected by 1 % / (1 − ρ).
    #[test]
    fn every_surface_sees_the_whole_room_and_a_grey_room_answers_as_a_sphere() {
        let room = BoxRoom { size_m: [5.0, 4.0, 8.0] };
        let factors = form_factors(&room);
        for row in factors {
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{row:?}");
        }
        let receiver = Receiver::horizontal(RoomPoint::new(2.5, 1.0, 4.0));
        let exchange = Exchange { room: &room, factors, first: [1.0; 6] };
        let found = exchange.elasticities(&[0.5; 6], &receiver);
        let all: f64 = found.iter().sum();
        assert!((all - 2.0).abs() < 0.02, "{all}");
        // Of a surface pointing up, the floor behind it counts only at second hand.
        assert!(found[Surface::Ceiling.index()] > found[Surface::Floor.index()]);
        // What is lit first counts most.
        let mut first = [0.0; 6];
        first[Surface::LeftWall.index()] = 1.0;
        let lit = Exchange { room: &room, factors, first }.elasticities(&[0.5; 6], &receiver);
        let left = Surface::LeftWall.index();
        assert!(lit[left] >= 1.0 && lit[left] > 2.0 * lit[Surface::RightWall.index()], "{lit:?}");
    }
}
