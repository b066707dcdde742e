//! Outlines and lines to triangles with soft edges.
//!
//! Every edge is drawn as a fringe one pixel wide over which coverage falls from 1 to 0. Vertices carry the
//! direction in which the edge moves as the pixel grows or shrinks, so a mesh is built once and is right at any
//! zoom; and because coverage is continuous everywhere, it does not matter which pixels a rasteriser gives to
//! which triangle. (Multisampling differs between drivers in where the samples lie and was rejected for it.)

use std::{collections::HashMap, ops::Range};

use bytemuck::{Pod, Zeroable};
use lyon_tessellation::{
    FillGeometryBuilder, FillOptions, FillRule, FillTessellator, FillVertex, GeometryBuilder,
    GeometryBuilderError, VertexId,
    math::point,
    path::{EndpointId, Path},
};

use crate::{
    model::{Bounds, Region, WindowModel, depth},
    piece_mesh::PieceMesh,
    solids::{reveal, solder, stroke},
};

/// Longest mitre of a fringe, in pixels.
const MITRE_LIMIT: f64 = 3.0;
/// How far the wall reaches beyond the opening before the plain background takes over, mm.
const WALL_MARGIN_MM: f64 = 600.0;

/// A vertex of glass.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, Pod, Zeroable)]
pub struct GlassVertex {
    /// Panel mm.
    pub position: [f32; 2],
    /// Movement for each pixel's worth of mm.
    pub fringe: [f32; 2],
    /// 1 inside, 0 on the outer edge of the fringe.
    pub coverage: f32,
    /// Of a piece the distance to its edges in mm and 0; of an overlay the distance to the left of its line and
    /// half its width, both mm.
    pub brush: [f32; 2],
    /// Index of the piece; those of overlays follow.
    pub piece: u32,
}

/// A vertex of lead, bar or wall.
#[repr(C)]
#[derive(Clone, Copy, Debug, PartialEq, Pod, Zeroable)]
pub struct SolidVertex {
    /// Panel mm.
    pub position: [f32; 2],
    /// Movement for each pixel's worth of mm.
    pub fringe: [f32; 2],
    /// 1 inside, 0 on the outer edge of the fringe.
    pub coverage: f32,
    /// −1 on the right edge of the line, 1 on its left; 0 in the middle of a joint, 1 on its rim; for the reveal 0
    /// at the opening, 1 at the wall.
    pub across: f32,
    /// Unit vector to the left of the line; away from the middle of a joint.
    pub left: [f32; 2],
    /// Half the width of the line or the reach of the joint, mm; 0 where there is none.
    pub half_mm: f32,
    /// One of the `MATERIAL_` constants.
    pub material: u32,
}

/// Triangles of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Mesh<V> {
    /// Corners.
    pub vertices: Vec<V>,
    /// Three to a triangle.
    pub indices: Vec<u32>,
}

impl<V> Default for Mesh<V> {
    fn default() -> Self {
        Self { vertices: Vec::new(), indices: Vec::new() }
    }
}

/// A window as triangles, in the order of drawing: what is behind the glass's edge, the glass, what is before it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WindowMesh {
    /// Glass.
    pub glass: Mesh<GlassVertex>,
    /// Leads, bars, wall.
    pub solid: Mesh<SolidVertex>,
    /// The part of `solid.indices` drawn before the glass.
    pub behind: Range<u32>,
    /// The part drawn after it.
    pub before: Range<u32>,
}

/// Material numbers shared with `shaders/solid.wgsl`.
pub(crate) mod material {
    /// Came.
    pub(crate) const LEAD: u32 = 0;
    /// Saddle bar.
    pub(crate) const BAR: u32 = 1;
    /// The wall round the window.
    pub(crate) const WALL: u32 = 2;
    /// The splay between wall and glass.
    pub(crate) const REVEAL: u32 = 3;
    /// Where cames are soldered.
    pub(crate) const SOLDER: u32 = 4;
}

impl WindowMesh {
    /// Triangles of a window. Outlines that cannot be filled (fewer than three points, not finite) are left out.
    pub fn new(model: &WindowModel) -> Self {
        Self::with_glass(model, PieceMesh::join(&PieceMesh::of_window(model)))
    }

