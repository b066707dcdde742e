//! How the light that a room gives back depends on each of its six surfaces, to first order: one brightness for each
//! whole surface, lit first by the window wall. Good enough for a standard deviation, not for a figure.

use plane::RoomPoint;
use spectra::luminous;

use crate::box_room::{BoxRoom, Surface};
use crate::contour::form_factor_to_polygon;
use crate::form_factor::{Rectangle, parallel_exchange, perpendicular_exchange};
use crate::room_response::{Receiver, Reflectances};

/// Relative change of the room's light at a receiver over that of the reflectance of each surface, in the order of
/// [`Surface::ALL`].
pub(super) fn elasticities(room: &BoxRoom, surfaces: &Reflectances, receiver: &Receiver) -> [f64; 6] {
    const STEP: f64 = 0.01;
    let white = luminous(&spectra::Spectrum::ONE);
    let rho: [f64; 6] = std::array::from_fn(|s| (luminous(&surfaces[s]) / white).clamp(0.0, 0.98));
    let factors = form_factors(room);
    let seen: [f64; 6] = std::array::from_fn(|s| {
        form_factor_to_polygon(receiver.point_m, receiver.normal, &corners(room, Surface::ALL[s]))
    });
    let light = |rho: &[f64; 6]| {
        let out = exitances(&factors, rho);
        (0..6).map(|s| seen[s] * out[s]).sum::<f64>()
    };
    let now = light(&rho);
    std::array::from_fn(|s| {
        if now <= 0.0 {
            return 0.0;
        }
        let mut more = rho;
        more[s] *= 1.0 + STEP;
        (light(&more) / now).ln() / STEP
    })
}

/// Exitance of each surface when the window wall gives off one unit; that unit itself is left out.
fn exitances(factors: &[[f64; 6]; 6], rho: &[f64; 6]) -> [f64; 6] {
    let first = factors.map(|to| to[Surface::WindowWall.index()]);
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
    use spectra::Spectrum;

    use super::*;

    // Every surface sees the whole room; in a white furnace all light is back: 1/(1 − ρ) of the first light, so that
    // a change of all six together by 1 % changes what is reflected by 1 % / (1 − ρ).
    #[test]
    fn every_surface_sees_the_whole_room_and_a_grey_room_answers_as_a_sphere() {
        let room = BoxRoom { size_m: [5.0, 4.0, 8.0] };
        for row in form_factors(&room) {
            assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{row:?}");
        }
        let receiver = Receiver::horizontal(RoomPoint::new(2.5, 1.0, 4.0));
        let surfaces = [Spectrum::splat(0.5); 6];
        let found = elasticities(&room, &surfaces, &receiver);
        let all: f64 = found.iter().sum();
        assert!((1.4..2.4).contains(&all), "{all}");
        // Of a surface pointing up, the floor behind it counts only at second hand.
        assert!(found[Surface::Ceiling.index()] > found[Surface::Floor.index()]);
    }
}
