//! Regions to triangles with soft edges.

use std::collections::HashMap;

use lyon_tessellation::{
    FillGeometryBuilder, FillOptions, FillRule, FillTessellator, FillVertex, GeometryBuilder,
    GeometryBuilderError, VertexId,
    math::point,
    path::{EndpointId, Path},
};
use plane::{PanelPoint, mitres};

use crate::window::outline::{MITRE_LIMIT, oriented, single};
use crate::window::region::{Region, depth};
use crate::window::vertex::Mesh;

/// Fills a region, with a fringe along its outlines.
pub(crate) fn fill<V: Copy>(
    region: &Region,
    mesh: &mut Mesh<V>,
    make: impl Fn([f32; 2], [f32; 2], f32) -> V,
) {
    let outlines: Vec<Vec<PanelPoint>> = region
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
        let first = mesh.vertices.len() as u32;
        for (p, m) in outline.iter().zip(mitres(outline, true, MITRE_LIMIT)) {
            let (p, half) = (single(p.vector()), -m.vector() * 0.5);
            mesh.vertices.push(make(p, single(-half), 1.0));
            mesh.vertices.push(make(p, single(half), 0.0));
        }
        let n = outline.len() as u32;
        for i in 0..n {
            let (a, b) = (first + 2 * i, first + 2 * ((i + 1) % n));
            mesh.indices.extend([a, a + 1, b, b, a + 1, b + 1]);
        }
        for (i, p) in outline.iter().enumerate() {
            let at = point(p.x() as f32, p.y() as f32);
            let id = if i == 0 { path.begin(at) } else { path.line_to(at) };
            inner.insert(id, first + 2 * i as u32);
        }
        path.end(true);
    }
    let path = path.build();
    let options = FillOptions::tolerance(0.01).with_fill_rule(FillRule::EvenOdd);
    let mut output = Triangles { mesh, inner: &inner, make: &make, ids: Vec::new(), first: 0 };
    // A region that cannot be tessellated keeps only its fringe, so that a hairline shows where the fault lies.
    let _ = FillTessellator::new().tessellate_with_ids(path.id_iter(), &path, None, &options, &mut output);
}

/// Receives lyon's triangles, and replaces its vertices by ours, which carry their fringe.
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
            // Where an outline crosses itself, there is a corner that is not in the outline.
            self.mesh.vertices.push((self.make)(vertex.position().to_array(), [0.0; 2], 1.0));
            self.mesh.vertices.len() as u32 - 1
        });
        self.ids.push(id);
        Ok(VertexId(self.ids.len() as u32 - 1))
    }
}