    /// The glass as it is given, and all the rest.
    pub(crate) fn with_glass(model: &WindowModel, glass: Mesh<GlassVertex>) -> Self {
        let mut mesh = Self { glass, ..Self::default() };
        let solid = |material| {
            move |position, fringe, coverage| SolidVertex {
                position,
                fringe,
                coverage,
                across: 1.0,
                left: [0.0; 2],
                half_mm: 0.0,
                material,
            }
        };
        fill(&model.opening, &mut mesh.solid, solid(material::LEAD));
        for lead in &model.leads {
            stroke(lead, material::LEAD, &mut mesh.solid);
        }
        mesh.behind = 0..mesh.solid.indices.len() as u32;

        for joint in &model.joints {
            solder(joint, &mut mesh.solid);
        }
        for bar in &model.bars {
            stroke(bar, material::BAR, &mut mesh.solid);
        }
        if !model.opening.is_empty() {
            let Bounds { min, max } = model.bounds().grown(WALL_MARGIN_MM);
            let mut wall = vec![vec![min, [max[0], min[1]], max, [min[0], max[1]]]];
            wall.extend(model.opening.iter().cloned());
            fill(&wall, &mut mesh.solid, solid(material::WALL));
            for (k, outline) in model.opening.iter().enumerate() {
                reveal(&oriented(outline, depth(&model.opening, k) % 2 == 1), &mut mesh.solid);
            }
        }
        mesh.before = mesh.behind.end..mesh.solid.indices.len() as u32;
        mesh
    }
}

/// An outline without repeated points, travelling so that the filled side is on the left.
fn oriented(outline: &[[f64; 2]], hole: bool) -> Vec<[f64; 2]> {
    let mut points: Vec<[f64; 2]> = Vec::with_capacity(outline.len());
    for &p in outline {
        if p[0].is_finite() && p[1].is_finite() && points.last().is_none_or(|q| distance(*q, p) > 1e-4) {
            points.push(p);
        }
    }
    while points.len() > 1 && distance(points[0], points[points.len() - 1]) <= 1e-4 {
        points.pop();
    }
    let twice_area: f64 =
        points.iter().zip(points.iter().cycle().skip(1)).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum();
    if (twice_area < 0.0) != hole {
        points.reverse();
    }
    points
}

pub(crate) fn distance(p: [f64; 2], q: [f64; 2]) -> f64 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

pub(crate) fn to_f32(p: [f64; 2]) -> [f32; 2] {
    [p[0] as f32, p[1] as f32]
}

/// Unit vector to the left of travel from p to q.
fn left_of(p: [f64; 2], q: [f64; 2]) -> [f64; 2] {
    let length = distance(p, q).max(1e-9);
    [-(q[1] - p[1]) / length, (q[0] - p[0]) / length]
}

/// The vector at a corner that moves both neighbouring edges by one unit to the left.
fn mitre(before: [f64; 2], after: [f64; 2]) -> [f64; 2] {
    let sum = [before[0] + after[0], before[1] + after[1]];
    let square = sum[0] * sum[0] + sum[1] * sum[1];
    if square < 1e-9 {
        return after;
    }
    let scale = (2.0 / square).min(MITRE_LIMIT / square.sqrt());
    [sum[0] * scale, sum[1] * scale]
}

/// The mitre vectors of a line, to the left.
pub(crate) fn mitres(points: &[[f64; 2]], closed: bool) -> Vec<[f64; 2]> {
    let n = points.len();
    (0..n)
        .map(|i| {
            let before = (closed || i > 0).then(|| left_of(points[(i + n - 1) % n], points[i]));
            let after = (closed || i + 1 < n).then(|| left_of(points[i], points[(i + 1) % n]));
            match (before, after) {
                (Some(b), Some(a)) => mitre(b, a),
                (Some(only), None) | (None, Some(only)) => only,
                (None, None) => [0.0, 1.0],
            }
        })
        .collect()
}

