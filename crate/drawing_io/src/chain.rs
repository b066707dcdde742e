//! Lines end to end, once around a window.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point};
use plane::PanelPoint;

use crate::part::{CLOSING_MM, Part};

/// An edge with gaps wider than a slip of the pen is closed if they are no more than this share of its length, all
/// together. More is a side that is missing: the short side of a light four times as high as wide is a tenth of its edge,
/// and few lights are narrower.
pub(crate) const MOST_OPEN_SHARE: f64 = 0.1;

/// Most lines that an edge is followed through.
const MOST_LINES: usize = 500;

/// A point this near to the straight line past it is none, mm.
const STRAIGHT_MM: f64 = 0.001;

/// Lines in the order in which they follow one another, each from its first or from its last point.
struct Chain<'a> {
    lines: Vec<(&'a Part, bool)>,
    /// The gaps between them, mm.
    gaps_mm: Vec<f64>,
}

/// Whether open lines make one ring, the gaps between their ends no more than an edge may have.
pub(crate) fn is_ring(lines: &[Part]) -> bool {
    chain(lines.iter()).is_some_and(|chain| {
        let length_mm: f64 = lines.iter().map(Part::length_mm).sum();
        chain.gaps_mm.iter().sum::<f64>() <= MOST_OPEN_SHARE * length_mm
    })
}

/// The ring that open lines make, with their curves; `None` if they do not meet end to end.
pub(crate) fn ring_of<'a>(lines: impl Iterator<Item = &'a Part>) -> Option<BezPath> {
    let chain = chain(lines)?;
    if chain.gaps_mm.iter().any(|gap| *gap > CLOSING_MM) {
        return None;
    }
    let mut segments: Vec<PathSeg> = Vec::new();
    for (part, reversed) in &chain.lines {
        let path = if *reversed { part.path.reverse_subpaths() } else { part.path.clone() };
        for segment in path.segments().filter(|segment| segment.start() != segment.end()) {
            let end = segments.last().map(ParamCurve::end);
            let segment = end.map_or(segment, |end| from(segment, end));
            match (segments.last_mut(), segment) {
                (Some(PathSeg::Line(last)), PathSeg::Line(next))
                    if is_straight(last.p0, last.p1, next.p1) =>
                {
                    last.p1 = next.p1;
                }
                _ => segments.push(segment),
            }
        }
    }
    // The last joins the first.
    let end = segments.last()?.end();
    let first = segments.first_mut()?;
    *first = from(*first, end);
    if let (Some(PathSeg::Line(last)), Some(PathSeg::Line(first))) =
        (segments.last().copied(), segments.first_mut())
        && is_straight(last.p0, last.p1, first.p1)
    {
        first.p0 = last.p0;
        segments.pop();
    }
    let mut path = BezPath::from_path_segments(segments.into_iter());
    if matches!(path.elements().last(), Some(PathEl::LineTo(_))) {
        path.pop();
    }
    path.close_path();
    Some(path)
}

/// Open lines in the order in which each begins nearest to where the last one ends.
fn chain<'a>(lines: impl Iterator<Item = &'a Part>) -> Option<Chain<'a>> {
    let mut rest: Vec<&Part> = lines.take(MOST_LINES + 1).collect();
    if rest.is_empty() || rest.len() > MOST_LINES || rest.iter().any(|part| part.closed) {
        return None;
    }
    let last_of = |part: &Part| part.points[part.points.len() - 1];
    let first = rest.swap_remove(0);
    let mut chain = Chain { lines: vec![(first, false)], gaps_mm: Vec::new() };
    let mut at = last_of(first);
    let gap = |at: PanelPoint, point: PanelPoint| (point - at).length();
    while !rest.is_empty() {
        let nearest = |part: &Part| gap(at, part.points[0]).min(gap(at, last_of(part)));
        let next = (0..rest.len()).min_by(|&a, &b| nearest(rest[a]).total_cmp(&nearest(rest[b])))?;
        let part = rest.swap_remove(next);
        chain.gaps_mm.push(nearest(part));
        let reversed = gap(at, last_of(part)) < gap(at, part.points[0]);
        chain.lines.push((part, reversed));
        at = if reversed { part.points[0] } else { last_of(part) };
    }
    chain.gaps_mm.push(gap(at, first.points[0]));
    Some(chain)
}

/// The segment from another start.
fn from(segment: PathSeg, start: Point) -> PathSeg {
    match segment {
        PathSeg::Line(line) => PathSeg::Line(kurbo::Line::new(start, line.p1)),
        PathSeg::Quad(quad) => PathSeg::Quad(kurbo::QuadBez::new(start, quad.p1, quad.p2)),
        PathSeg::Cubic(cubic) => PathSeg::Cubic(kurbo::CubicBez::new(start, cubic.p1, cubic.p2, cubic.p3)),
    }
}

/// Whether a point lies on the way from one to another.
fn is_straight(from: Point, by: Point, to: Point) -> bool {
    let (along, step) = (to - from, by - from);
    step.cross(along).abs() <= STRAIGHT_MM * along.hypot() && (to - by).dot(step) >= 0.0
}
