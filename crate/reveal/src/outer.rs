//! The outer reveal and the overhang as surfaces: what they receive and send.

use plane::RoomVector;

use crate::exchange::{Exchange, add_factors};
use crate::light::{Light, weighted_sum};
use crate::nearest::Nearest;
use crate::opening::Opening;
use crate::outside_seen::outside_seen;
use crate::seen::{Directions, Fineness, half_space};
use crate::tube::Face;

/// What the patches of an outer reveal and an overhang see and exchange.
#[derive(Clone, Debug)]
pub struct OuterSides {
    faces: Vec<(f64, Face)>,
    exchange: Exchange,
    /// Outside, as each patch sees it.
    seen: Vec<Directions>,
}

/// The light of a list of directions on each patch: the geometry, once.
#[derive(Clone, Debug)]
pub struct OuterResponse {
    /// By patch: number of the direction, and projected solid angle of what the patch sees of it, sr.
    rows: Vec<Vec<(u32, f64)>>,
}

impl Opening {
    /// The outer reveal and the overhang as surfaces that exchange light. Costs the form factors among all patches.
    pub fn outer_sides(&self) -> OuterSides {
        OuterSides::new(self)
    }
}

impl OuterSides {
    pub(crate) fn new(opening: &Opening) -> Self {
        let tube = &opening.outer;
        let faces = opening.outer_faces();
        let (n, reveal) = (faces.len(), tube.patches.len());
        let mut factors = vec![0.0; n * n];
        add_factors(tube, &mut factors, n);
        for (facet, &patch) in tube.facets.iter().zip(&tube.patch_of) {
            let share = facet.area_m2 / tube.patches[patch].area_m2;
            for (i, over) in opening.canopy.iter().flat_map(|c| c.facets.iter().enumerate()) {
                // Both ways: what one sends to the other is in the ratio of their areas.
                let factor = share * opening.canopy_factor(facet.middle, facet.normal, over);
                factors[patch * n + reveal + i] += factor;
                factors[(reveal + i) * n + patch] += factor * tube.patches[patch].area_m2 / over.area_m2;
            }
        }
        Self { faces, exchange: Exchange::new(factors, n), seen: seen_outside(opening) }
    }

    /// Number of patches.
    pub fn len(&self) -> usize {
        self.faces.len()
    }

    /// Whether there is neither reveal nor overhang.
    pub fn is_empty(&self) -> bool {
        self.faces.is_empty()
    }

    /// Area of a patch, m².
    pub fn area_m2(&self, patch: usize) -> f64 {
        self.faces[patch].0
    }

    /// What a patch belongs to.
    pub fn face(&self, patch: usize) -> Face {
        self.faces[patch].1
    }

    /// What each patch receives from outside, whose luminance by direction is given.
    pub fn received<V: Light>(&self, luminance: impl Fn(RoomVector) -> V) -> Vec<V> {
        self.seen.iter().map(|seen| sum(seen, &luminance)).collect()
    }

    /// The same for light that is given by a list of directions outside, unit vectors: each patch sees every part of the
    /// outside as bright as the nearest of them. Exact under an even sky.
    pub fn response(&self, directions: &[RoomVector]) -> OuterResponse {
        OuterResponse::new(&self.seen, directions)
    }

    /// What each patch sends per area, all reflections included, from what each receives from outside. `reflectance` (0 to
    /// 1) by what a patch belongs to. Linear in what is received.
    pub fn exitance<V: Light>(&self, received: &[V], reflectance: impl Fn(Face) -> V) -> Vec<V> {
        self.exchange.exitance(received, |i| reflectance(self.faces[i].1))
    }
}

impl OuterResponse {
    pub(crate) fn new(seen: &[Directions], directions: &[RoomVector]) -> Self {
        let nearest = Nearest::new(directions);
        let row = |seen: &Directions| {
            let mut weights = std::collections::BTreeMap::new();
            for &(direction, weight) in seen {
                if let Some(at) = nearest.to(direction) {
                    *weights.entry(at).or_insert(0.0) += weight;
                }
            }
            weights.into_iter().collect()
        };
        Self { rows: seen.iter().map(row).collect() }
    }

    /// What each patch receives, from the radiance of each direction.
    pub fn received<V: Light>(&self, radiance: &[V]) -> Vec<V> {
        let of = |row: &Vec<(u32, f64)>| weighted_sum(row.iter().map(|&(k, w)| (radiance[k as usize], w)));
        self.rows.iter().map(of).collect()
    }
}

/// Outside, as each outer patch sees it.
pub(crate) fn seen_outside(opening: &Opening) -> Vec<Directions> {
    let tube = &opening.outer;
    let screens: Vec<_> = opening.canopy.iter().map(|c| c.corners.to_vec()).collect();
    let mut seen: Vec<Directions> = vec![Vec::new(); tube.patches.len()];
    for (facet, &patch) in tube.facets.iter().zip(&tube.patch_of) {
        let share = facet.area_m2 / tube.patches[patch].area_m2;
        let directions = outside_seen(tube, facet.middle, facet.normal, Fineness::Patch, &screens);
        seen[patch].extend(directions.into_iter().map(|(d, w)| (d, w * share)));
    }
    let canopy = opening.canopy.iter().flat_map(|c| &c.facets);
    seen.extend(canopy.map(|facet| half_space(Fineness::Patch, |d| d.dot(facet.normal))));
    seen
}

/// The light of directions with their weights.
pub(crate) fn sum<V: Light>(directions: &Directions, luminance: impl Fn(RoomVector) -> V) -> V {
    weighted_sum(directions.iter().map(|&(direction, weight)| (luminance(direction), weight)))
}

/// Light on the whole glass in the mean for each that a patch sends per area: by reciprocity, what the patch would get of
/// the glass.
pub(crate) fn to_glass(opening: &Opening) -> Vec<f64> {
    let tube = &opening.outer;
    let mut factors = crate::exchange::factors_to_end(tube, &tube.near);
    for (factor, patch) in factors.iter_mut().zip(&tube.patches) {
        *factor *= patch.area_m2 / opening.outline.area_m2();
    }
    factors
}