/// Fills a region, with a fringe along its outlines.
pub(crate) fn fill<V: Copy>(
    region: &Region,
    mesh: &mut Mesh<V>,
    make: impl Fn([f32; 2], [f32; 2], f32) -> V,
) {
    let outlines: Vec<Vec<[f64; 2]>> = region
        .iter()
        .enumerate()
        .map(|(k, outline)| oriented(outline, depth(region, k) % 2 == 1))
        .filter(|outline| outline.len() >= 3)
        .collect();
    if outlines.is_empty() {
        return;
    }
    let mut path = Path::builder();
    let mut inner = HashMap::new();
    for outline in &outlines {
        let outward: Vec<[f64; 2]> = mitres(outline, true).iter().map(|m| [-m[0], -m[1]]).collect();
        let first = mesh.vertices.len() as u32;
        for (p, m) in outline.iter().zip(&outward) {
            let half = [m[0] * 0.5, m[1] * 0.5];
            mesh.vertices.push(make(to_f32(*p), to_f32([-half[0], -half[1]]), 1.0));
            mesh.vertices.push(make(to_f32(*p), to_f32(half), 0.0));
        }
        let n = outline.len() as u32;
        for i in 0..n {
            let (a, b) = (first + 2 * i, first + 2 * ((i + 1) % n));
            mesh.indices.extend([a, a + 1, b, b, a + 1, b + 1]);
        }
        for (i, p) in outline.iter().enumerate() {
            let at = point(p[0] as f32, p[1] as f32);
            let id = if i == 0 { path.begin(at) } else { path.line_to(at) };
            inner.insert(id, first + 2 * i as u32);
        }
        path.end(true);
    }
    let path = path.build();
    let options = FillOptions::tolerance(0.01).with_fill_rule(FillRule::EvenOdd);
    let mut output = Triangles { mesh, inner: &inner, make: &make, ids: Vec::new(), first: 0 };
    // A region that cannot be tessellated keeps its fringe only: a hairline shows where the fault lies.
    let _ = FillTessellator::new().tessellate_with_ids(path.id_iter(), &path, None, &options, &mut output);
}

/// Receives lyon's triangles, putting our own vertices, which know their fringe, in place of its.
struct Triangles<'a, V, F> {
    mesh: &'a mut Mesh<V>,
    inner: &'a HashMap<EndpointId, u32>,
    make: &'a F,
    ids: Vec<u32>,
    first: usize,
}

impl<V: Copy, F: Fn([f32; 2], [f32; 2], f32) -> V> GeometryBuilder for Triangles<'_, V, F> {
    fn begin_geometry(&mut self) {
        self.first = self.mesh.indices.len();
    }

    fn add_triangle(&mut self, a: VertexId, b: VertexId, c: VertexId) {
        self.mesh.indices.extend([a, b, c].map(|id| self.ids[id.0 as usize]));
    }

    fn abort_geometry(&mut self) {
        self.mesh.indices.truncate(self.first);
    }
}

