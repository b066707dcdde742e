//! Lengthens or shortens a line so that its open end meets another.
//!
//! Nothing but the end changes: what else meets the line goes on meeting it.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point};
use panel::{Drawing, Line, read_path, write_path};
use plane::PanelPoint;

use crate::fault::FaultKind;
use crate::lines::{Lines, LooseEnd, OVERSHOOT_MM};
use crate::near::Near;
use crate::part::{Part, direction_at_end};

/// A line is lengthened in its own direction if it then meets the other within this many times their distance; otherwise
/// it turns to the other's nearest point.
const MOST_DETOUR: f64 = 1.5;

/// An end of the panel lies at most this far from the line's own, mm: the panel moves nothing farther than it joins.
const SAME_MM: f64 = 0.2;

/// A line this near to another meets it, mm.
const MEETING_MM: f64 = 0.2;

/// A cutline whose end meets another line.
#[derive(Debug, Clone, PartialEq)]
pub struct MendedLine {
    /// Its index among the drawing's cutlines.
    pub index: usize,
    /// Its path now: SVG path data, mm, y up.
    pub path: String,
}

/// The cutline that meets another; `None` if no line is near or the end is not where the line was drawn to.
///
/// `all`: every line of the drawing but its bars.
pub(crate) fn mended(
    drawing: &Drawing,
    lines: &Lines,
    all: &Near<'_>,
    end: &LooseEnd,
    kind: FaultKind,
) -> Option<MendedLine> {
    let Line::Cutline(index) = end.line else { return None };
    let (gap, nearest) = end.gap_mm.zip(end.nearest)?;
    let path = read_path(&drawing.cutlines.get(index)?.path).ok()?;
    let mut parts = subpaths(&path);
    let place = |point: Point| (point - Point::new(end.at[0], end.at[1])).hypot();
    let ends = parts.iter().enumerate().filter_map(|(k, part)| Some((k, ends(part)?)));
    let (part, at_start, distance) = ends
        .flat_map(|(k, [first, last])| [(k, true, place(first)), (k, false, place(last))])
        .min_by(|a, b| a.2.total_cmp(&b.2))?;
    if distance > SAME_MM {
        return None;
    }
    let turn = |path: &BezPath| if at_start { path.reverse_subpaths() } else { path.clone() };
    let own = turn(&parts[part]);
    let own_part = lines.part_that_ends(end.line, end.at)?;
    let chord = |(a, b)| (point(a), point(b));
    let others: Vec<(Point, Point)> = match end.is_outside {
        // Only the edge matters there.
        true => lines.outline.iter().flat_map(Part::edges).map(chord).collect(),
        false => all
            .edges_around(end.at)
            .filter(|(_, _, other)| !std::ptr::eq(*other, own_part))
            .map(|(a, b, _)| chord((a, b)))
            .collect(),
    };
    let changed = match kind {
        _ if end.is_outside => shortened(&own, &others, point(end.at), f64::INFINITY)?,
        FaultKind::Overshoot => shortened(&own, &others, point(end.at), OVERSHOOT_MM)?,
        _ => lengthened(&own, &others, point(nearest), gap)?,
    };
    parts[part] = turn(&changed);
    let whole = BezPath::from_vec(parts.iter().flat_map(|part| part.elements().iter().copied()).collect());
    Some(MendedLine { index, path: write_path(&whole) })
}

/// The path with its last point on another line.
fn lengthened(path: &BezPath, others: &[(Point, Point)], nearest: Point, gap: f64) -> Option<BezPath> {
    let directed = path.segments().filter_map(|segment| Some((segment.end(), direction_at_end(&segment)?)));
    let (end, direction) = directed.last()?;
    let ray = PathSeg::Line(kurbo::Line::new(end, end + direction * (MOST_DETOUR * gap)));
    let ahead = others
        .iter()
        .flat_map(|&(a, b)| ray.intersect_line(kurbo::Line::new(a, b)))
        .map(|hit| hit.segment_t)
        .min_by(f64::total_cmp);
    let to = ahead.map_or(nearest, |t| ray.eval(t));
    let mut elements = path.elements().to_vec();
    match elements.last_mut() {
        Some(PathEl::LineTo(point)) if ahead.is_some() => *point = to,
        _ => elements.push(PathEl::LineTo(to)),
    }
    Some(BezPath::from_vec(elements))
}

/// The path cut off where it last meets another line, at most so far from its end (mm).
fn shortened(path: &BezPath, others: &[(Point, Point)], end: Point, most_mm: f64) -> Option<BezPath> {
    let segments: Vec<PathSeg> = path.segments().collect();
    for (k, segment) in segments.iter().enumerate().rev() {
        let meets = others.iter().flat_map(|&(a, b)| {
            // What ends on this line may miss it by as much as the panel joins.
            let over = (b - a) * (MEETING_MM / (b - a).hypot().max(1e-9));
            segment.intersect_line(kurbo::Line::new(a - over, b + over))
        });
        let meets = meets.map(|hit| hit.segment_t.clamp(0.0, 1.0));
        let last = meets.filter(|t| (segment.eval(*t) - end).hypot() <= most_mm).max_by(f64::total_cmp);
        if let Some(t) = last {
            let kept = segments[..k].iter().copied().chain((t > 0.0).then(|| segment.subsegment(0.0..t)));
            return Some(BezPath::from_path_segments(kept)).filter(|path| path.elements().len() > 1);
        }
    }
    None
}

/// The connected parts of a path.
fn subpaths(path: &BezPath) -> Vec<BezPath> {
    let mut parts: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        match (element, parts.last_mut()) {
            (PathEl::MoveTo(_), _) | (_, None) => parts.push(BezPath::from_vec(vec![*element])),
            (_, Some(part)) => part.push(*element),
        }
    }
    parts
}

/// First and last point of an open part.
fn ends(part: &BezPath) -> Option<[Point; 2]> {
    let elements = part.elements();
    let first = elements.first()?.end_point()?;
    let last = elements.last()?.end_point()?;
    (elements.len() > 1).then_some([first, last])
}

fn point(point: PanelPoint) -> Point {
    Point::new(point[0], point[1])
}
