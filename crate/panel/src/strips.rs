//! Closing strips between lines that are too thin for glass.

use crate::account::Merge;
use crate::graph::{Graph, Segment, twin};
use crate::lattice::{Point, nearest_on_segment};
use crate::stroke::LineInfo;
use std::collections::{BTreeMap, BTreeSet};

/// Which of two lines keeps a stretch they share: the outline, then the wider, then the first.
pub(crate) fn precedence(line: usize, lines: &[LineInfo]) -> (bool, i64, usize) {
    // Micrometres, so that the order is total.
    (line != 0, -(lines[line].face_mm * 1e3) as i64, line)
}

/// Finds faces too thin for glass and leaves out one of the lines along each; `None` if there are none.
///
/// Thin means: twice the area over the perimeter, which is the width of a long strip, is below `snap`. A line that
/// ended on the one left out is extended to the one kept.
pub(crate) fn close_strips(
    graph: &Graph,
    snap: f64,
    lines: &[LineInfo],
    round: usize,
    merges: &mut Vec<Merge>,
) -> Option<Vec<Segment>> {
    let mut left_out: BTreeSet<usize> = BTreeSet::new();
    let mut touched: BTreeSet<usize> = BTreeSet::new();
    let mut moved: BTreeMap<Point, Point> = BTreeMap::new();
    for (f, face) in graph.faces.iter().enumerate().filter(|(_, face)| face.inside) {
        let twice_area: i128 = face.boundaries.iter().map(|&start| graph.twice_area(start)).sum();
        let perimeter: f64 = face
            .boundaries
            .iter()
            .flat_map(|&start| graph.boundary(start))
            .filter(|&h| graph.face[twin(h)] != f)
            .map(|h| graph.length(h))
            .sum();
        if twice_area as f64 >= snap * perimeter {
            continue;
        }
        let edge: Vec<usize> =
            graph.boundary(face.boundaries[0]).filter(|&h| graph.face[twin(h)] != f).collect();
        if edge.iter().any(|h| touched.contains(&(h / 2))) {
            // A neighbouring strip has just been closed; the next round looks again.
            continue;
        }
        let runs = runs_by_line(graph, &edge);
        let length = |run: &[usize]| run.iter().map(|&h| graph.length(h)).sum::<f64>();
        let inner = || runs.iter().filter(|run| graph.line(run[0]) != 0);
        let longest = inner().map(|run| length(run)).fold(0.0, f64::max);
        let Some(out) = inner()
            .filter(|run| length(run) >= 0.4 * longest)
            .max_by_key(|run| precedence(graph.line(run[0]), lines))
        else {
            continue;
        };
        let keep: Vec<usize> = edge.iter().copied().filter(|h| !out.contains(h)).collect();
        let Some(&along) = keep.iter().max_by(|&&g, &&h| graph.length(g).total_cmp(&graph.length(h))) else {
            continue;
        };
        touched.extend(edge.iter().map(|h| h / 2));
        left_out.extend(out.iter().map(|h| h / 2));
        let middle = graph.point(out[out.len() / 2]);
        let ends = |&h: &usize| (graph.point(h), graph.point(twin(h)));
        merges.push(Merge {
            round,
            is_strip: true,
            first: ends(&edge[0]),
            kept: graph.line(along),
            left_out: graph.line(out[0]),
            length: length(out),
            area: twice_area as f64 / 2.0,
            at: middle,
            edges: edge.iter().map(ends).collect(),
        });
        // Points where other lines end on it. Its own ends stay, since they meet the line that is kept.
        for &h in out[1..].iter().filter(|&&h| graph.out_of(graph.origin[h]).len() > 2) {
            let from = graph.point(h);
            let nearest = keep
                .iter()
                .map(|&k| nearest_on_segment(from, graph.point(k), graph.point(twin(k))))
                .min_by(|p, q| p.1.total_cmp(&q.1));
            if let Some((at, distance)) = nearest
                && distance <= 4.0 * snap
            {
                moved.insert(from, Point::from_steps(at));
            }
        }
    }
    if left_out.is_empty() {
        return None;
    }
    let lead_on = |p: Point| moved.get(&p).copied().unwrap_or(p);
    let segments = graph.segments.iter().enumerate().filter(|(e, _)| !left_out.contains(e));
    Some(
        segments
            .map(|(_, s)| if s.line == 0 { *s } else { Segment { a: lead_on(s.a), b: lead_on(s.b), ..*s } })
            .filter(|s| s.a != s.b)
            .collect(),
    )
}

/// Cuts a boundary into stretches of one line each, going round.
fn runs_by_line(graph: &Graph, edge: &[usize]) -> Vec<Vec<usize>> {
    let mut runs: Vec<Vec<usize>> =
        edge.chunk_by(|&g, &h| graph.line(g) == graph.line(h)).map(<[usize]>::to_vec).collect();
    if runs.len() > 1
        && let (Some(first), Some(last)) = (runs.first(), runs.last())
        && graph.line(first[0]) == graph.line(last[0])
        && let Some(mut last) = runs.pop()
    {
        last.extend(&runs[0]);
        runs[0] = last;
    }
    runs
}
