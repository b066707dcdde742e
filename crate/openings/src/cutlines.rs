//! The leads between the pieces of a divided field, as lines.

use crate::division::{Division, LatticeLine};
use crate::lattice::{Family, Lattice};
use crate::ring::{OnRing, Ring};
use crate::text::polyline;
use plane::PanelPoint;
use std::collections::BTreeMap;

/// Lines that reach the field's edge this close to each other meet there at least, mm: a panel joins what is nearer than
/// 0.2 mm by itself, and notes it.
const LEAST_MEETING_MM: f64 = 1.0;

/// Ends nearer to each other than this are one, and a distance that exceeds a limit by less is at the limit, mm: rounding
/// must not decide otherwise for one of two ends, or for one side of a symmetrical window.
const ROUNDING_MM: f64 = 1e-6;

/// An end is moved by less than this share of the radius of the smallest regular piece. Ours.
const LARGEST_SHIFT: f64 = 0.7;

/// One end of a run of lead.
#[derive(Clone, Copy, Debug)]
enum End {
    /// At a lead that it meets inside the field.
    Inside(PanelPoint),
    /// At the edge of the field.
    Edge(OnRing),
}

impl End {
    fn at(&self) -> PanelPoint {
        match self {
            End::Inside(at) => *at,
            End::Edge(on) => on.at,
        }
    }

    fn on_edge(&mut self) -> Option<&mut OnRing> {
        if let End::Edge(on) = self { Some(on) } else { None }
    }
}

/// A stretch of a lattice line along which a lead runs.
struct Run {
    family: Family,
    line: i64,
    ends: [End; 2],
    /// Numbers of the crossings at or next outside the ends.
    outer: [i64; 2],
}

impl Run {
    /// Numbers of the crossings next to the ends, strictly between them, if there are any.
    fn inner(&self) -> Option<[i64; 2]> {
        let [from, to] = self.outer;
        (to - from >= 2).then_some([from + 1, to - 1])
    }
}

/// The lines of a division.
pub(crate) struct Cutlines {
    /// Path data, one for each lead.
    pub(crate) paths: Vec<String>,
    /// Where they end on the field's edge.
    pub(crate) stops: Vec<OnRing>,
}

/// How wide the leads are, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Faces {
    /// Along the edge of the field.
    pub(crate) edge_mm: f64,
    /// Inside it.
    pub(crate) inside_mm: f64,
}

/// The leads of a division.
///
/// Two that reach the edge within their width of each other, so that no glass would show between them, end there at one
/// point. One that reaches it within half its width of a corner, or of one of the `joints`, ends at that. A lead that
/// ends on another so near the edge that no glass would show between goes on to the end of the other.
pub(crate) fn cutlines(
    division: &Division,
    lattice: &Lattice,
    field: &Ring,
    joints: &[PanelPoint],
    faces: Faces,
) -> Cutlines {
    let mut runs: Vec<Run> =
        division.lines.iter().flat_map(|line| runs(line, division, lattice, field)).collect();
    let fixed: Vec<PanelPoint> = field.corners().chain(joints.iter().copied()).collect();
    let drawn: Vec<[PanelPoint; 2]> = runs.iter().map(|run| run.ends.map(|end| end.at())).collect();
    // Between small panes, too much glass would be lost.
    let largest = LARGEST_SHIFT * lattice.regular_radius();
    meet(&mut runs, field, &fixed, faces.inside_mm.min(largest).max(LEAST_MEETING_MM));
    extend_to_edge(&mut runs, lattice, ((faces.edge_mm + faces.inside_mm) / 2.0).min(largest));

    let mut paths = Vec::with_capacity(runs.len());
    for (run, drawn) in runs.iter().zip(drawn) {
        let [start, end] = run.ends.map(|end| end.at());
        let mut points = vec![start];
        if let Some(inner) = run.inner() {
            let [first, last] = inner.map(|number| lattice.on_line(run.family, run.line, number as f64));
            // Where an end was moved, the line bends at its last crossing, so that the others keep their places.
            let is_moved = |i: usize, now: PanelPoint| (now - drawn[i]).length() > 1e-4;
            if is_moved(0, start) {
                points.push(first);
            }
            if is_moved(1, end) && points.last().is_none_or(|&p| (p - last).length() > 1e-4) {
                points.push(last);
            }
        }
        points.push(end);
        paths.push(polyline(&points));
    }
    let on_edge = |end: &End| if let End::Edge(on) = end { Some(*on) } else { None };
    let stops = runs.iter().flat_map(|run| run.ends.iter().filter_map(on_edge)).collect();
    Cutlines { paths, stops }
}

