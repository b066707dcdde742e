//! From noded lines to a clean planar graph of the panel.
//!
//! Merges coincident stretches, closes strips too thin for glass, and leaves out everything outside the opening and
//! tiny overshoots.

use crate::account::{Account, Merge};
use crate::fault::PanelFault;
use crate::graph::{Extent, Graph, Segment};
use crate::noding::node;
use crate::strips::{close_strips, precedence};
use crate::stroke::LineInfo;

/// Maximum number of rounds of closing strips; usually one is enough.
const ROUND_LIMIT: usize = 12;

/// Builds the panel's graph from noded segments. Every edge borders at least one face inside the outline. Also
/// returns what was left out.
///
/// `snap`: snapping distance, steps.
pub(crate) fn arrange(
    mut noded: Vec<Segment>,
    extent: Extent<'_>,
    snap: f64,
    lines: &[LineInfo],
) -> Result<(Graph, Account), PanelFault> {
    let mut account = Account::default();
    let mut round = 1;
    let graph = loop {
        let segments = merge_coincident(noded, lines, round, &mut account.merges);
        let graph = Graph::new(segments, extent)?;
        match close_strips(&graph, snap, lines, round, &mut account.merges) {
            Some(closed) if round < ROUND_LIMIT => noded = node(&closed)?,
            _ => break graph,
        }
        round += 1;
    };
    let kept = panel_edges(&graph, snap, &mut account);
    account.sort();
    let is_whole = kept.len() == graph.segments.len();
    Ok((if is_whole { graph } else { Graph::new(kept, extent)? }, account))
}

/// Of segments with the same ends, keeps the one of highest precedence.
fn merge_coincident(
    mut segments: Vec<Segment>,
    lines: &[LineInfo],
    round: usize,
    merges: &mut Vec<Merge>,
) -> Vec<Segment> {
    let ends = |s: &Segment| (s.a.min(s.b), s.a.max(s.b));
    sorting::by_key(&mut segments, |s| (ends(s), precedence(s.line, lines)));
    let mut kept: Vec<Segment> = Vec::with_capacity(segments.len());
    for segment in segments {
        match kept.last() {
            Some(last) if ends(last) == ends(&segment) => merges.push(Merge {
                round,
                is_strip: false,
                first: ends(&segment),
                kept: last.line,
                left_out: segment.line,
                length: segment.a.distance(segment.b),
                area: 0.0,
                at: segment.a,
                edges: Vec::new(),
            }),
            _ => kept.push(segment),
        }
    }
    kept
}

/// The edges of the panel, without those outside it and without overshoots shorter than `snap`.
fn panel_edges(graph: &Graph, snap: f64, account: &mut Account) -> Vec<Segment> {
    let alive: Vec<bool> = (0..graph.segments.len()).map(|e| graph.is_alive(2 * e)).collect();
    let mut kept = alive.clone();

    let mut degree = vec![0_usize; graph.points.len()];
    for e in (0..graph.segments.len()).filter(|&e| kept[e]) {
        degree[graph.origin[2 * e]] += 1;
        degree[graph.origin[2 * e + 1]] += 1;
    }
    let mut ends: Vec<usize> = (0..graph.points.len()).filter(|&v| degree[v] == 1).collect();
    while let Some(end) = ends.pop() {
        let mut chain = Vec::new();
        let mut length = 0.0;
        let mut at = end;
        loop {
            let before = chain.last().copied();
            let on = graph.out_of(at).find(|h| kept[h / 2] && before != Some(h / 2));
            let Some(h) = on else { break };
            chain.push(h / 2);
            length += graph.length(h);
            at = graph.target(h);
            if degree[at] != 2 || length > snap {
                break;
            }
        }
        if length <= snap && degree[end] == 1 {
            for &e in &chain {
                kept[e] = false;
                degree[graph.origin[2 * e]] -= 1;
                degree[graph.origin[2 * e + 1]] -= 1;
            }
            if degree[at] == 1 {
                ends.push(at);
            }
        }
    }
    let mut edges = Vec::with_capacity(graph.segments.len());
    for (e, &segment) in graph.segments.iter().enumerate() {
        match (alive[e], kept[e]) {
            (_, true) => edges.push(segment),
            (true, false) => account.trimmed.push(segment),
            (false, false) => account.outside.push(segment),
        }
    }
    edges
}
