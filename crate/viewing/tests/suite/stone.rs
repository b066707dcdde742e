//! The wall around the first window for the path tracer: two convex tubes as half spaces that lean, a slab, bars. Nothing
//! here is shared with the crate that the figures use.
//!
//! Frame of the glass: z = 0 in the glass, outside below it, the room above.

use std::f64::consts::PI;

use scene::{Guard, Resolved};
use spectra::Spectrum;

pub(crate) type V3 = [f64; 3];

/// An edge of the outline: a point of it, its outward normal, and how far it leans per metre, outside and inside.
struct Edge {
    on: [f64; 2],
    out: [f64; 2],
    lean: [f64; 2],
    reflectance: [Spectrum; 2],
}

pub(crate) struct Stone {
    edges: Vec<Edge>,
    /// Depth of the reveals, outside and inside, m.
    pub(crate) deep: [f64; 2],
    /// Limits of the slab in x, its height, and how far out it ends (z).
    slab: Option<([f64; 2], f64, f64)>,
    slab_reflectance: Spectrum,
    guards: Vec<Guard>,
}

/// What a ray within a tube meets.
pub(crate) enum Met {
    Side {
        at: V3,
        normal: V3,
        reflectance: Box<Spectrum>,
    },
    /// The end at the glass.
    Glass(V3),
    /// The end in the face of the wall.
    Face(V3),
}

fn along(a: V3, d: V3, t: f64) -> V3 {
    [a[0] + t * d[0], a[1] + t * d[1], a[2] + t * d[2]]
}

