//! The sides of one reveal between two rings, in facets and patches, and where a ray meets them.

use plane::{RoomPoint, RoomVector};

use crate::facets::{Division, FINE, Facet, sides};

/// How finely the sides of reveals are divided into patches that are each taken as evenly lit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Patches {
    /// About thirty to a rectangle or an arch, for sums that run every hour. The light that a reveal of 0.5 gives to the
    /// glass and its parts differs from the fine solution's by less than 0.2 % of all light there, and under the sun by less
    /// than 0.4 % of the beam (measured on six openings 0.1 to 0.25 m deep).
    Few,
    /// As many as the fine solution has: hundreds.
    Fine,
}

/// What a patch belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// A side that is rather upright.
    Jamb,
    /// A side that rather faces down.
    Head,
    /// A side that rather faces up.
    Sill,
    /// The underside of the overhang.
    Overhang,
}

/// A flat part of a patch.
#[derive(Clone, Debug)]
pub(crate) struct Quad {
    pub(crate) patch: usize,
    pub(crate) side: usize,
    pub(crate) corners: [RoomPoint; 4],
    pub(crate) normal: RoomVector,
}

/// A patch as a whole.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Patch {
    pub(crate) area_m2: f64,
    pub(crate) face: Face,
}

/// The sides between two rings in planes of equal z.
#[derive(Clone, Debug)]
pub(crate) struct Tube {
    /// The ring farther out.
    pub(crate) far: Vec<RoomPoint>,
    pub(crate) near: Vec<RoomPoint>,
    pub(crate) convex: bool,
    pub(crate) facets: Vec<Facet>,
    /// Patch of each facet.
    pub(crate) patch_of: Vec<usize>,
    pub(crate) patches: Vec<Patch>,
    pub(crate) quads: Vec<Quad>,
    /// Each side whole, with its number as `patch`; empty if there is no depth.
    pub(crate) sides: Vec<Quad>,
    /// By side: the number of its first facet, and how many lie along and deep.
    grid: Vec<(usize, [usize; 2])>,
}

/// A reveal shallower than this takes no light.
pub(crate) const FLUSH_M: f64 = 1e-9;
/// Few patches: facets, and patches around the opening and one behind the other.
const FEW: Division = Division { around: 32.0, deep: [3.0, 6.0] };
const FEW_AROUND: f64 = 10.0;
const FEW_DEEP: usize = 3;
/// A patch does not go around a corner that turns by more than this, degrees.
const SHARP_DEG: f64 = 30.0;

impl Tube {
    /// Both rings are anticlockwise seen from inside and have as many corners.
    pub(crate) fn new(far: Vec<RoomPoint>, near: Vec<RoomPoint>, convex: bool, division: Patches) -> Self {
        let (lengths, perimeter) = lengths(&near);
        let mut tube = Self {
            convex,
            facets: Vec::new(),
            patch_of: Vec::new(),
            patches: Vec::new(),
            quads: Vec::new(),
            sides: Vec::new(),
            grid: Vec::new(),
            far,
            near,
        };
        if (tube.near[0] - tube.far[0]).to_array()[2] < FLUSH_M {
            return tube;
        }
        let mut sides =
            sides(&tube.far, &tube.near, perimeter, if division == Patches::Few { FEW } else { FINE });
        if division == Patches::Few {
            for side in &mut sides {
                side.facets[1] = side.facets[1].next_multiple_of(FEW_DEEP);
            }
        }
        let segments = segments(&tube.near, &lengths, perimeter);
        let mut numbers = std::collections::HashMap::new();
        for (i, side) in sides.iter().enumerate() {
            let whole = side.facets.map(|n| [0, n]);
            tube.sides.push(quad(i, i, side.part(whole[0], whole[1])));
            tube.grid.push((tube.facets.len(), side.facets));
            let mut parts = std::collections::BTreeMap::new();
            for facet in side.facets(i) {
                let [along, deep] = facet.place;
                let key = match division {
                    Patches::Fine => [i, along, deep],
                    Patches::Few => {
                        let at = (along as f64 + 0.5) / side.facets[0] as f64;
                        let run = &segments[i];
                        let segment =
                            run.first + (((run.from + at * run.step).floor() as usize).min(run.last));
                        [segment, 0, deep * FEW_DEEP / side.facets[1]]
                    }
                };
                let next = numbers.len();
                let patch = *numbers.entry(key).or_insert(next);
                let range = parts.entry(patch).or_insert([along, along + 1, deep, deep + 1]);
                *range = [range[0], range[1].max(along + 1), range[2], range[3].max(deep + 1)];
                if patch == tube.patches.len() {
                    tube.patches.push(Patch { area_m2: 0.0, face: face(facet.normal) });
                }
                tube.patches[patch].area_m2 += facet.area_m2;
                tube.patch_of.push(patch);
                tube.facets.push(facet);
            }
            for (patch, [i0, i1, j0, j1]) in parts {
                tube.quads.push(quad(patch, i, side.part([i0, i1], [j0, j1])));
            }
        }
        tube
    }

