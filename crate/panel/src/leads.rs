//! Lead lines from joint to joint, and the joints, traced from the graph of the panel.

use crate::graph::{Graph, twin};
use crate::lattice::{STEPS_PER_MM, cross, dot};
use crate::panel::LeadLine;
use crate::stroke::LineInfo;
use plane::PanelPoint;

/// A lead turned by more than this is cut and soldered there rather than bent, degrees. Common practice, no
/// source.
const CORNER_DEG: f64 = 45.0;

/// A lead as half-edges from joint to joint.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    pub(crate) half_edges: Vec<usize>,
}

/// Traces the edges of the panel into chains; every edge belongs to one.
pub(crate) fn trace_leads(graph: &Graph) -> Vec<Chain> {
    let mut used = vec![false; graph.segments.len()];
    let mut chains = Vec::new();
    let joints: Vec<bool> = (0..graph.points.len()).map(|v| is_joint(graph, v)).collect();
    let starts = (0..graph.points.len()).filter(|&v| joints[v]);
    // Rings without a joint start at their lowest-leftmost point, since vertices are sorted that way.
    for v in starts.chain(0..graph.points.len()) {
        for start in graph.out_of(v) {
            if used[start / 2] {
                continue;
            }
            let mut half_edges = Vec::new();
            let mut h = start;
            loop {
                used[h / 2] = true;
                half_edges.push(h);
                let end = graph.target(h);
                let on = graph.out_of(end).find(|&g| g != twin(h) && !used[g / 2]);
                match on {
                    Some(g) if !joints[end] => h = g,
                    _ => break,
                }
            }
            // In the direction in which it was drawn.
            if half_edges[0] % 2 == 1 {
                half_edges = half_edges.into_iter().rev().map(twin).collect();
            }
            chains.push(Chain { half_edges });
        }
    }
    chains
}

impl Chain {
    /// The lead of a chain, without its joints. `piece`: the piece of a face, if it has one.
    pub(crate) fn lead(
        &self,
        graph: &Graph,
        lines: &[LineInfo],
        piece: impl Fn(usize) -> Option<usize>,
    ) -> LeadLine {
        let (first, last) = (self.half_edges[0], self.half_edges[self.half_edges.len() - 1]);
        let line = lines[graph.line(first)];
        let mut points: Vec<PanelPoint> = self.half_edges.iter().map(|&h| graph.point(h).mm()).collect();
        points.push(graph.point(twin(last)).mm());
        LeadLine {
            length_mm: self.half_edges.iter().map(|&h| graph.length(h)).sum::<f64>() / STEPS_PER_MM,
            points,
            face_mm: line.face_mm,
            from_joint: 0,
            to_joint: 0,
            left: piece(graph.face[first]),
            right: piece(graph.face[twin(first)]),
            line: line.line,
        }
    }
}

/// The chain of each edge.
pub(crate) fn chain_of_edge(graph: &Graph, chains: &[Chain]) -> Vec<usize> {
    let mut of_edge = vec![0; graph.segments.len()];
    for (index, chain) in chains.iter().enumerate() {
        for &h in &chain.half_edges {
            of_edge[h / 2] = index;
        }
    }
    of_edge
}

/// Whether leads end at a vertex: more or fewer than two edges meet there, two different leads meet, or one lead
/// turns a corner.
fn is_joint(graph: &Graph, vertex: usize) -> bool {
    let mut out = graph.out_of(vertex);
    let (Some(g), Some(h), 2) = (out.next(), out.next(), graph.out_of(vertex).len()) else { return true };
    let at = graph.points[vertex];
    let (u, v) = (at.vector_to(graph.point(twin(g))), at.vector_to(graph.point(twin(h))));
    // On a straight lead the two edges point away from each other.
    let turned = cross(u, v).abs().atan2(-dot(u, v)).to_degrees();
    graph.line(g) != graph.line(h) || turned > CORNER_DEG
}
