//! From joined lines to a clean planar graph of the panel.
//!
//! Lines are split where they meet, coincident stretches become one, strips too thin for glass are closed,
//! and what lies outside the opening or overshoots by a hair is left out.

use crate::drawing::Line;
use crate::fault::{PanelFault, PanelNote};
use crate::graph::{Graph, twin};
use crate::grid::SegmentGrid;
use crate::lattice::{Point, STEPS_PER_MM, nearest_on_segment};
use crate::noding::{Segment, node};
use crate::stroke::{LineInfo, Strokes};
use std::collections::{BTreeMap, BTreeSet};

/// Most rounds of closing strips; one is usual where there are any.
const ROUND_LIMIT: usize = 12;

/// Shortest stretch of two lines running together that is worth a note, mm: shorter ones belong to a joint.
const NOTED_STRETCH_MM: f64 = 10.0;

/// How far a line may run past the border lead's face without a note, mm: it ends under or at the lead.
const OVERRUN_MM: f64 = 1.0;

/// Makes the graph of the panel: every edge has a face inside the outline on one side at least.
pub(crate) fn arrange(
    drawn: &Strokes,
    snap_mm: f64,
    notes: &mut Vec<PanelNote>,
) -> Result<Graph, PanelFault> {
    let snap = snap_mm * STEPS_PER_MM;
    let mut segments: Vec<Segment> = drawn
        .strokes
        .iter()
        .flat_map(|stroke| {
            (0..stroke.segment_count()).map(|i| {
                let (a, b) = stroke.segment(i);
                Segment { a, b, line: stroke.line }
            })
        })
        .collect();
    let mut together = Together::default();
    let mut graph;
    let mut round = 0;
    loop {
        let noded = node(segments)?;
        graph = Graph::new(merge_coincident(noded, &drawn.lines, &mut together))?;
        round += 1;
        match close_strips(&graph, snap, &drawn.lines, &mut together) {
            Some(closed) if round < ROUND_LIMIT => segments = closed,
            _ => break,
        }
    }
    together.report(&drawn.lines, notes);
    let kept = panel_edges(&graph, drawn, snap, &together, notes);
    Graph::new(kept)
}

/// Stretches where one line was left out in favour of another.
#[derive(Debug, Default)]
struct Together {
    /// By (kept, left out): length in steps, area between them in square steps, a place.
    stretches: BTreeMap<(usize, usize), (f64, f64, Point)>,
}

impl Together {
    fn add(&mut self, kept: usize, left_out: usize, length: f64, area: f64, at: Point) {
        let entry = self.stretches.entry((kept, left_out)).or_insert((0.0, 0.0, at));
        entry.0 += length;
        entry.1 += area;
        entry.2 = entry.2.min(at);
    }

    fn report(&self, lines: &[LineInfo], notes: &mut Vec<PanelNote>) {
        for (&(kept, left_out), &(length, area, at)) in &self.stretches {
            if kept != left_out && length >= NOTED_STRETCH_MM * STEPS_PER_MM {
                notes.push(PanelNote::RunsTogether {
                    line: lines[left_out].line,
                    other: lines[kept].line,
                    at: at.mm(),
                    gap_mm: area / length / STEPS_PER_MM,
                });
            }
        }
    }

    fn has_left_out(&self, line: usize) -> bool {
        self.stretches.keys().any(|&(_, left_out)| left_out == line)
    }
}

/// Which of two lines keeps a stretch they share: the outline, then the wider, then the first.
fn precedence(line: usize, lines: &[LineInfo]) -> (bool, i64, usize) {
    // Micrometres, so that the order is total.
    (line != 0, -(lines[line].face_mm * 1e3) as i64, line)
}

/// Of segments with the same ends, keeps the one of highest precedence.
fn merge_coincident(mut segments: Vec<Segment>, lines: &[LineInfo], together: &mut Together) -> Vec<Segment> {
    let ends = |s: &Segment| (s.a.min(s.b), s.a.max(s.b));
    segments.sort_by_key(|s| (ends(s), precedence(s.line, lines)));
    let mut kept: Vec<Segment> = Vec::with_capacity(segments.len());
    for segment in segments {
        match kept.last() {
            Some(last) if ends(last) == ends(&segment) => {
                together.add(last.line, segment.line, segment.a.distance(segment.b), 0.0, segment.a);
            }
            _ => kept.push(segment),
        }
    }
    kept
}

/// Finds faces too thin for glass and leaves out one of the lines along each; `None` where there are none.
///
/// Thin means: twice the area over the perimeter, which is the width of a long strip, below `snap`. A line
/// that ended on the one left out is led on to the one kept.
fn close_strips(
    graph: &Graph,
    snap: f64,
    lines: &[LineInfo],
    together: &mut Together,
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
        together.add(graph.line(along), graph.line(out[0]), length(out), twice_area as f64 / 2.0, middle);
        // Where other lines end on it. Its own ends stay: they meet what is kept.
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

/// The edges of the panel: without those outside, and without overshoots shorter than `snap`.
fn panel_edges(
    graph: &Graph,
    drawn: &Strokes,
    snap: f64,
    together: &Together,
    notes: &mut Vec<PanelNote>,
) -> Vec<Segment> {
    let mut kept: Vec<bool> = (0..graph.segments.len()).map(|e| graph.is_alive(2 * e)).collect();
    report_outside(graph, drawn, &kept, together, notes);

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
    graph.segments.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(segment, _)| *segment).collect()
}

/// Notes lines that run out of the opening or lie outside it.
fn report_outside(
    graph: &Graph,
    drawn: &Strokes,
    kept: &[bool],
    together: &Together,
    notes: &mut Vec<PanelNote>,
) {
    let outline = &drawn.strokes[0];
    let ring: Vec<(Point, Point)> = (0..outline.segment_count()).map(|i| outline.segment(i)).collect();
    let grid = SegmentGrid::new(&ring);
    let margin = (drawn.lines[0].face_mm / 2.0 + OVERRUN_MM) * STEPS_PER_MM;
    let is_far = |p: Point| {
        let mut far = true;
        grid.near(p.steps(), margin, |i| far &= nearest_on_segment(p, ring[i].0, ring[i].1).1 > margin);
        far
    };
    let mut has_edge = vec![false; drawn.lines.len()];
    let mut outside = vec![0.0; drawn.lines.len()];
    let mut place: Vec<Option<Point>> = vec![None; drawn.lines.len()];
    for (segment, &kept) in graph.segments.iter().zip(kept) {
        let line = segment.line;
        if kept {
            has_edge[line] = true;
            continue;
        }
        outside[line] += segment.a.distance(segment.b);
        for p in [segment.a, segment.b] {
            if place[line].is_none_or(|known| p < known) && is_far(p) {
                place[line] = Some(p);
            }
        }
    }
    for (line, info) in drawn.lines.iter().enumerate() {
        if has_edge[line] {
            if let Some(at) = place[line] {
                let length_mm = outside[line] / STEPS_PER_MM;
                notes.push(PanelNote::RunsOutside { line: info.line, at: at.mm(), length_mm });
            }
        } else if !together.has_left_out(line) || outside[line] > 0.0 {
            let first =
                drawn.strokes.iter().find(|stroke| stroke.line == line).map(|stroke| stroke.points[0]);
            let at = first.map_or([0.0; 2], Point::mm);
            debug_assert!(info.line != Line::Outline);
            notes.push(PanelNote::WhollyOutside { line: info.line, at });
        }
    }
}
