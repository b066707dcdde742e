//! The lead as triangles between samples of its boundary.

use crate::order::insertion_order;
use crate::sample::Sample;
use spade::handles::FixedVertexHandle;
use spade::{ConstrainedDelaunayTriangulation, Point2, Triangulation};

/// Beyond an edge without another triangle of the lead.
pub(crate) const NONE: u32 = u32::MAX;

/// A triangle of the lead.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Face {
    /// Samples, anticlockwise.
    pub(crate) corners: [u32; 3],
    /// The triangle beyond the edge from each corner to the next, or [`NONE`] on the boundary.
    pub(crate) beside: [u32; 3],
}

impl Face {
    /// The samples at the ends of an edge, anticlockwise.
    pub(crate) fn edge(&self, edge: usize) -> [u32; 2] {
        [self.corners[edge], self.corners[(edge + 1) % 3]]
    }
}

/// The triangles inside the boundary: a constrained Delaunay triangulation of the samples without what lies outside.
/// Every corner lies on the boundary, so that the triangles hang together just as the lead does.
pub(crate) fn triangles(samples: &[Sample]) -> Vec<Face> {
    let count = samples.len();
    let mut mesh =
        ConstrainedDelaunayTriangulation::<Point2<f64>>::with_capacity(count, 3 * count, 2 * count);
    let mut vertices = vec![FixedVertexHandle::from_index(0); count];
    // Two samples in one place are one vertex, for which the first stands.
    let mut sample_of: Vec<u32> = Vec::with_capacity(count);
    let mut last = None;
    for i in insertion_order(samples.iter().map(|sample| sample.at)) {
        let at = samples[i as usize].at;
        // Spade refuses numbers next to zero; no coordinate needs them.
        let at = Point2::new(tame(at.x), tame(at.y));
        let inserted = match last {
            Some(last) => mesh.insert_with_hint(at, last),
            None => mesh.insert(at),
        };
        let Ok(vertex) = inserted else { return Vec::new() };
        match sample_of.get_mut(vertex.index()) {
            Some(first) => *first = i.min(*first),
            None => sample_of.push(i),
        }
        vertices[i as usize] = vertex;
        last = Some(vertex);
    }
    for (i, sample) in samples.iter().enumerate() {
        let (from, to) = (vertices[i], vertices[sample.next as usize]);
        // An edge that crosses another, which takes a slit of no width, is left out: its triangles then count with their
        // neighbours.
        if from != to && !mesh.exists_constraint(from, to) {
            mesh.try_add_constraint(from, to);
        }
    }

    // Inner faces have the indices from 1, the outer face 0.
    let count = mesh.num_all_faces();
    let mut corners = vec![[NONE; 3]; count];
    let mut beside = vec![[0_u32; 3]; count];
    let mut bounded = vec![[false; 3]; count];
    for face in mesh.inner_faces() {
        let f = face.fix().index();
        for (i, edge) in face.adjacent_edges().into_iter().enumerate() {
            corners[f][i] = sample_of[edge.from().fix().index()];
            beside[f][i] = edge.rev().face().fix().index() as u32;
            bounded[f][i] = edge.is_constraint_edge();
        }
    }
    drop(mesh);
    let inside = inside(samples, &corners, &beside, &bounded);
    let mut place = vec![NONE; count];
    let mut kept = 0;
    for f in 1..count {
        if inside[f] {
            place[f] = kept;
            kept += 1;
        }
    }
    let kept = (1..count).filter(|&f| inside[f]);
    kept.map(|f| Face { corners: corners[f], beside: beside[f].map(|g| place[g as usize]) }).collect()
}

fn tame(v: f64) -> f64 {
    if v.abs() < 1e-9 { 0.0 } else { v }
}

/// Which triangles lie in the lead. Triangles with no boundary between them are together inside or outside, by the side
/// of the boundary edges around them.
fn inside(samples: &[Sample], corners: &[[u32; 3]], beside: &[[u32; 3]], bounded: &[[bool; 3]]) -> Vec<bool> {
    let count = corners.len();
    let mut inside = vec![false; count];
    let mut seen = vec![false; count];
    seen[0] = true;
    let mut group = Vec::new();
    for start in 1..count {
        if seen[start] {
            continue;
        }
        seen[start] = true;
        group.clear();
        group.push(start);
        let (mut votes, mut at_outer, mut next) = (0_i64, false, 0);
        while let Some(&f) = group.get(next) {
            next += 1;
            for i in 0..3 {
                let g = beside[f][i] as usize;
                if bounded[f][i] {
                    let (a, b) = (corners[f][i], corners[f][(i + 1) % 3]);
                    votes += i64::from(samples[a as usize].next == b);
                    votes -= i64::from(samples[b as usize].next == a);
                } else if g == 0 {
                    at_outer = true;
                } else if !seen[g] {
                    seen[g] = true;
                    group.push(g);
                }
            }
        }
        if votes > 0 && !at_outer {
            for &f in &group {
                inside[f] = true;
            }
        }
    }
    inside
}
