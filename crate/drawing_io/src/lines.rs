//! The lines of a drawing, and how their ends lie to one another.

use kurbo::{ParamCurveNearest, PathSeg};
use panel::{Drawing, Line, OpenEnd, Panel, read_path};
use plane::{PanelPoint, distance_squared_to_segment};

use crate::fault::FaultKind;
use crate::near::{Near, runs_along};
use crate::part::{Part, middle, parts};

/// An end this near to another line was meant to meet it, mm: half the face of a wide lead hides the gap.
const NEAR_MM: f64 = 6.0;

/// A line that passes another by no more than this was meant to end on it, mm.
pub(crate) const OVERSHOOT_MM: f64 = 15.0;

/// A point this near to a line lies on it, mm: lines are compared as their chords.
const SAME_MM: f64 = 0.1;

/// Two lines of which this share runs together are one line drawn twice.
const DUPLICATE_SHARE: f64 = 0.95;

/// The lines of a drawing as polylines.
pub(crate) struct Lines {
    pub(crate) outline: Vec<Part>,
    pub(crate) cutlines: Vec<Vec<Part>>,
}

/// An end of a line that meets no other, or lies outside the window.
#[derive(Debug, Clone)]
pub(crate) struct LooseEnd {
    pub(crate) line: Line,
    pub(crate) at: PanelPoint,
    /// Distance from the nearest other line, mm; outside, from the window's edge.
    pub(crate) gap_mm: Option<f64>,
    /// The nearest point of that line.
    pub(crate) nearest: Option<PanelPoint>,
    pub(crate) is_outside: bool,
}

impl From<&OpenEnd> for LooseEnd {
    fn from(end: &OpenEnd) -> Self {
        let OpenEnd { line, at, gap_mm, nearest, .. } = *end;
        Self { line, at, gap_mm, nearest, is_outside: false }
    }
}

impl Lines {
    pub(crate) fn of(drawing: &Drawing) -> Self {
        let read = |data: &str| read_path(data).map_or_else(|_| Vec::new(), |path| parts(&path, 0));
        Self {
            outline: read(&drawing.outline.path),
            cutlines: drawing.cutlines.iter().map(|line| read(&line.path)).collect(),
        }
    }

    pub(crate) fn parts(&self, line: Line) -> &[Part] {
        match line {
            Line::Outline => &self.outline,
            Line::Cutline(index) => self.cutlines.get(index).map_or(&[], Vec::as_slice),
            Line::Bar(_) => &[],
        }
    }

    /// What an end in the middle of a piece is: short of a line ahead, or past one behind. `all`: every line but bars.
    pub(crate) fn kind_of_end(&self, end: &OpenEnd, all: &Near<'_>) -> FaultKind {
        let (at, Some(nearest)) = (end.at, end.nearest) else { return FaultKind::OpenEnd };
        let gap = (nearest - at).length();
        let behind = self.part_that_ends(end.line, at).is_some_and(|own| {
            direction_at_end(own, at).is_none_or(|inward| inward.dot(nearest - at) > 0.0)
                && (own.distance_mm(nearest) < 0.25 * gap || crosses(own, at, nearest, all))
        });
        match behind {
            true if gap <= OVERSHOOT_MM => FaultKind::Overshoot,
            false if gap <= NEAR_MM => FaultKind::NearMiss,
            _ => FaultKind::OpenEnd,
        }
    }

    /// The part of a line that ends nearest to a point.
    pub(crate) fn part_that_ends(&self, line: Line, at: PanelPoint) -> Option<&Part> {
        let distance = |part: &&Part| {
            let last = part.points[part.points.len() - 1];
            (part.points[0] - at).length().min((last - at).length())
        };
        let open = self.parts(line).iter().filter(|part| !part.closed);
        open.min_by(|a, b| distance(a).total_cmp(&distance(b)))
    }

    /// Whether two lines are one line drawn twice.
    pub(crate) fn is_duplicate(&self, line: Line, other: Line, within_mm: f64) -> bool {
        let share = |of: &[Part], on: &[Part]| {
            let near = Near::new(on.iter());
            let edges: Vec<_> = of.iter().flat_map(Part::edges).collect();
            let whole: f64 = edges.iter().map(|(a, b)| (*b - *a).length()).sum();
            let along = edges.iter().filter(|(a, b)| {
                [*a, *b, middle(*a, *b)].into_iter().all(|p| near.within(p, within_mm + 0.05))
            });
            along.map(|(a, b)| (*b - *a).length()).sum::<f64>() / whole.max(1e-9)
        };
        let (a, b) = (self.parts(line), self.parts(other));
        let open = |parts: &[Part]| parts.iter().all(|part| !part.closed);
        open(a) && open(b) && share(a, b).max(share(b, a)) >= DUPLICATE_SHARE
    }

