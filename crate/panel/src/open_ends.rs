//! Ends of cutlines that meet nothing.

use crate::graph::Graph;
use crate::grid::SegmentGrid;
use crate::lattice::{Point, STEPS_PER_MM, nearest_on_segment};
use crate::panel::OpenEnd;
use crate::stroke::Strokes;
use std::cmp::Reverse;

/// Finds the open ends, from the top, then from the left, each with the nearest other line.
pub(crate) fn find_open_ends(
    graph: &Graph,
    drawn: &Strokes,
    piece_of_face: &[Option<usize>],
) -> Vec<OpenEnd> {
    let mut ends: Vec<usize> = (0..graph.points.len()).filter(|&v| graph.out_of(v).len() == 1).collect();
    if ends.is_empty() {
        return Vec::new();
    }
    ends.sort_by_key(|&v| (Reverse(graph.points[v].y), graph.points[v].x));
    let segments: Vec<(Point, Point)> = graph.segments.iter().map(|s| (s.a, s.b)).collect();
    let grid = SegmentGrid::new(&segments);
    ends.into_iter()
        .filter_map(|end| {
            let start = graph.out_of(end).next()?;
            let own = free_stretch(graph, end);
            let at = graph.points[end];
            let nearest = nearest_other(&grid, &segments, at, &own);
            Some(OpenEnd {
                line: drawn.lines[graph.line(start)].line,
                at: at.mm(),
                gap_mm: nearest.map(|(_, distance)| distance / STEPS_PER_MM),
                nearest: nearest.map(|(p, _)| Point::from_steps(p).mm()),
                piece: piece_of_face.get(graph.face[start]).copied().flatten()?,
            })
        })
        .collect()
}

/// Edges from an open end to the first joint, ascending.
fn free_stretch(graph: &Graph, end: usize) -> Vec<usize> {
    let mut edges = Vec::new();
    let mut at = end;
    loop {
        let before = edges.last().copied();
        let Some(h) = graph.out_of(at).find(|h| before != Some(h / 2)) else { break };
        edges.push(h / 2);
        at = graph.target(h);
        if graph.out_of(at).len() != 2 {
            break;
        }
    }
    edges.sort_unstable();
    edges
}

/// Nearest point on any segment but `own`: in circles of doubling radius.
fn nearest_other(
    grid: &SegmentGrid,
    segments: &[(Point, Point)],
    at: Point,
    own: &[usize],
) -> Option<([f64; 2], f64)> {
    let mut radius = grid.cell();
    loop {
        let mut best: Option<([f64; 2], f64)> = None;
        grid.near(at.steps(), radius, |i| {
            if own.binary_search(&i).is_err() {
                let near = nearest_on_segment(at, segments[i].0, segments[i].1);
                if best.is_none_or(|known| near.1 < known.1) {
                    best = Some(near);
                }
            }
        });
        if let Some(found) = best.filter(|found| found.1 <= radius) {
            return Some(found);
        }
        if radius > grid.reach() {
            return best;
        }
        radius *= 2.0;
    }
}
