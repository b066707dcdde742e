//! A plain ray tracer with its own geometry: every side is two triangles, every path is followed one by one.

use plane::{RoomPoint, RoomVector, WallPoint};

/// Random numbers that are the same every time (SplitMix64: Steele, Lea & Flood 2014).
pub(crate) struct Random(pub(crate) u64);

impl Random {
    pub(crate) fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A direction about a normal, as often as it is bright from there.
    pub(crate) fn cosine(&mut self, normal: RoomVector) -> RoomVector {
        loop {
            let [x, y, z] = [self.next(), self.next(), self.next()].map(|v| 2.0 * v - 1.0);
            let ball = RoomVector::new(x, y, z);
            if (1e-6..1.0).contains(&ball.length()) {
                let sum = normal + ball.unit();
                if sum.length() > 1e-6 {
                    return sum.unit();
                }
            }
        }
    }

    /// A point of a ring.
    pub(crate) fn within(&mut self, ring: &[WallPoint]) -> WallPoint {
        let [low, high] = plane::bounds(ring).unwrap();
        loop {
            let p = WallPoint::new(
                low.x() + (high.x() - low.x()) * self.next(),
                low.y() + (high.y() - low.y()) * self.next(),
            );
            if plane::contains([ring], p) {
                return p;
            }
        }
    }
}

/// What a ray meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Met {
    Nothing,
    Outer,
    Inner,
    Overhang,
}

/// An opening of rings in planes z, from the outer wall face to the inner one.
pub(crate) struct Model {
    triangles: Vec<([RoomPoint; 3], Met)>,
    pub(crate) outer_face: Vec<WallPoint>,
    pub(crate) glass: Vec<WallPoint>,
    pub(crate) inner_face: Vec<WallPoint>,
    pub(crate) depths: [f64; 2],
}

impl Model {
    pub(crate) fn new(rings: [&[WallPoint]; 3], depths: [f64; 2]) -> Self {
        let mut triangles = Vec::new();
        let at = |p: WallPoint, z: f64| RoomPoint::new(p.x(), p.y(), z);
        for (far, near, z, met) in [
            (rings[0], rings[1], [-depths[0], 0.0], Met::Outer),
            (rings[1], rings[2], [0.0, depths[1]], Met::Inner),
        ] {
            for i in 0..far.len() {
                let j = (i + 1) % far.len();
                let quad = [at(far[i], z[0]), at(far[j], z[0]), at(near[j], z[1]), at(near[i], z[1])];
                if z[1] > z[0] {
                    triangles.push(([quad[0], quad[1], quad[2]], met));
                    triangles.push(([quad[0], quad[2], quad[3]], met));
                }
            }
        }
        let [outer_face, glass, inner_face] = rings.map(<[WallPoint]>::to_vec);
        Self { triangles, outer_face, glass, inner_face, depths }
    }

    pub(crate) fn with_overhang(mut self, x: [f64; 2], y: f64, z: [f64; 2]) -> Self {
        let c =
            [[x[0], z[0]], [x[1], z[0]], [x[1], z[1]], [x[0], z[1]]].map(|[x, z]| RoomPoint::new(x, y, z));
        self.triangles.push(([c[0], c[1], c[2]], Met::Overhang));
        self.triangles.push(([c[0], c[2], c[3]], Met::Overhang));
        self
    }

    /// The first thing on a ray, with its place and the normal toward where the ray comes from (Möller & Trumbore 1997).
    pub(crate) fn first(&self, from: RoomPoint, along: RoomVector) -> (Met, RoomPoint, RoomVector) {
        let mut best = (f64::INFINITY, Met::Nothing, RoomVector::ZERO);
        for ([a, b, c], met) in &self.triangles {
            let (e, f) = (*b - *a, *c - *a);
            let p = along.cross(f);
            let determinant = e.dot(p);
            if determinant.abs() < 1e-15 {
                continue;
            }
            let s = from - *a;
            let u = s.dot(p) / determinant;
            let q = s.cross(e);
            let v = along.dot(q) / determinant;
            let t = f.dot(q) / determinant;
            if u >= 0.0 && v >= 0.0 && u + v <= 1.0 && t > 1e-9 && t < best.0 {
                let n = e.cross(f).unit();
                best = (t, *met, if n.dot(along) > 0.0 { -n } else { n });
            }
        }
        (best.1, from + along * best.0.min(1e9), best.2)
    }

