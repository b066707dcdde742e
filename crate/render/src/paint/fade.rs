//! Fading paint: how far each point of a piece is from the lead.

use std::collections::{HashMap, HashSet};
use std::hash::{BuildHasherDefault, Hasher};

use glam::{DVec2, Vec2};
use plane::PanelPoint;

use crate::shared::constants::FADE_FLOOR;
use crate::window::model::PieceModel;
use crate::window::region::{Bounds, Region};
use crate::window::vertex::{GlassVertex, Mesh};

/// Sides of triangles at the edges of a piece are halved until they are no longer than this share of the fade.
/// Farther in, where paint changes less, they may be longer in proportion to the distance over the fade;
const FINE: f64 = 0.7;
/// but they are never shorter than this, mm.
const FINEST_MM: f64 = 5.0;
/// Approximate maximum number of triangles per piece.
const MOST_TRIANGLES: f64 = 4_000.0;
/// Largest deviation of the outline that distances are measured to from the real one, mm.
const OUTLINE_TOLERANCE_MM: f64 = 0.3;
/// Bins of the profile of a fade; all densities in a bin count as their mean.
const PROFILE_BINS: usize = 64;
/// Shortest distance that counts, mm.
pub(crate) const NEAREST_MM: f64 = 1e-3;

/// The edges of a piece to which distances are measured: its outlines, simplified.
struct Edges(Vec<Edge>);

struct Edge {
    from: DVec2,
    along: DVec2,
    length: f64,
}

impl Edges {
    fn new(region: &Region) -> Self {
        let edges = region.iter().flat_map(|outline| {
            let coarse = coarser(outline);
            let next: Vec<DVec2> = coarse.iter().copied().cycle().skip(1).take(coarse.len()).collect();
            coarse.into_iter().zip(next).map(|(a, b)| {
                let length = a.distance(b);
                Edge { from: a, along: (b - a) / length, length }
            })
        });
        Self(edges.filter(|edge| edge.length > NEAREST_MM).collect())
    }

    /// A distance to the edges that is exact beside a long straight one, smaller in corners, and smooth where two
    /// edges are equally near: d = (2/π · ∫ ds/r⁴)^(−1/3) over all of them. Brushed paint gathers in corners and
    /// forms no ridges.
    fn distance_mm(&self, p: DVec2) -> f64 {
        let mut sum = 0.0;
        for Edge { from, along, length } in &self.0 {
            let to = p - *from;
            let from = -to.dot(*along);
            let upto = from + length;
            let d = to.perp_dot(*along).abs();
            // Not `max`, which WebAssembly has no instruction for.
            let d = if d > NEAREST_MM { d } else { NEAREST_MM };
            // ∫ ds/(s² + d²)² = s/(2d²(s² + d²)) + atan(s/d)/(2d³), from one end to the other.
            let d2 = d * d;
            let turn = (d * length).atan2(d2 + from * upto);
            sum += (upto / (upto * upto + d2) - from / (from * from + d2) + turn / d) / (2.0 * d2);
        }
        // By logarithm: WebAssembly has no fused multiply-add, on which the library's cube root would spend its time.
        if sum > 0.0 { (-(sum * std::f64::consts::FRAC_2_PI).ln() / 3.0).exp() } else { 0.0 }
    }
}

/// An outline without the points that lie within the tolerance of a chord (Douglas & Peucker 1973).
fn coarser(outline: &[PanelPoint]) -> Vec<DVec2> {
    fn keep(points: &[DVec2], out: &mut Vec<DVec2>) {
        let (Some(&a), Some(&b)) = (points.first(), points.last()) else { return };
        let length = a.distance(b);
        let off = |p: &DVec2| {
            if length < NEAREST_MM { a.distance(*p) } else { (*p - a).perp_dot(b - a).abs() / length }
        };
        let farthest =
            points.iter().map(off).enumerate().fold((0, 0.0), |m, c| if c.1 > m.1 { c } else { m });
        if farthest.1 > OUTLINE_TOLERANCE_MM && farthest.0 > 0 && farthest.0 + 1 < points.len() {
            keep(&points[..=farthest.0], out);
            keep(&points[farthest.0..], out);
        } else {
            out.push(a);
        }
    }
    let mut closed: Vec<DVec2> = outline.iter().map(|p| p.vector()).filter(|p| p.is_finite()).collect();
    let Some(&first) = closed.first() else { return Vec::new() };
    closed.push(first);
    let mut out = Vec::new();
    keep(&closed, &mut out);
    out
}