    /// The gap between an end and the lines themselves: the panel measures it to their chords.
    pub(crate) fn true_gap_mm(&self, line: Line, at: PanelPoint, gap_mm: f64, all: &Near<'_>) -> f64 {
        let own = self.parts(line);
        let others =
            all.parts_within(at, gap_mm + 0.1).filter(|part| !own.iter().any(|own| std::ptr::eq(own, *part)));
        let point = kurbo::Point::new(at[0], at[1]);
        let segments = others.flat_map(|part| part.path.segments().collect::<Vec<_>>());
        let least = segments.map(|segment| segment.nearest(point, 1e-4).distance_sq).min_by(f64::total_cmp);
        least.map_or(gap_mm, f64::sqrt)
    }

    pub(crate) fn runs_along(&self, line: Line, near: &Near<'_>) -> bool {
        let own = self.parts(line);
        !own.is_empty() && own.iter().all(|part| runs_along(part, near))
    }

    /// Ends of cutlines outside the opening, with their distance from it, mm.
    pub(crate) fn ends_outside(&self, panel: &Panel, join_mm: f64) -> Vec<(LooseEnd, f64)> {
        let mut found = Vec::new();
        let parts =
            self.cutlines.iter().enumerate().flat_map(|(k, line)| line.iter().map(move |part| (k, part)));
        for (index, part) in parts.filter(|(_, part)| !part.closed) {
            let inside = part.points.iter().copied().chain(part.middles()).any(|p| panel.opening.contains(p));
            for at in [part.points[0], part.points[part.points.len() - 1]] {
                let beyond = panel.opening.distance_to_edge_mm(at);
                if inside && beyond > join_mm && !panel.opening.contains(at) {
                    // Farther out, it was meant to run there.
                    let is_near = beyond <= OVERSHOOT_MM;
                    let end = LooseEnd {
                        line: Line::Cutline(index),
                        at,
                        gap_mm: is_near.then_some(beyond),
                        nearest: self.nearest_on_edge(at).filter(|_| is_near),
                        is_outside: true,
                    };
                    found.push((end, beyond));
                }
            }
        }
        found
    }

    /// The nearest point of the window's edge.
    fn nearest_on_edge(&self, point: PanelPoint) -> Option<PanelPoint> {
        let nearest = |(a, b): (PanelPoint, PanelPoint)| {
            let along = b - a;
            let t = (point - a).dot(along) / along.dot(along).max(f64::MIN_POSITIVE);
            a + along * t.clamp(0.0, 1.0)
        };
        let distance = |p: &PanelPoint| (*p - point).length();
        let all = self.outline.iter().flat_map(Part::edges).map(nearest);
        all.min_by(|a, b| distance(a).total_cmp(&distance(b)))
    }
}

/// Whether a part crosses, shortly before its end, the line on which the nearest point lies.
fn crosses(own: &Part, end: PanelPoint, nearest: PanelPoint, all: &Near<'_>) -> bool {
    let line = |a: PanelPoint, b: PanelPoint| kurbo::Line::new((a[0], a[1]), (b[0], b[1]));
    let near = |a, b| distance_squared_to_segment(end, a, b) <= OVERSHOOT_MM * OVERSHOOT_MM;
    // A part has many stretches near the end.
    let mut known: Vec<(*const Part, bool)> = vec![(own, false)];
    let mut is_other = |part: &Part| match known.iter().find(|(of, _)| std::ptr::eq(*of, part)) {
        Some((_, is_other)) => *is_other,
        None => {
            let is_other = part.distance_mm(nearest) < SAME_MM;
            known.push((part, is_other));
            is_other
        }
    };
    let mut others: Vec<kurbo::Line> = Vec::new();
    for (a, b, part) in all.edges_around(end) {
        if near(a, b) && is_other(part) {
            others.push(line(a, b));
        }
    }
    own.edges().filter(|(a, b)| near(*a, *b)).any(|(a, b)| {
        let own = PathSeg::Line(line(a, b));
        others.iter().any(|other| !own.intersect_line(*other).is_empty())
    })
}

/// The direction in which a part runs on from its end at this point.
fn direction_at_end(part: &Part, at: PanelPoint) -> Option<plane::PanelVector> {
    let last = part.points.len() - 1;
    let from = |end: usize, next: usize| {
        let (end, next) = (part.points[end], part.points[next]);
        ((end - at).length() < 1.0).then(|| next - end)
    };
    from(0, 1).or_else(|| from(last, last - 1))
}