    /// The patch that a ray from a point inside or in an end meets; `None` if it leaves by an end.
    pub(crate) fn hit(&self, from: RoomPoint, along: RoomVector) -> Option<usize> {
        let mut nearest: Option<(f64, &Quad)> = None;
        for side in &self.sides {
            let toward = side.normal.dot(along);
            if toward >= -1e-12 {
                continue;
            }
            let t = side.normal.dot(side.corners[0] - from) / toward;
            if t < -1e-9 || nearest.is_some_and(|(least, _)| t >= least) {
                continue;
            }
            // Of a convex tube, the nearest of the sides' planes is met, wherever the corners lie to the last digit.
            if self.convex || is_within(place(&side.corners, from + along * t)) {
                nearest = Some((t, side));
            }
        }
        let (t, side) = nearest?;
        let (place, side) = (place(&side.corners, from + along * t), side.side);
        if !(0.0..=1.0).contains(&place[1]) {
            return None;
        }
        let (first, [along, deep]) = self.grid[side];
        let at = |share: f64, n: usize| ((share * n as f64) as usize).min(n - 1);
        Some(self.patch_of[first + at(place[1], deep) * along + at(place[0].clamp(0.0, 1.0), along)])
    }

    /// Whether nothing of the sides lies between two points within it. Of a facet's own side nothing does.
    pub(crate) fn clear(&self, from: RoomPoint, to: RoomPoint) -> bool {
        let along = to - from;
        self.sides.iter().all(|side| {
            let toward = side.normal.dot(along);
            if toward >= -1e-12 {
                return true;
            }
            let t = side.normal.dot(side.corners[0] - from) / toward;
            if !(1e-9..1.0 - 1e-9).contains(&t) {
                return true;
            }
            let [s, deep] = place(&side.corners, from + along * t);
            !((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&deep))
        })
    }
}

fn quad(patch: usize, side: usize, corners: [RoomPoint; 4]) -> Quad {
    let normal = -(corners[2] - corners[0]).cross(corners[3] - corners[1]).unit();
    Quad { patch, side, corners, normal }
}

/// Where a point of a side lies: along, and from the far ring to the near one, as shares.
fn place(corners: &[RoomPoint; 4], point: RoomPoint) -> [f64; 2] {
    let deep = (point[2] - corners[0][2]) / (corners[3][2] - corners[0][2]);
    let a = corners[0] + (corners[3] - corners[0]) * deep;
    let b = corners[1] + (corners[2] - corners[1]) * deep;
    let edge = b - a;
    [(point - a).dot(edge) / edge.dot(edge).max(1e-300), deep]
}

/// Whether such a place lies on its side.
fn is_within([along, deep]: [f64; 2]) -> bool {
    (-1e-9..=1.0 + 1e-9).contains(&along) && (0.0..=1.0).contains(&deep)
}

fn face(normal: RoomVector) -> Face {
    // Of a side that leans, the edge tells.
    match normal[1] / normal[0].hypot(normal[1]).max(1e-300) {
        up if up > std::f64::consts::FRAC_1_SQRT_2 => Face::Sill,
        up if up < -std::f64::consts::FRAC_1_SQRT_2 => Face::Head,
        _ => Face::Jamb,
    }
}

/// Where an edge lies among the patches of its run, which is a stretch of the ring without sharp corners.
struct Run {
    /// Number of the run's first patch around.
    first: usize,
    /// Number of its last one, from its first.
    last: usize,
    /// Where the edge starts, and how much of the run it is, in patches.
    from: f64,
    step: f64,
}

