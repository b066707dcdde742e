//! Lead lines from joint to joint, and the joints, traced from the graph of the panel.

use crate::graph::{Graph, twin};
use crate::lattice::{Point, cross, dot};
use std::cmp::Reverse;

/// A lead turned by more than this is cut and soldered there rather than bent, degrees. Common practice, no
/// source.
const CORNER_DEG: f64 = 45.0;

/// A lead as half-edges from joint to joint.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    pub(crate) half_edges: Vec<usize>,
}

/// Traces every edge of the panel into one chain. The order depends on geometry alone: from the top, then from
/// the left.
pub(crate) fn trace_leads(graph: &Graph) -> Vec<Chain> {
    let mut used = vec![false; graph.segments.len()];
    let mut chains = Vec::new();
    let joints: Vec<bool> = (0..graph.points.len()).map(|v| is_joint(graph, v)).collect();
    let starts = (0..graph.points.len()).filter(|&v| joints[v]);
    // Rings without a joint start at their lowest-leftmost point: vertices stand in that order.
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
            // The way it was drawn.
            if half_edges[0] % 2 == 1 {
                half_edges = half_edges.into_iter().rev().map(twin).collect();
            }
            chains.push(Chain { half_edges });
        }
    }
    chains.sort_by_cached_key(|chain| {
        let first = graph.point(chain.half_edges[0]);
        let last = graph.point(twin(chain.half_edges[chain.half_edges.len() - 1]));
        let points: Vec<Point> = chain.half_edges.iter().map(|&h| graph.point(h)).collect();
        (Reverse(first.y + last.y), first.x + last.x, points)
    });
    chains
}

/// A vertex where leads end: more or fewer than two meet, or two different ones, or one turns a corner.
fn is_joint(graph: &Graph, vertex: usize) -> bool {
    let mut out = graph.out_of(vertex);
    let (Some(g), Some(h), 2) = (out.next(), out.next(), graph.out_of(vertex).len()) else { return true };
    let at = graph.points[vertex];
    let (u, v) = (at.vector_to(graph.point(twin(g))), at.vector_to(graph.point(twin(h))));
    // Straight on, the two edges point away from each other.
    let turned = cross(u, v).abs().atan2(-dot(u, v)).to_degrees();
    graph.line(g) != graph.line(h) || turned > CORNER_DEG
}
