//! The window's edge, found among its lines or around them, and mended where it misses itself.

use std::collections::HashSet;

use kurbo::Rect;
use plane::{PanelPoint, contains, signed_area};

use crate::bridge::{Bridge, Way, bridges};
use crate::chain::{MOST_OPEN_SHARE, ring_of};
use crate::enclosure::{EdgeEnd, Enclosure};
use crate::error::ImportError;
use crate::near::{Near, runs_along};
use crate::outline::{OVERRUN_MM, TOUCH_MM, edge_among};
use crate::part::{CLOSING_MM, Part, bounds, close, middle, ring_part};

/// The widest gap in an edge that is a slip of the pen, mm: what half the face of a wide lead hides.
pub(crate) const WIDEST_MM: f64 = 6.0;

/// An edge is so many times as long as a gap in it, at least.
const LEAST_LENGTH_GAPS: f64 = 20.0;

/// Tolerances tried one after the other where lines enclose less than they reach, mm.
const WIDER_MM: [f64; 3] = [1.0, 2.5, 5.0];

/// Share of the lines' length that may lie outside of what they enclose.
const OUTSIDE_SHARE: f64 = 0.01;

/// Areas of an edge drawn in curves and in chords differ by less, as a share.
const SAME_AREA_SHARE: f64 = 0.001;

/// An edge that was closed shares so much of its length with what was enclosed before, unless that lies apart within it.
const LEAST_SHARED: f64 = 0.25;

/// So many places along an edge are looked at for that.
const PLACES: usize = 200;

/// A gap in the edge that was closed.
#[derive(Debug, Clone)]
pub(crate) struct Gap {
    pub(crate) at: PanelPoint,
    pub(crate) mm: f64,
    pub(crate) way: Way,
    /// The line that closes it, if it is wider than a slip of the pen: nobody drew it.
    pub(crate) line: Option<Part>,
}

/// An edge and what was mended in it.
#[derive(Debug)]
pub(crate) struct Edge {
    pub(crate) part: Part,
    pub(crate) gaps: Vec<Gap>,
    /// Where it was left open, since nothing closes it within reason.
    pub(crate) open: Option<Opening>,
    /// Lines run along the edge if they are no farther from it, mm.
    pub(crate) within_mm: f64,
}

/// An end of a line that would be part of the edge if that went on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Opening {
    pub(crate) at: PanelPoint,
    /// How far it is from the edge that was found instead, mm.
    pub(crate) beyond_mm: f64,
}

impl Edge {
    /// One without gaps.
    pub(crate) fn whole(part: Part) -> Self {
        Self { part, gaps: Vec::new(), open: None, within_mm: 0.0 }
    }

    fn has_wide_gap(&self) -> bool {
        self.gaps.iter().any(|gap| gap.mm > WIDEST_MM)
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
    Some((*k, Edge { part: part.clone(), gaps: vec![gap.clone()], open: None, within_mm: gap.mm }))
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
    Some((closed, Gap { at: middle(first, last), mm, way: Way::Straight, line: None }))
}

/// The edge of everything that the lines enclose together; where they leave gaps wider than the tolerance, of what they
/// enclose when these are closed.
pub(crate) fn enclosing_edge(lines: &[&Part], join_mm: f64) -> Option<Edge> {
    let mut enclosure = Enclosure::of(lines, join_mm)?;
    let mut best = enclosure.ring();
    let mut within_mm = 0.0;
    let mut ends = enclosure.edge_ends(lines);
    let bridged = bridged_edge(lines, &ends, best.as_ref(), join_mm, within_mm);
    for wider in WIDER_MM.into_iter().filter(|wider| *wider > join_mm) {
        if best.as_ref().is_some_and(|ring| share_outside(lines, ring) <= OUTSIDE_SHARE) {
            break;
        }
        let Some(found) = Enclosure::of(lines, wider) else { continue };
        if let Some(ring) = found.ring().filter(|ring| area(Some(ring)) > 1.001 * area(best.as_ref())) {
            (enclosure, best, within_mm) = (found, Some(ring), wider);
        }
    }
    // Rather than by a wider tolerance, which moves lines elsewhere.
    let is_as_large = |edge: &Edge| edge.part.area_mm2() > (1.0 - SAME_AREA_SHARE) * area(best.as_ref());
    if let Some(edge) = bridged.filter(|edge| edge.has_wide_gap() && is_as_large(edge)) {
        return Some(edge);
    }
    if within_mm > 0.0 {
        ends = enclosure.edge_ends(lines);
    }
    if let Some(edge) = bridged_edge(lines, &ends, best.as_ref(), join_mm, within_mm) {
        return Some(edge);
    }
    let part = ring_part(&best?)?;
    let gaps = if within_mm > 0.0 { gaps(lines, &part, join_mm, within_mm) } else { Vec::new() };
    let open = left_open(&ends, &part);
    Some(Edge { part, gaps, open, within_mm })
}

/// The edge that lines with gaps in it enclose; `None` if they have none that are closed.
pub(crate) fn mended_edge(lines: &[&Part], join_mm: f64) -> Option<Edge> {
    enclosing_edge(lines, join_mm).filter(Edge::has_wide_gap)
}

/// The edge with gaps that lies within a frame as large as the page, if it encloses most of that.
pub(crate) fn edge_within_frame(lines: &[&Part], frame: &Part, join_mm: f64) -> Option<Edge> {
    let near = Near::new(std::iter::once(frame));
    let others: Vec<&Part> = lines.iter().copied().filter(|part| !runs_along(part, &near)).collect();
    let open = others.iter().filter(|part| !part.closed);
    let ends_on_frame = open
        .flat_map(|part| [part.points[0], part.points[part.points.len() - 1]])
        .any(|end| near.within(end, TOUCH_MM));
    if ends_on_frame {
        return None;
    }
    mended_edge(&others, join_mm).filter(|edge| edge.part.area_mm2() > 0.5 * frame.area_mm2())
}

/// How the lines are seen that are to be closed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Seen {
    /// They are mirrored against the file.
    pub(crate) is_mirrored: bool,
    /// The real width of the window, mm, if it was given: without an edge, the lines are only about at their real size.
    pub(crate) width_mm: Option<f64>,
}