impl<V: Copy, F: Fn([f32; 2], [f32; 2], f32) -> V> FillGeometryBuilder for Triangles<'_, V, F> {
    fn add_fill_vertex(&mut self, vertex: FillVertex<'_>) -> Result<VertexId, GeometryBuilderError> {
        let known = vertex.as_endpoint_id().and_then(|id| self.inner.get(&id).copied());
        let id = known.unwrap_or_else(|| {
            // Where an outline crosses itself there is a corner that nobody drew.
            self.mesh.vertices.push((self.make)(vertex.position().to_array(), [0.0; 2], 1.0));
            self.mesh.vertices.len() as u32 - 1
        });
        self.ids.push(id);
        Ok(VertexId(self.ids.len() as u32 - 1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Came, Joint, PieceModel, Strip};

    fn square(x: f64, y: f64, size: f64) -> Vec<[f64; 2]> {
        vec![[x, y], [x + size, y], [x + size, y + size], [x, y + size]]
    }

    /// Area covered by the triangles whose corners all have full coverage.
    fn body_area(mesh: &Mesh<GlassVertex>) -> f64 {
        mesh.indices
            .chunks_exact(3)
            .map(|t| [t[0], t[1], t[2]].map(|i| mesh.vertices[i as usize]))
            .filter(|t| t.iter().all(|v| v.coverage > 0.5))
            .map(|[a, b, c]| {
                let side = |p: GlassVertex, q: GlassVertex| {
                    [f64::from(q.position[0] - p.position[0]), f64::from(q.position[1] - p.position[1])]
                };
                let (u, v) = (side(a, b), side(a, c));
                (u[0] * v[1] - u[1] * v[0]).abs() / 2.0
            })
            .sum()
    }

    #[test]
    fn triangles_cover_the_region_and_not_its_holes() {
        let region = vec![square(0.0, 0.0, 100.0), square(20.0, 20.0, 30.0)];
        let model = WindowModel {
            pieces: vec![PieceModel { light_shape: region, ..PieceModel::default() }],
            ..WindowModel::default()
        };
        let mesh = WindowMesh::new(&model);
        let area = body_area(&mesh.glass);
        assert!((area - (10_000.0 - 900.0)).abs() < 1e-3, "{area}");
        // Fringes point out of the filled region: away from the middle outside, toward it in the hole.
        for v in mesh.glass.vertices.iter().filter(|v| v.coverage < 0.5) {
            let outer = v.position[0] < 1.0 || v.position[0] > 99.0;
            let middle = if outer { [50.0, 50.0] } else { [35.0, 35.0] };
            let away = (v.position[0] - middle[0]) * v.fringe[0] + (v.position[1] - middle[1]) * v.fringe[1];
            assert_eq!(away > 0.0, outer, "{v:?}");
        }
    }

    #[test]
    fn solder_covers_the_joint_and_little_more_than_the_cames() {
        let came = |x: f64, y: f64, face_mm| Came { toward: [x, y], face_mm };
        let joint = Joint {
            at: [10.0, 20.0],
            cames: vec![came(1.0, 0.0, 9.0), came(0.0, 1.0, 5.0), came(0.0, -1.0, 5.0)],
        };
        let model = WindowModel { joints: vec![joint, Joint::default()], ..WindowModel::default() };
        let mesh = WindowMesh::new(&model);
        assert!(mesh.behind.is_empty() && mesh.before.len() == mesh.solid.indices.len());
        for v in &mesh.solid.vertices[1..] {
            let [x, y] = [v.position[0] - 10.0, v.position[1] - 20.0];
            let reach = x.hypot(y);
            assert!((reach - v.half_mm).abs() < 1e-4);
            // 5 % for the uneven rim. Behind the end of the wide came it stays on the narrow one.
            let most = if x < 0.0 { [0.55 * 5.0, 0.8 * 5.0] } else { [0.8 * 9.0, 0.55 * 9.0] };
            assert!(x.abs() <= most[0] * 1.05 && y.abs() <= most[1] * 1.05, "{x} {y}");
            assert!(reach >= 0.55 * 5.0 * 0.95);
        }
    }

    #[test]
    fn degenerate_shapes_are_left_out_without_a_panic() {
        let bad = vec![
            vec![],
            vec![[1.0, 1.0]],
            vec![[0.0, 0.0], [1.0, 0.0]],
            vec![[f64::NAN, 0.0], [1.0, f64::INFINITY], [2.0, 2.0]],
            vec![[5.0, 5.0]; 4],
            // A bow tie crosses itself.
            vec![[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]],
        ];
        for outline in bad {
            let model = WindowModel {
                opening: vec![outline.clone()],
                pieces: vec![PieceModel { light_shape: vec![outline.clone()], ..PieceModel::default() }],
                leads: vec![
                    Strip { line: outline.clone(), closed: false, width_mm: 5.0 },
                    Strip { line: outline, closed: true, width_mm: f64::NAN },
                ],
                ..WindowModel::default()
            };
            let mesh = WindowMesh::new(&model);
            let vertices = mesh.glass.vertices.len() as u32;
            assert!(mesh.glass.indices.iter().all(|&i| i < vertices));
            assert!(mesh.solid.vertices.iter().all(|v| v.position.iter().all(|x| x.is_finite())));
        }
    }
}