fn lengths(ring: &[RoomPoint]) -> (Vec<f64>, f64) {
    let n = ring.len();
    let lengths: Vec<f64> = (0..n).map(|i| (ring[(i + 1) % n] - ring[i]).length()).collect();
    let sum = lengths.iter().sum();
    (lengths, sum)
}

fn segments(ring: &[RoomPoint], lengths: &[f64], perimeter: f64) -> Vec<Run> {
    let n = ring.len();
    let sharp = |i: usize| {
        let (a, b) = (ring[i] - ring[(i + n - 1) % n], ring[(i + 1) % n] - ring[i]);
        a.dot(b) < SHARP_DEG.to_radians().cos() * a.length() * b.length()
    };
    let start = (0..n).find(|&i| sharp(i)).unwrap_or(0);
    let mut runs: Vec<Vec<usize>> = Vec::new();
    for i in (0..n).map(|k| (start + k) % n) {
        match runs.last_mut() {
            Some(run) if !sharp(i) => run.push(i),
            _ => runs.push(vec![i]),
        }
    }
    let mut found: Vec<Option<Run>> = (0..n).map(|_| None).collect();
    let mut first = 0;
    for run in runs {
        let whole: f64 = run.iter().map(|&i| lengths[i]).sum();
        let count = (FEW_AROUND * whole / perimeter).round().max(1.0);
        let mut before = 0.0;
        for i in run {
            let scale = count / whole;
            found[i] =
                Some(Run { first, last: count as usize - 1, from: before * scale, step: lengths[i] * scale });
            before += lengths[i];
        }
        first += count as usize;
    }
    found.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(z: f64, corners: &[[f64; 2]]) -> Vec<RoomPoint> {
        corners.iter().map(|&[x, y]| RoomPoint::new(x, y, z)).collect()
    }

    #[test]
    fn a_ray_meets_the_patch_that_its_quad_covers() {
        let notch = [[0.0, 0.0], [1.0, 0.0], [0.5, 0.4], [0.5, 1.0], [0.0, 1.0]];
        let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        for (corners, convex) in [(&notch[..], false), (&square[..], true)] {
            for division in [Patches::Few, Patches::Fine] {
                let tube = Tube::new(ring(-0.4, corners), ring(0.0, corners), convex, division);
                let area: f64 = tube.patches.iter().map(|p| p.area_m2).sum();
                let (_, perimeter) = lengths(&tube.near);
                assert!((area - 0.4 * perimeter).abs() < 1e-12);
                for quad in &tube.quads {
                    let middle = crate::facets::bilinear(&quad.corners, 0.5, 0.5);
                    let from = middle + quad.normal * 0.05;
                    assert_eq!(tube.hit(from, -quad.normal), Some(quad.patch));
                }
                assert_eq!(tube.hit(RoomPoint::new(0.2, 0.2, 0.0), RoomVector::new(0.1, 0.1, -1.0)), None);
            }
        }
        let tube = Tube::new(ring(-0.4, &notch), ring(0.0, &notch), false, Patches::Few);
        let at = |x, y| RoomPoint::new(x, y, -0.2);
        assert!(!tube.clear(at(0.9, 0.05), at(0.45, 0.95)) && tube.clear(at(0.9, 0.05), at(0.1, 0.3)));
    }

    #[test]
    fn a_rectangle_has_about_thirty_patches_and_an_arch_no_more() {
        let tall = ring(0.0, &[[0.0, 0.0], [0.4, 0.0], [0.4, 1.6], [0.0, 1.6]]);
        let tube = Tube::new(
            ring(-0.2, &[[0.0, 0.0], [0.4, 0.0], [0.4, 1.6], [0.0, 1.6]]),
            tall,
            true,
            Patches::Few,
        );
        assert_eq!(tube.patches.len(), 30);
        let arch: Vec<[f64; 2]> = (0..=40)
            .map(|i| (f64::from(i) / 40.0 * std::f64::consts::PI).sin_cos())
            .map(|(sin, cos)| [0.3 + 0.3 * cos, 1.2 + 0.3 * sin])
            .chain([[0.0, 0.0], [0.6, 0.0]])
            .collect();
        let tube = Tube::new(ring(-0.2, &arch), ring(0.0, &arch), true, Patches::Few);
        assert!(tube.patches.len() <= 33, "{}", tube.patches.len());
    }
}
