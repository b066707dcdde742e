//! Lines out of the net: edges that continue one another become one line.

use crate::border::border;
use crate::gap::weighted_median;
use crate::net::Net;
use crate::run::EdgeEnd;
use crate::simplify::{keep_some, mark_line};
use crate::tangle::Lines;
use glam::DVec2;
use plane::PanelPoint;
use std::collections::BTreeSet;

/// A line is of one width if its parts differ by no more than this share of the wider
const SAME_WIDTH_SHARE: f64 = 0.15;
/// or this, mm.
const SAME_WIDTH_MM: f64 = 0.3;

/// One point of a line in so many always stays.
const LONGEST_SPAN: usize = 8192;

/// The centre line of a lead.
#[derive(Debug, Clone, PartialEq)]
pub struct CentreLine {
    /// Points, mm. Lines that meet share a point to the bit: an end of one is an end or a point of the other. A line does
    /// not end where it goes on beyond a joint.
    pub points: Vec<PanelPoint>,
    /// Width of the lead, mm.
    pub width_mm: f64,
    /// Whether the last point joins the first, which it does not repeat.
    pub closed: bool,
}

/// The centre lines of a net of leads.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CentreLines {
    /// All but the border.
    pub lines: Vec<CentreLine>,
    /// The loop around all others, closed and anticlockwise; a net has none if leads end outside it or if it falls into
    /// parts side by side.
    pub border: Option<CentreLine>,
    /// For each pane that lead surrounds, a point in its glass, mm: as the shapes have it, however the lines were found.
    /// Exactly one of the pieces between the lines should hold it, and that piece no other. Holes too narrow to be cut
    /// are no panes.
    pub panes: Vec<PanelPoint>,
}

/// Lines and border of a net, simplified within a tolerance (mm) and kept within a box.
pub(crate) fn lines(net: &Net, tolerance: f64, [low, high]: [DVec2; 2]) -> CentreLines {
    let mut degree = vec![0; net.nodes.len()];
    for node in net.edges.iter().flat_map(|edge| edge.nodes) {
        degree[node] += 1;
    }
    let border_walk = border(net);
    let mut used = vec![false; net.edges.len()];
    for (edge, _) in border_walk.iter().flatten() {
        used[*edge] = true;
    }
    let on_border = used.clone();
    let next = |(edge, end): EdgeEnd| -> Option<EdgeEnd> {
        let (to, to_end) = net.continued[edge][end]?;
        let (a, b) = (net.edges[edge].width, net.edges[to].width);
        let same = (a - b).abs() <= (SAME_WIDTH_SHARE * a.max(b)).max(SAME_WIDTH_MM);
        (same && on_border[edge] == on_border[to]).then_some((to, to_end))
    };
    // Walks on from an edge entered at an end.
    let walk_from = |edge: usize, entered: usize, used: &mut Vec<bool>| {
        let (mut walk, mut at) = (Vec::new(), (edge, entered));
        loop {
            used[at.0] = true;
            walk.push((at.0, at.1 == 1));
            match next((at.0, 1 - at.1)) {
                Some(to) if !used[to.0] => at = to,
                to => return (walk, to),
            }
        }
    };
    let mut walks = Vec::new();
    for edge in 0..net.edges.len() {
        let Some(end) = (0..2).find(|&end| next((edge, end)).is_none()) else { continue };
        if !used[edge] {
            walks.push((walk_from(edge, end, &mut used).0, false));
        }
    }
    for edge in 0..net.edges.len() {
        if !used[edge] {
            let (walk, to) = walk_from(edge, 0, &mut used);
            walks.push((walk, to.is_some()));
        }
    }
    let has_border = border_walk.is_some();
    walks.extend(border_walk.map(|walk| (walk, true)));
    let finish = |(walk, closed): &Walk, tolerance: f64| {
        let mut line = line(net, walk, *closed, &degree, tolerance)?;
        for p in &mut line.points {
            *p = PanelPoint::from(p.vector().clamp(low, high));
        }
        Some(line)
    };
    let mut lines: Vec<Option<CentreLine>> = walks.iter().map(|walk| finish(walk, tolerance)).collect();
    // Beside a joint, a line without some of its points may pass on the wrong side of another's end.
    for index in tangled(&lines) {
        lines[index] = finish(&walks[index], 0.0);
    }
    let border = if has_border { lines.pop().flatten() } else { None };
    CentreLines { lines: lines.into_iter().flatten().collect(), border, panes: Vec::new() }
}

/// The edges along a line, each with whether it is walked backwards; and whether the line is closed.
type Walk = (Vec<(usize, bool)>, bool);

/// The numbers of the lines that cross others where they do not meet.
fn tangled(lines: &[Option<CentreLine>]) -> BTreeSet<usize> {
    let mut all = Lines::default();
    for (index, line) in lines.iter().enumerate().filter_map(|(k, line)| line.as_ref().map(|line| (k, line)))
    {
        let first = line.points.first().filter(|_| line.closed);
        all.add(line.points.iter().chain(first).map(|p| DVec2::from(p.to_array())), Some(index));
    }
    all.tangled()
}

/// The line along some edges.
fn line(
    net: &Net,
    walk: &[(usize, bool)],
    closed: bool,
    degree: &[usize],
    tolerance: f64,
) -> Option<CentreLine> {
    let (mut points, mut keep): (Vec<DVec2>, Vec<bool>) = (Vec::new(), Vec::new());
    let mut widths = Vec::new();
    for (k, &(index, back)) in walk.iter().enumerate() {
        let edge = &net.edges[index];
        let count = edge.points.len();
        for i in usize::from(k > 0)..count {
            points.push(edge.points[if back { count - 1 - i } else { i }]);
            let node = match i {
                0 => Some(edge.nodes[usize::from(back)]),
                _ if i + 1 == count => Some(edge.nodes[usize::from(!back)]),
                _ => None,
            };
            keep.push(node.is_some_and(|node| degree[node] > 2));
        }
        widths.push((edge.width, edge.measured.max(1e-6)));
    }
    if closed {
        turn_to_kept(&mut points, &mut keep);
    }
    keep_some(&mut keep, LONGEST_SPAN);
    mark_line(&points, tolerance, &mut keep);
    let mut points: Vec<PanelPoint> =
        points.into_iter().zip(keep).filter(|(_, keep)| *keep).map(|(p, _)| PanelPoint::from(p)).collect();
    points.dedup();
    if closed && points.len() > 1 && points.first() == points.last() {
        points.pop();
    }
    let least = if closed { 3 } else { 2 };
    (points.len() >= least).then(|| CentreLine {
        points,
        width_mm: weighted_median(widths).unwrap_or(0.0),
        closed,
    })
}

/// Starts a closed line (its first point repeated at the end) at a point that is kept, or marks points far apart.
fn turn_to_kept(points: &mut Vec<DVec2>, keep: &mut Vec<bool>) {
    points.pop();
    keep.pop();
    if points.is_empty() {
        return;
    }
    let start = keep.iter().position(|&keep| keep).unwrap_or_else(|| {
        // A corner, if there is any, is the point farthest from another.
        farthest(points, points[0])
    });
    points.rotate_left(start);
    keep.rotate_left(start);
    let across = farthest(points, points[0]);
    keep[across] = true;
    points.push(points[0]);
    keep.push(true);
}

fn farthest(points: &[DVec2], from: DVec2) -> usize {
    let by = |i: &usize, j: &usize| {
        points[*i].distance_squared(from).total_cmp(&points[*j].distance_squared(from))
    };
    (0..points.len()).max_by(by).unwrap_or(0)
}
