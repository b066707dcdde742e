//! The inner reveal as a surface: how it passes light on among its sides and into the room.

use plane::{RoomPoint, RoomVector};

use crate::exchange::{Exchange, add_factors, factors_to_end};
use crate::light::{Light, weighted_sum};
use crate::opening::Opening;
use crate::tube::{Face, Patch, Tube};

/// What the patches of an inner reveal exchange with one another, the glass and the room.
#[derive(Clone, Debug)]
pub struct InnerSides {
    patches: Vec<Patch>,
    exchange: Exchange,
    /// Share of what each patch sends that reaches the glass, and that enters the room.
    to_glass: Vec<f64>,
    to_room: Vec<f64>,
    leaving: Vec<Vec<Leaving>>,
    glass_m2: f64,
    face_m2: f64,
}

/// A ray that carries light of a patch into the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaving {
    /// Where it passes the inner wall face.
    pub from: RoomPoint,
    /// Unit vector, into the room.
    pub along: RoomVector,
    /// Share of the flux that the patch sends.
    pub share: f64,
}

/// Sweeps over the light that comes back out of the opening: enough for white sides two widths deep.
const RETURNING: usize = 40;
/// Directions from each facet, in steps of equal flux: by their distance from the normal, and around it.
const RAYS: [usize; 2] = [4, 8];

impl Opening {
    /// The inner reveal as a surface that exchanges light. Costs the form factors among all patches.
    pub fn inner_sides(&self) -> InnerSides {
        InnerSides::new(&self.inner)
    }
}

impl InnerSides {
    pub(crate) fn new(tube: &Tube) -> Self {
        let n = tube.patches.len();
        let mut factors = vec![0.0; n * n];
        add_factors(tube, &mut factors, n);
        let to_room = factors_to_end(tube, &tube.near);
        let area = |ring: &[RoomPoint]| {
            let ring: Vec<_> = ring.iter().map(|p| plane::WallPoint::new(p[0], p[1])).collect();
            plane::signed_area(&ring)
        };
        Self {
            patches: tube.patches.clone(),
            exchange: Exchange::new(factors, n),
            to_glass: factors_to_end(tube, &tube.far),
            leaving: leaving(tube),
            to_room,
            glass_m2: area(&tube.far),
            face_m2: area(&tube.near),
        }
    }

    /// Number of patches.
    pub fn len(&self) -> usize {
        self.patches.len()
    }

    /// Whether there is no inner reveal.
    pub fn is_empty(&self) -> bool {
        self.patches.is_empty()
    }

    /// Area of a patch, m².
    pub fn area_m2(&self, patch: usize) -> f64 {
        self.patches[patch].area_m2
    }

    /// What a patch belongs to.
    pub fn face(&self, patch: usize) -> Face {
        self.patches[patch].face
    }

    /// The light of a patch that enters the room, in rays that together carry as much of what it sends.
    pub fn leaving(&self, patch: usize) -> &[Leaving] {
        &self.leaving[patch]
    }

    /// What each patch sends per area, all reflections among them included, from what each receives. Linear in it.
    pub fn exitance<V: Light>(&self, received: &[V], reflectance: impl Fn(Face) -> V) -> Vec<V> {
        self.exchange.exitance(received, |i| reflectance(self.patches[i].face))
    }

    /// The response of any receiver to flux that *lands* on each patch, from its response to flux that each patch *sends*
    /// (directly and by way of the room). The adjoint of [`Self::exitance`].
    pub fn response<V: Light>(&self, to_sent: &[V], reflectance: impl Fn(Face) -> V) -> Vec<V> {
        // h_i = ρ_i (b_i + Σ F_ij h_j): the same sums, as F_ij is both the form factor of j from i and the share of i's flux
        // that reaches j.
        self.exitance(to_sent, reflectance)
    }

    /// Share of even, diffuse light that enters the opening from the room and comes back out of it, with the reflectance of
    /// the sides and of the glass.
    pub fn returned<V: Light>(&self, reflectance: impl Fn(Face) -> V, glass: V) -> V {
        let from_glass: Vec<f64> =
            self.patches.iter().zip(&self.to_glass).map(|(p, f)| f * p.area_m2 / self.glass_m2).collect();
        let straight = (1.0 - from_glass.iter().sum::<f64>()).clamp(0.0, 1.0);
        // Shares that leave of flux landing on each patch and on the glass.
        let rho: Vec<V> = self.patches.iter().map(|p| reflectance(p.face)).collect();
        let mut out: Vec<V> = rho.iter().zip(&self.to_room).map(|(&r, &f)| r * f).collect();
        let mut out_of_glass = glass * straight;
        for _ in 0..RETURNING {
            for i in 0..self.len() {
                let mut sent = self.exchange.gathered(i, &out);
                sent += out_of_glass * self.to_glass[i];
                let mut share = rho[i] * self.to_room[i];
                share += rho[i] * sent;
                out[i] = share;
            }
            let mut share = glass * straight;
            share += glass * weighted_sum(out.iter().copied().zip(from_glass.iter().copied()));
            out_of_glass = share;
        }
        // Of the light that enters, by reciprocity.
        let entering = self.patches.iter().zip(&self.to_room).map(|(p, f)| f * p.area_m2 / self.face_m2);
        let mut sum = weighted_sum(out.iter().copied().zip(entering));
        sum += out_of_glass * (straight * self.glass_m2 / self.face_m2);
        sum
    }
}

/// The light of each patch that enters the room, in rays.
pub(crate) fn leaving(tube: &Tube) -> Vec<Vec<Leaving>> {
    let to_room = factors_to_end(tube, &tube.near);
    let mut leaving = vec![Vec::new(); tube.patches.len()];
    for (number, (facet, &patch)) in tube.facets.iter().zip(&tube.patch_of).enumerate() {
        for along in around(facet.normal, number) {
            let t = (tube.near[0][2] - facet.middle[2]) / along[2];
            if along[2] > 1e-9 && tube.hit(facet.middle, along).is_none() {
                leaving[patch].push(Leaving { from: facet.middle + along * t, along, share: facet.area_m2 });
            }
        }
    }
    for (rays, share) in leaving.iter_mut().zip(&to_room) {
        let sum: f64 = rays.iter().map(|r| r.share).sum();
        for ray in rays {
            ray.share *= share / sum;
        }
    }
    leaving
}

/// Directions of equal flux about a normal, turned from one facet to the next.
fn around(normal: RoomVector, number: usize) -> impl Iterator<Item = RoomVector> {
    const GOLDEN: f64 = 0.618_033_988_749_895;
    let aside =
        if normal[2].abs() < 0.9 { RoomVector::new(0.0, 0.0, 1.0) } else { RoomVector::new(1.0, 0.0, 0.0) };
    let a = normal.cross(aside).unit();
    let b = normal.cross(a);
    let turn = (number as f64 * GOLDEN).fract();
    (0..RAYS[0] * RAYS[1]).map(move |k| {
        let (i, j) = (k / RAYS[1], k % RAYS[1]);
        let sine = ((i as f64 + 0.5) / RAYS[0] as f64).sqrt();
        let angle = std::f64::consts::TAU * (j as f64 + (turn + 0.5 * i as f64).fract()) / RAYS[1] as f64;
        normal * (1.0 - sine * sine).sqrt() + a * (sine * angle.cos()) + b * (sine * angle.sin())
    })
}
