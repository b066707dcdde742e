//! The leads between the pieces of a divided field, as lines.

use crate::division::{Division, LatticeLine};
use crate::lattice::Lattice;
use crate::ring::{OnRing, Ring};
use crate::text::polyline;
use plane::PanelPoint;

/// Lines that reach the field's edge this close to each other, to a corner or to a lead of the border meet there, mm.
const MEET_MM: f64 = 1.0;

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
}

/// A stretch of a lattice line along which a lead runs.
struct Run {
    ends: [End; 2],
    /// The first and last crossing with other lattice lines strictly between the ends.
    crossings: Option<[PanelPoint; 2]>,
}

/// The lines of a division.
pub(crate) struct Cutlines {
    /// Path data, one for each lead.
    pub(crate) paths: Vec<String>,
    /// Where they end on the field's edge.
    pub(crate) stops: Vec<OnRing>,
}

/// The leads of a division. Those that end near one of the `joints` on the field's edge, or near a corner of it, end
/// there; those that end near each other do so at one point.
pub(crate) fn cutlines(
    division: &Division,
    lattice: &Lattice,
    field: &Ring,
    joints: &[PanelPoint],
) -> Cutlines {
    let mut runs: Vec<Run> =
        division.lines.iter().flat_map(|line| runs(line, division, lattice, field)).collect();
    let fixed: Vec<PanelPoint> = field.corners().chain(joints.iter().copied()).collect();
    let drawn: Vec<[PanelPoint; 2]> = runs.iter().map(|run| run.ends.map(|end| end.at())).collect();
    meet(&mut runs, field, &fixed);

    let mut paths = Vec::with_capacity(runs.len());
    for (run, drawn) in runs.iter().zip(drawn) {
        let [start, end] = run.ends.map(|end| end.at());
        let mut points = vec![start];
        if let Some([first, last]) = run.crossings {
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
        let crossings = (stretch - start >= 2).then(|| [at((start + 1) as f64), at((stretch - 1) as f64)]);
        found.push(Run { ends: [from, to], crossings });
    }
    found
}

/// Moves ends at the edge onto points nearby where other leads end.
fn meet(runs: &mut [Run], field: &Ring, fixed: &[PanelPoint]) {
    let mut free: Vec<&mut OnRing> = Vec::new();
    for end in runs.iter_mut().flat_map(|run| run.ends.iter_mut()) {
        let End::Edge(on) = end else { continue };
        let away = |p: &PanelPoint| (*p - on.at).length();
        match fixed.iter().filter(|p| away(p) <= MEET_MM).min_by(|p, q| away(p).total_cmp(&away(q))) {
            Some(&p) => *on = OnRing { at: p, ..field.nearest(p) },
            None => free.push(on),
        }
    }
    free.sort_by(|a, b| a.edge.cmp(&b.edge).then(a.along.total_cmp(&b.along)));
    let is_near = |a: &&mut OnRing, b: &&mut OnRing| (a.at - b.at).length() <= MEET_MM;
    for near in free.chunk_by_mut(is_near).filter(|near| near.len() > 1) {
        let share = 1.0 / near.len() as f64;
        let (x, y) = near.iter().fold((0.0, 0.0), |(x, y), on| (x + share * on.at[0], y + share * on.at[1]));
        let meeting = field.nearest(PanelPoint::new(x, y));
        for on in near {
            **on = meeting;
        }
    }
}