/// Refuses an edge beyond which lines reach that are named as the edge.
///
/// # Errors
/// `OpenEdge`, with the widest gap between the ends of these lines, placed as in the file. Where the real width was given,
/// these lines are taken to be as wide.
pub(crate) fn check_reaches(named: &[&Part], edge: Option<&Part>, seen: Seen) -> Result<(), ImportError> {
    let Some([low, high]) = bounds(named.iter().copied().filter(|part| !part.closed)) else { return Ok(()) };
    let reaches = edge.and_then(|edge| bounds([edge])).is_some_and(|[from, to]| {
        (0..2).all(|axis| from[axis] <= low[axis] + OVERRUN_MM && to[axis] >= high[axis] - OVERRUN_MM)
    });
    let open = named.iter().filter(|part| !part.closed);
    let ends: Vec<PanelPoint> =
        open.flat_map(|part| [part.points[0], part.points[part.points.len() - 1]]).collect();
    let gap = |(k, &at): (usize, &PanelPoint)| {
        let others = ends.iter().enumerate().filter(|(other, _)| *other != k).map(|(_, end)| *end);
        let nearest = others.min_by(|a, b| (*a - at).length().total_cmp(&(*b - at).length()))?;
        Some((middle(at, nearest), (nearest - at).length()))
    };
    let widest = ends.iter().enumerate().filter_map(gap).max_by(|a, b| a.1.total_cmp(&b.1));
    match widest {
        Some((at, gap_mm)) if !reaches && gap_mm > WIDEST_MM => {
            let wide = high[0] - low[0];
            let scale = seen.width_mm.filter(|_| wide > 0.0).map_or(1.0, |width| width / wide);
            let x = if seen.is_mirrored { high[0] - at[0] } else { at[0] - low[0] };
            let at_mm = [x * scale, (at[1] - low[1]) * scale];
            Err(ImportError::OpenEdge { gap_mm: gap_mm * scale, at_mm })
        }
        _ => Ok(()),
    }
}

/// The edge of what the lines enclose once the gaps between their ends are closed; `None` if that is no more than they
/// enclose without (`before`), or the gaps are too much of it.
fn bridged_edge(
    lines: &[&Part],
    ends: &[EdgeEnd],
    before: Option<&Vec<PanelPoint>>,
    join_mm: f64,
    within_mm: f64,
) -> Option<Edge> {
    let [low, high] = bounds(lines.iter().copied())?;
    let most_mm = MOST_OPEN_SHARE * 2.0 * (high[0] - low[0] + high[1] - low[1]);
    let bridges = bridges(ends, lines, most_mm);
    if bridges.is_empty() {
        return None;
    }
    let all: Vec<&Part> = lines.iter().copied().chain(bridges.iter().map(|bridge| &bridge.part)).collect();
    let ring = Enclosure::of(&all, join_mm.max(within_mm))?.ring()?;
    if area(Some(&ring)) <= area(before) + CLOSING_MM * CLOSING_MM {
        return None;
    }
    let part = ring_part(&ring)?;
    if before.and_then(|ring| ring_part(ring)).is_some_and(|before| !holds_more(&part, &before, lines)) {
        // It may have a gap of its own: once more without what is not connected with it.
        let nets: HashSet<usize> =
            ends.iter().filter(|end| end.is_beside_pieces).map(|end| end.net).collect();
        let own: Vec<EdgeEnd> = ends.iter().copied().filter(|end| nets.contains(&end.net)).collect();
        let is_less = own.len() < ends.len();
        return if is_less { bridged_edge(lines, &own, before, join_mm, within_mm) } else { None };
    }
    let used = used(&bridges, &part);
    let open_mm: f64 = used.iter().map(|bridge| bridge.mm()).sum();
    if used.is_empty() || open_mm > MOST_OPEN_SHARE * part.length_mm() {
        return None;
    }
    let gap = |bridge: &&Bridge| {
        let (at, mm, way) = (bridge.at(), bridge.mm(), bridge.way);
        Gap { at, mm, way, line: (mm > WIDEST_MM).then(|| bridge.part.clone()) }
    };
    let mut gaps: Vec<Gap> = used.iter().map(gap).collect();
    if within_mm > 0.0 {
        gaps.extend(self::gaps(&all, &part, join_mm, within_mm));
    }
    let part = with_curves(lines, &used, &part).unwrap_or(part);
    Some(Edge { part, gaps, open: None, within_mm })
}