/// The runs of lead along one lattice line.
fn runs(line: &LatticeLine, division: &Division, lattice: &Lattice, field: &Ring) -> Vec<Run> {
    let at = |other: f64| lattice.on_line(line.family, line.line, other);
    let apart = |stretch: i64| division.are_apart(Lattice::beside(line.family, line.line, stretch));
    let is_lead = |stretch: i64| apart(stretch) == Some(true);
    let (first, last) = (*line.stretches().start(), *line.stretches().end());
    // An end at a crossing: at another lead if the line was left out beyond, else at the edge, which is just there.
    let end_at = |crossing: i64, beyond: i64| {
        let node = at(crossing as f64);
        if apart(beyond) == Some(false) { End::Inside(node) } else { End::Edge(field.nearest(node)) }
    };
    let mut found = Vec::new();
    let mut stretch = first;
    while stretch <= last {
        if !is_lead(stretch) {
            stretch += 1;
            continue;
        }
        let start = stretch;
        while stretch <= last && is_lead(stretch) {
            stretch += 1;
        }
        // Stretches start..stretch are leads.
        let from = if start == first {
            End::Edge(field.nearest(at(line.range[0])))
        } else {
            end_at(start, start - 1)
        };
        let to = if stretch == last + 1 {
            End::Edge(field.nearest(at(line.range[1])))
        } else {
            end_at(stretch, stretch)
        };
        found.push(Run { family: line.family, line: line.line, ends: [from, to], outer: [start, stretch] });
    }
    found
}

/// Moves ends at the edge onto points nearby where other leads end. Ends at one point stay together.
fn meet(runs: &mut [Run], field: &Ring, fixed: &[PanelPoint], reach: f64) {
    let mut ends: Vec<&mut OnRing> =
        runs.iter_mut().flat_map(|run| &mut run.ends).filter_map(End::on_edge).collect();
    ends.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.along.total_cmp(&b.along)));
    let within = |mm: f64| move |a: &&mut OnRing, b: &&mut OnRing| (a.at - b.at).length() <= mm + ROUNDING_MM;
    let mut free: Vec<&mut OnRing> = Vec::new();
    for same in ends.chunk_by_mut(within(0.0)) {
        let at: PanelPoint = same[0].at;
        let away = |p: &PanelPoint| (*p - at).length();
        let near = fixed.iter().filter(|p| away(p) <= reach / 2.0 + ROUNDING_MM);
        match near.min_by(|p, q| away(p).total_cmp(&away(q))) {
            Some(&p) => same.iter_mut().for_each(|on| **on = OnRing { at: p, ..field.nearest(p) }),
            None => free.extend(same.iter_mut().map(|on| &mut **on)),
        }
    }
    for near in free.chunk_by_mut(within(reach)).filter(|near| near.len() > 1) {
        let share = 1.0 / near.len() as f64;
        let (x, y) = near.iter().fold((0.0, 0.0), |(x, y), on| (x + share * on.at[0], y + share * on.at[1]));
        let meeting = field.nearest(PanelPoint::new(x, y));
        for on in near {
            **on = meeting;
        }
    }
}

/// Leads that end on another one just before that reaches the edge go on to the same point, if the other's end is
/// less than `reach` beside them: closer, their faces would touch that of the edge.
fn extend_to_edge(runs: &mut [Run], lattice: &Lattice, reach: f64) {
    // Ends at the edge by the line's family, its number and the last crossing before the edge.
    let mut at_edge: BTreeMap<(Family, i64, i64), OnRing> = BTreeMap::new();
    for run in runs.iter() {
        let next = [run.outer[0] + 1, run.outer[1] - 1];
        for (end, crossing) in run.ends.iter().zip(next) {
            if let End::Edge(on) = end {
                at_edge.insert((run.family, run.line, crossing), *on);
            }
        }
    }
    for run in runs {
        let along = lattice.along(run.family);
        for (end, crossing) in run.ends.iter_mut().zip(run.outer) {
            let End::Inside(at) = *end else { continue };
            let other = at_edge.get(&(run.family.other(), crossing, run.line));
            if let Some(on) = other
                && along.cross(on.at - at).abs() < (reach + ROUNDING_MM) * along.length()
            {
                *end = End::Edge(*on);
            }
        }
    }
}