    /// Light on a point of the glass from outside in the mean over a part of it: directly, and by way of the outer reveal
    /// and the overhang.
    pub(crate) fn on_glass(
        &self,
        part: &[WallPoint],
        luminance: impl Fn(RoomVector) -> f64,
        reflectance: f64,
        paths: usize,
    ) -> [f64; 2] {
        let mut random = Random(7);
        let mut sums = [0.0; 2];
        for _ in 0..paths {
            let p = random.within(part);
            let mut at = RoomPoint::new(p.x(), p.y(), 0.0);
            let mut along = random.cosine(RoomVector::new(0.0, 0.0, -1.0));
            let (mut weight, mut bounces) = (std::f64::consts::PI, 0);
            while bounces < 60 {
                let (met, hit, normal) = self.first(at, along);
                if met == Met::Nothing || met == Met::Inner {
                    if along[2] < 0.0 {
                        sums[bounces.min(1)] += weight * luminance(along);
                    }
                    break;
                }
                // The glass takes what comes back to it; the wall's outer face is dark.
                if hit[2] > 0.0 || self.passes_wall(at, hit, along) {
                    break;
                }
                weight *= reflectance;
                (at, along) = (hit, random.cosine(normal));
                bounces += 1;
                if along[2] >= 0.0 && at[2] <= -self.depths[0] + 1e-12 && met == Met::Overhang {
                    // Toward the wall: into the opening or onto the face.
                    let t = (-self.depths[0] - at[2]) / along[2];
                    let p = at + along * t;
                    if !plane::contains([&self.outer_face], WallPoint::new(p[0], p[1])) {
                        break;
                    }
                }
            }
        }
        sums.map(|s| s / paths as f64)
    }

    /// Whether a ray from in front of the wall toward it misses the opening.
    fn passes_wall(&self, from: RoomPoint, to: RoomPoint, along: RoomVector) -> bool {
        let z = -self.depths[0];
        if !(from[2] < z - 1e-9 && to[2] > z + 1e-9) {
            return false;
        }
        let p = from + along * ((z - from[2]) / along[2]);
        !plane::contains([&self.outer_face], WallPoint::new(p[0], p[1]))
    }

    /// Share of flux that leaves into the room of a source on the inner side: `start` gives a place within the inner reveal
    /// and a direction. The glass and the sides reflect as Lambert surfaces. Also the mean height of the rays that leave.
    pub(crate) fn flux_entering(
        &self,
        start: impl Fn(&mut Random) -> (RoomPoint, RoomVector),
        reflectance: f64,
        glass: f64,
        paths: usize,
    ) -> [f64; 2] {
        let mut random = Random(11);
        let (mut out, mut up) = (0.0, 0.0);
        for _ in 0..paths {
            let (mut at, mut along) = start(&mut random);
            let mut weight = 1.0;
            for _ in 0..200 {
                let (met, hit, normal) = self.first(at, along);
                if met == Met::Inner {
                    weight *= reflectance;
                    (at, along) = (hit, random.cosine(normal));
                } else if along[2] > 0.0 {
                    out += weight;
                    up += weight * along[1];
                    break;
                } else {
                    let back = at + along * (-at[2] / along[2]);
                    weight *= glass;
                    (at, along) = (back, random.cosine(RoomVector::new(0.0, 0.0, 1.0)));
                }
                if weight < 1e-4 {
                    break;
                }
            }
        }
        [out / paths as f64, up / out.max(1e-12)]
    }
}