/// Whether an edge that was closed is the window's rather than a closed one within it: lines end on it beyond that, or on as
/// much of it, or the closed one is a part of it. A frame around a window has nothing of that.
pub(crate) fn holds_more(edge: &Part, within: &Part, lines: &[&Part]) -> bool {
    let (near, near_within) = (Near::new(std::iter::once(edge)), Near::new(std::iter::once(within)));
    let others = lines.iter().filter(|part| !part.closed && !runs_along(part, &near));
    let ends: Vec<PanelPoint> =
        others.flat_map(|part| [part.points[0], part.points[part.points.len() - 1]]).collect();
    let on = |near: &Near<'_>| ends.iter().filter(|end| near.within(**end, TOUCH_MM)).count();
    let beyond = |end: &PanelPoint| near.within(*end, TOUCH_MM) && !near_within.within(*end, TOUCH_MM);
    if on(&near) >= on(&near_within) || ends.iter().any(beyond) {
        return true;
    }
    let places = (0..PLACES).map(|k| (k as f64 + 0.5) / PLACES as f64);
    let shared = places.filter(|share| near_within.within(edge.place(*share), TOUCH_MM)).count();
    shared as f64 >= LEAST_SHARED * PLACES as f64
}

/// Of these bridges, those along an edge, each gap once.
fn used<'a>(bridges: &'a [Bridge], edge: &Part) -> Vec<&'a Bridge> {
    let near = Near::new(std::iter::once(edge));
    let mut along: Vec<&Bridge> = bridges.iter().filter(|bridge| runs_along(&bridge.part, &near)).collect();
    // From end to end rather than to what is whole beyond it.
    along.sort_by(|a, b| {
        b.is_between_loose_ends.cmp(&a.is_between_loose_ends).then(b.mm().total_cmp(&a.mm()))
    });
    let mut used: Vec<&Bridge> = Vec::new();
    for bridge in along {
        if !bridge.overlaps(used.iter().map(|bridge| &bridge.part)) {
            used.push(bridge);
        }
    }
    used
}

/// The edge as it was drawn, with its curves, if lines that bridges close meet end to end along it.
fn with_curves(lines: &[&Part], bridges: &[&Bridge], edge: &Part) -> Option<Part> {
    let near = Near::new(std::iter::once(edge));
    let along: Vec<&Part> =
        lines.iter().copied().filter(|part| !part.closed && runs_along(part, &near)).collect();
    let shape = if let [line] = along[..] { line.shape } else { usize::MAX };
    let ring = ring_of(along.into_iter().chain(bridges.iter().map(|bridge| &bridge.part)))?;
    let part = Part::new(ring, shape)?;
    let is_same = (part.area_mm2() - edge.area_mm2()).abs() < SAME_AREA_SHARE * edge.area_mm2();
    is_same.then_some(part)
}

/// The farthest end of a line that runs along the edge and then out of it without meeting anything.
fn left_open(ends: &[EdgeEnd], edge: &Part) -> Option<Opening> {
    let outside = |at: PanelPoint| !contains([&edge.points], at);
    let open = ends.iter().filter(|end| end.is_loose && end.is_beside_pieces && outside(end.at));
    open.map(|end| Opening { at: end.at, beyond_mm: edge.distance_mm(end.at) })
        .filter(|open| open.beyond_mm > OVERRUN_MM)
        .max_by(|a, b| a.beyond_mm.total_cmp(&b.beyond_mm))
}

fn area(ring: Option<&Vec<PanelPoint>>) -> f64 {
    ring.map_or(0.0, |ring| signed_area(ring).abs())
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
                gaps.push(Gap { at, mm, way: Way::Straight, line: None });
            }
        }
    }
    gaps
}