/// The side of a triangle: its two vertices, the lower number first.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Side(u32, u32);

impl Side {
    fn new(i: u32, j: u32) -> Self {
        Self(i.min(j), i.max(j))
    }
}

impl std::hash::Hash for Side {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u64(u64::from(self.0) << 32 | u64::from(self.1));
    }
}

/// Hashes one number by a multiplication (Fibonacci hashing; Knuth, *The Art of Computer Programming*,
/// vol. 3, 6.4). The numbers are our own, so nobody can choose them to collide.
#[derive(Default)]
struct ByMultiplying(u64);

impl Hasher for ByMultiplying {
    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.write_u64(u64::from(byte));
        }
    }

    fn write_u64(&mut self, number: u64) {
        let product = (self.0 ^ number).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 = product ^ product >> 32;
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

type Hashed = BuildHasherDefault<ByMultiplying>;

/// Cuts the triangles of a piece until the distance to its edges is linear over each, and stores that distance in
/// every corner.
pub(crate) fn measure_edges(piece: &PieceModel, mesh: &mut Mesh<GlassVertex>) {
    let edges = Edges::new(&piece.light_shape);
    let [width, height] = Bounds::of(piece.light_shape.iter().flatten()).map_or([0.0; 2], |b| b.size());
    let limit = (width * height / MOST_TRIANGLES).sqrt();
    let longest = (piece.fade.length_mm * FINE).max(FINEST_MM).max(limit);
    for vertex in &mut mesh.vertices {
        // The fringe begins at the edge.
        let within = vertex.fringe.iter().all(|f| f.abs() <= 0.0);
        let p = Vec2::from_array(vertex.position).as_dvec2();
        vertex.brush[0] = if within { edges.distance_mm(p) as f32 } else { 0.0 };
    }
    let mut triangles: Vec<[u32; 3]> = mesh.indices.as_chunks::<3>().0.to_vec();
    mesh.indices.clear();
    // Sides that the body shares with its fringe lie on the outline and move with it.
    let sides = |[a, b, c]: [u32; 3]| [Side::new(a, b), Side::new(b, c), Side::new(c, a)];
    let inner = |mesh: &Mesh<GlassVertex>, i: u32| mesh.vertices[i as usize].coverage > 0.5;
    let mut outline: HashSet<Side, Hashed> =
        triangles.iter().filter(|t| !t.iter().all(|i| inner(mesh, *i))).flat_map(|t| sides(*t)).collect();
    let mut halves: HashMap<Side, Option<u32>, Hashed> = HashMap::default();
    while let Some([a, b, c]) = triangles.pop() {
        // Whether an edge is halved depends only on that edge, so that neighbours agree.
        let mut half = |i: u32, j: u32| {
            let place = |i: u32| Vec2::from(mesh.vertices[i as usize].position);
            let apart = f64::from(place(i).distance(place(j)));
            // Most sides, and told quicker than looked up.
            if apart <= longest {
                return None;
            }
            *halves.entry(Side::new(i, j)).or_insert_with(|| {
                let (p, q) = (mesh.vertices[i as usize], mesh.vertices[j as usize]);
                let middle =
                    |of: fn(&GlassVertex) -> [f32; 2]| (Vec2::from(of(&p)) + Vec2::from(of(&q))) / 2.0;
                let far_mm = edges.distance_mm(middle(|v| v.position).as_dvec2());
                (apart > longest * (1.0 + far_mm / piece.fade.length_mm)).then(|| {
                    let on_outline = outline.contains(&Side::new(i, j));
                    mesh.vertices.push(GlassVertex {
                        position: middle(|v| v.position).to_array(),
                        fringe: if on_outline { middle(|v| v.fringe).to_array() } else { [0.0; 2] },
                        coverage: (p.coverage + q.coverage) / 2.0,
                        brush: [if on_outline { 0.0 } else { far_mm as f32 }, 0.0],
                        ..p
                    });
                    let new = mesh.vertices.len() as u32 - 1;
                    if on_outline {
                        outline.extend([Side::new(i, new), Side::new(j, new)]);
                    }
                    new
                })
            })
        };
        match [half(a, b), half(b, c), half(c, a)] {
            [None, None, None] => mesh.indices.extend([a, b, c]),
            [Some(m), None, None] => triangles.extend([[a, m, c], [m, b, c]]),
            [None, Some(m), None] => triangles.extend([[b, m, a], [m, c, a]]),
            [None, None, Some(m)] => triangles.extend([[c, m, b], [m, a, b]]),
            [Some(m), Some(n), None] => triangles.extend([[m, b, n], [a, m, n], [a, n, c]]),
            [None, Some(m), Some(n)] => triangles.extend([[m, c, n], [b, m, n], [b, n, a]]),
            [Some(n), None, Some(m)] => triangles.extend([[m, a, n], [c, m, n], [c, n, b]]),
            [Some(m), Some(n), Some(o)] => triangles.extend([[a, m, o], [m, b, n], [o, n, c], [m, n, o]]),
        }
    }
}

/// The scale of the fade of the piece with these triangles: with it, as much light passes as through even paint of
/// the stated density.
pub(crate) fn fade_scale(mesh: &Mesh<GlassVertex>, piece: &PieceModel) -> f64 {
    let (length_mm, density) = (piece.fade.length_mm, piece.paint_density);
    if !(length_mm > 0.0 && density > 0.0) {
        return 1.0;
    }
    // How much of the area has which profile, as drawn: distance is linear over each triangle. Sampled at the
    // midpoints of the sides of its four quarters, which is exact for quadratics over each.
    let floor = f64::from(FADE_FLOOR);
    let mut bins = [(0.0, 0.0); PROFILE_BINS];
    let mut add = |area: f64, distance: f64| {
        let profile = floor + (1.0 - floor) * (-distance / length_mm).exp();
        let bin = ((profile - floor) / (1.0 - floor) * PROFILE_BINS as f64) as usize;
        let (weight, sum) = &mut bins[bin.min(PROFILE_BINS - 1)];
        *weight += area;
        *sum += area * profile;
    };
    for corners in mesh.indices.as_chunks::<3>().0 {
        let corners = corners.map(|i| &mesh.vertices[i as usize]);
        let [p, q, r] = corners.map(|v| Vec2::from_array(v.position).as_dvec2());
        let area = (q - p).perp_dot(r - p).abs() / 2.0;
        if area > 0.0 && corners.iter().all(|v| v.coverage > 0.5) {
            let [a, b, c] = corners.map(|v| f64::from(v.brush[0]));
            for [a, b, c] in [[a, b, c], [b, c, a], [c, a, b]] {
                // For a quarter at a corner, two sides count here; the inner one counts for two quarters.
                add(area / 12.0, 0.75 * a + 0.25 * b);
                add(area / 12.0, 0.75 * a + 0.25 * c);
                add(area / 6.0, 0.5 * a + 0.25 * (b + c));
            }
        }
    }
    let parts: Vec<(f64, f64)> = bins
        .iter()
        .filter(|(weight, _)| *weight > 0.0)
        .map(|(weight, sum)| (*weight, sum / weight))
        .collect();
    let whole: f64 = parts.iter().map(|p| p.0).sum();
    if whole <= 0.0 {
        return 1.0;
    }
    // Transmitted light falls as the scale rises, ever more slowly, so Newton's steps from even paint as
    // dense as the edge never go too far. At most, the paint is as dense as the floor.
    let dense = density * std::f64::consts::LN_10;
    let even = (-dense).exp();
    let most = 1.0 / floor;
    let mut scale = 1.0;
    for _ in 0..50 {
        let (mut passes, mut falls) = (0.0, 0.0);
        for (area, profile) in &parts {
            let through = area / whole * (-dense * scale * profile).exp();
            passes += through;
            falls += dense * profile * through;
        }
        let before = scale;
        if falls > 0.0 {
            scale = (scale + (passes - even) / falls).clamp(1.0, most);
        }
        if (scale - before).abs() <= 1e-15 * scale {
            break;
        }
    }
    scale
}
