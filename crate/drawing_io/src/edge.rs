//! The window's edge, found among its lines or around them, and mended where it misses itself.

use kurbo::Rect;
use plane::{PanelPoint, contains, signed_area};

use crate::near::Near;
use crate::outline::{edge_among, edge_around};
use crate::part::{CLOSING_MM, Part, close, middle, ring_part};

/// The widest gap in an edge that is mended, mm: what half the face of a wide lead hides.
const WIDEST_MM: f64 = 6.0;

/// An edge is so many times as long as a gap in it, at least.
const LEAST_LENGTH_GAPS: f64 = 20.0;

/// Tolerances tried one after the other where lines enclose less than they reach, mm.
const WIDER_MM: [f64; 3] = [1.0, 2.5, 5.0];

/// Share of the lines' length that may lie outside of what they enclose.
const OUTSIDE_SHARE: f64 = 0.01;

/// A gap in the edge that was closed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Gap {
    pub(crate) at: PanelPoint,
    pub(crate) mm: f64,
}

/// An edge and what was mended in it.
#[derive(Debug)]
pub(crate) struct Edge {
    pub(crate) part: Part,
    pub(crate) gaps: Vec<Gap>,
    /// Lines run along the edge if they are no farther from it, mm.
    pub(crate) within_mm: f64,
}

impl Edge {
    /// One without gaps.
    pub(crate) fn whole(part: Part) -> Self {
        Self { part, gaps: Vec::new(), within_mm: 0.0 }
    }
}

/// Of these open parts, the one that would be the edge if it met itself, closed; with its number.
pub(crate) fn nearly_closed_edge(
    candidates: &[&Part],
    lines: &[&Part],
    page: Option<Rect>,
) -> Option<(usize, Edge)> {
    let closed: Vec<(usize, Part, Gap)> = candidates
        .iter()
        .enumerate()
        .filter_map(|(k, part)| closed(part).map(|(part, gap)| (k, part, gap)))
        .collect();
    let parts: Vec<&Part> = closed.iter().map(|(_, part, _)| part).collect();
    let (k, part, gap) = &closed[edge_among(&parts, lines, page)?];
    Some((*k, Edge { part: part.clone(), gaps: vec![*gap], within_mm: gap.mm }))
}

fn closed(part: &Part) -> Option<(Part, Gap)> {
    let (first, last) = (*part.points.first()?, *part.points.last()?);
    let mm = (last - first).length();
    let is_gap = !part.closed
        && part.points.len() > 2
        && mm > CLOSING_MM
        && mm <= WIDEST_MM
        && part.length_mm() > LEAST_LENGTH_GAPS * mm;
    if !is_gap {
        return None;
    }
    // An end that went too far comes back; one that stopped short is carried on.
    let arriving = last - part.points[part.points.len() - 2];
    let mut closed = part.clone();
    if (first - last).dot(arriving) < 0.0 {
        let mut path = part.path.clone();
        close(&mut path);
        closed = Part::new(path, part.shape)?;
    } else {
        closed.close();
    }
    Some((closed, Gap { at: middle(first, last), mm }))
}

/// The edge of everything that the lines enclose together; where they leave gaps wider than the tolerance, of what they
/// enclose when these are closed.
pub(crate) fn enclosing_edge(lines: &[&Part], join_mm: f64) -> Option<Edge> {
    let mut best = edge_around(lines, join_mm).map(|ring| (ring, 0.0));
    for wider in WIDER_MM.into_iter().filter(|wider| *wider > join_mm) {
        if best.as_ref().is_some_and(|(ring, _)| share_outside(lines, ring) <= OUTSIDE_SHARE) {
            break;
        }
        let area = best.as_ref().map_or(0.0, |(ring, _)| signed_area(ring).abs());
        let found = edge_around(lines, wider).filter(|ring| signed_area(ring).abs() > 1.001 * area);
        best = found.map(|ring| (ring, wider)).or(best);
    }
    let (ring, within_mm) = best?;
    let part = ring_part(&ring)?;
    let gaps = if within_mm > 0.0 { gaps(lines, &part, join_mm, within_mm) } else { Vec::new() };
    Some(Edge { part, gaps, within_mm })
}

/// The share of the lines' length that lies outside of a ring.
fn share_outside(lines: &[&Part], ring: &[PanelPoint]) -> f64 {
    let Some(edge) = ring_part(ring) else { return 1.0 };
    let near = Near::new(std::iter::once(&edge));
    let (mut all, mut outside) = (0.0, 0.0);
    for (a, b) in lines.iter().flat_map(|part| part.edges()) {
        let length = (b - a).length();
        let middle = middle(a, b);
        all += length;
        if !near.within(middle, CLOSING_MM) && !contains([ring], middle) {
            outside += length;
        }
    }
    outside / f64::max(all, 1e-9)
}

/// Ends of lines on the edge that met no other line within the tolerance, each gap once.
fn gaps(lines: &[&Part], edge: &Part, join_mm: f64, within_mm: f64) -> Vec<Gap> {
    let all = Near::new(lines.iter().copied());
    let near = Near::new(std::iter::once(edge));
    let mut gaps: Vec<Gap> = Vec::new();
    for part in lines.iter().filter(|part| !part.closed) {
        for at in [part.points[0], part.points[part.points.len() - 1]] {
            let gap = all.distance_to_others(at, within_mm, part).filter(|gap| *gap > join_mm);
            let is_new = |gap: &f64| !gaps.iter().any(|other| (other.at - at).length() <= 2.0 * gap);
            if let Some(mm) = gap.filter(|gap| near.within(at, within_mm) && is_new(gap)) {
                gaps.push(Gap { at, mm });
            }
        }
    }
    gaps
}