pub(crate) fn dot(a: V3, b: V3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// A direction of the cosine-weighted half space about a normal.
pub(crate) fn scattered(normal: V3, [u, v]: [f64; 2]) -> V3 {
    let aside = if normal[0].abs() < 0.6 { [1.0, 0.0, 0.0] } else { [0.0, 1.0, 0.0] };
    let cross =
        |a: V3, b: V3| [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    let a = cross(normal, aside);
    let length = dot(a, a).sqrt();
    let a = a.map(|c| c / length);
    let b = cross(normal, a);
    let (r, phi) = (u.sqrt(), 2.0 * PI * v);
    let up = (1.0 - u).max(0.0).sqrt().max(1e-9);
    along(along(normal.map(|c| c * up), a, r * phi.cos()), b, r * phi.sin())
}

impl Stone {
    /// `None` if the first window has no wall.
    pub(crate) fn new(scene: &Resolved) -> Option<Self> {
        let window = &scene.windows[0];
        let wall = scene.scene.windows[0].wall.as_ref()?;
        let built = window.wall.as_ref()?;
        let mut ring: Vec<[f64; 2]> = window
            .panel
            .opening
            .outer
            .iter()
            .map(|&p| window.placement.wall_from_panel(p))
            .map(|p| [p[0], p[1]])
            .collect();
        let twice: f64 = (0..ring.len())
            .map(|i| (ring[i], ring[(i + 1) % ring.len()]))
            .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
            .sum();
        if twice < 0.0 {
            ring.reverse();
        }
        let reveals = [wall.outer.as_ref(), wall.inner.as_ref()];
        let deep = reveals.map(|reveal| reveal.map_or(0.0, |r| r.depth_m));
        let edges: Vec<Edge> = (0..ring.len())
            .map(|i| {
                let (a, b) = (ring[i], ring[(i + 1) % ring.len()]);
                let length = (b[0] - a[0]).hypot(b[1] - a[1]);
                let out = [(b[1] - a[1]) / length, (a[0] - b[0]) / length];
                let lean = reveals.map(|reveal| {
                    let splay = reveal.map_or(Default::default(), |r| r.splay_deg);
                    let tan = |deg: f64| deg.to_radians().tan();
                    let level = if out[1] > 0.0 { splay.head } else { splay.sill };
                    (out[0] * tan(splay.jamb)).hypot(out[1] * tan(level))
                });
                let sill = out[1] < -0.7072;
                let reflectance = [0, 1].map(|k| if sill { built.sills[k] } else { built.sides[k] });
                Edge { on: a, out, lean, reflectance }
            })
            .collect();
        let slab = wall.overhang.as_ref().map(|over| {
            let face = |k: usize, pick: fn(f64, f64) -> f64, start: f64| {
                // Of rectangles and arches: the corners of the outline moved out with their edges.
                let lean = |e: &Edge| e.lean[0] * deep[0];
                edges.iter().fold(start, |most, e| {
                    let at = e.on[k] + e.out[k] * lean(e);
                    pick(most, at)
                })
            };
            let (low, high) = (face(0, f64::min, f64::INFINITY), face(0, f64::max, f64::NEG_INFINITY));
            let top = face(1, f64::max, f64::NEG_INFINITY) + over.above_m;
            let middle = 0.5 * (low + high);
            ([middle - 0.5 * over.width_m, middle + 0.5 * over.width_m], top, -deep[0] - over.depth_m)
        });
        Some(Self { edges, deep, slab, slab_reflectance: built.overhang, guards: wall.guards.clone() })
    }

    /// How far a point lies outside an edge's plane.
    fn beyond(&self, edge: &Edge, p: V3, side: usize) -> f64 {
        edge.out[0] * (p[0] - edge.on[0]) + edge.out[1] * (p[1] - edge.on[1]) - edge.lean[side] * p[2].abs()
    }

    fn holds(&self, p: V3, side: usize) -> bool {
        self.edges.iter().all(|edge| self.beyond(edge, p, side) < 0.0)
    }

    /// Whether a point of the inner face lies in the opening.
    pub(crate) fn open_at_face(&self, x: f64, y: f64) -> bool {
        self.holds([x, y, self.deep[1]], 1)
    }

    /// What a ray meets in the outer (0) or inner (1) tube.
    pub(crate) fn meet(&self, from: V3, d: V3, side: usize) -> Met {
        let away = if side == 0 { -1.0 } else { 1.0 };
        let out = d[2] * away > 0.0;
        let end_z = if out { away * self.deep[side] } else { 0.0 };
        let mut t = if d[2].abs() < 1e-12 { f64::INFINITY } else { ((end_z - from[2]) / d[2]).max(0.0) };
        let mut hit = None;
        for edge in &self.edges {
            let rate = edge.out[0] * d[0] + edge.out[1] * d[1] - edge.lean[side] * d[2] * away;
            let now = self.beyond(edge, from, side);
            if rate > 1e-12 && -now / rate < t && -now / rate > -1e-9 {
                t = (-now / rate).max(0.0);
                hit = Some(edge);
            }
        }
        let at = along(from, d, t);
        match hit {
            None if out => Met::Face(at),
            None => Met::Glass(at),
            Some(edge) => {
                let length = (1.0 + edge.lean[side] * edge.lean[side]).sqrt();
                let normal = [-edge.out[0], -edge.out[1], edge.lean[side] * away].map(|c| c / length);
                // A hair inside.
                Met::Side {
                    at: along(at, normal, 1e-7),
                    normal,
                    reflectance: Box::new(edge.reflectance[side]),
                }
            }
        }
    }

    /// Share of the light along a direction outward that bars and mesh let by.
    fn openness(&self, d: V3) -> f64 {
        let across = |diameter: f64, pitch: f64, sideways: f64| {
            // Seen from ψ beside the normal, bars stand pitch · cos ψ apart.
            let cosine = -d[2] / (d[2] * d[2] + sideways * sideways).sqrt();
            (1.0 - diameter / (pitch * cosine.max(1e-12))).max(0.0)
        };
        let one = |guard: &Guard| match *guard {
            Guard::UprightBars { diameter_mm, pitch_mm } => across(diameter_mm, pitch_mm, d[0]),
            Guard::LevelBars { diameter_mm, pitch_mm } => across(diameter_mm, pitch_mm, d[1]),
            Guard::Mesh { wire_mm, pitch_mm } => {
                across(wire_mm, pitch_mm, d[0]) * across(wire_mm, pitch_mm, d[1])
            }
        };
        self.guards.iter().map(one).product()
    }

    /// Where a ray from before the wall meets the underside of the slab.
    fn on_slab(&self, from: V3, d: V3) -> Option<V3> {
        let (x, top, end) = self.slab?;
        let t = (top - from[1]) / d[1];
        let at = along(from, d, t);
        let inside = (x[0]..=x[1]).contains(&at[0]) && (end..=-self.deep[0]).contains(&at[2]);
        (d[1] > 0.0 && t > 0.0 && inside).then_some(at)
    }

    /// Share of parallel light from a direction that reaches a point in the outer tube or on the glass.
    pub(crate) fn sunlit(&self, from: V3, toward: V3) -> f64 {
        match self.meet(from, toward, 0) {
            Met::Face(at) if self.on_slab(at, toward).is_none() => self.openness(toward),
            _ => 0.0,
        }
    }

    /// One walk from a point of the glass outward: what arrives there from a direction, in each of several outsides.
    /// `radiance` gives that of the outside, `suns` the direction and the beam if it shines.
    pub(crate) fn arriving(
        &self,
        mut from: V3,
        mut d: V3,
        suns: &[Option<(V3, Spectrum)>],
        radiance: &dyn Fn(V3) -> Vec<Spectrum>,
        random: &mut dyn FnMut() -> f64,
    ) -> Vec<Spectrum> {
        let mut sums = vec![Spectrum::ZERO; suns.len()];
        let mut kept = Spectrum::ONE;
        let mut in_tube = true;
        let mut passed = false;
        loop {
            let (at, normal, reflectance) = if in_tube {
                match self.meet(from, d, 0) {
                    Met::Glass(_) => return sums,
                    Met::Face(at) => {
                        if !passed {
                            kept *= Spectrum::splat(self.openness(d));
                            passed = true;
                        }
                        in_tube = false;
                        let Some(at) = self.on_slab(at, d) else {
                            for (sum, light) in sums.iter_mut().zip(radiance(d)) {
                                *sum += kept * light;
                            }
                            return sums;
                        };
                        (along(at, [0.0, -1.0, 0.0], 1e-7), [0.0, -1.0, 0.0], self.slab_reflectance)
                    }
                    Met::Side { at, normal, reflectance } => (at, normal, *reflectance),
                }
            } else {
                // From the slab: into the opening again, onto the wall, or away.
                if d[2] >= 0.0 {
                    let t = (-self.deep[0] - from[2]) / d[2].max(1e-12);
                    let at = along(from, d, t);
                    if !self.holds(at, 0) {
                        return sums;
                    }
                    (from, in_tube) = (at, true);
                    continue;
                }
                for (sum, light) in sums.iter_mut().zip(radiance(d)) {
                    *sum += kept * light;
                }
                return sums;
            };
            kept *= reflectance;
            if in_tube {
                for (sum, sun) in sums.iter_mut().zip(suns) {
                    if let Some((toward, beam)) = sun {
                        let cosine = dot(normal, *toward).max(0.0);
                        if cosine > 0.0 {
                            sum.add_scaled(cosine / PI * self.sunlit(at, *toward), &(kept * *beam));
                        }
                    }
                }
                passed = false;
            }
            let survives = kept.max().min(0.95);
            if random() >= survives {
                return sums;
            }
            kept *= 1.0 / survives;
            d = scattered(normal, [random(), random()]);
            from = at;
        }
    }
}
