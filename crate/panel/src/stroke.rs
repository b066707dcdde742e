//! Lines of a drawing as polylines on the lattice.

use crate::drawing::Line;
use crate::lattice::Point;
use crate::path::Polyline;

/// One connected part of a line.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Stroke {
    /// At least two points, no two neighbours equal. A closed stroke does not repeat its first point.
    pub(crate) points: Vec<Point>,
    pub(crate) closed: bool,
    /// Which line: index into [`Strokes::lines`].
    pub(crate) line: usize,
    /// Which part of that line, counted in ascending order of the parts as drawn.
    pub(crate) part: usize,
}

impl Stroke {
    pub(crate) fn segment_count(&self) -> usize {
        if self.closed { self.points.len() } else { self.points.len() - 1 }
    }

    /// Segment `i`, from point `i` to the next.
    pub(crate) fn segment(&self, i: usize) -> (Point, Point) {
        let next = if i + 1 == self.points.len() { 0 } else { i + 1 };
        (self.points[i], self.points[next])
    }

    /// All segments, each from its point to the next.
    pub(crate) fn segments(&self) -> impl Iterator<Item = (Point, Point)> {
        (0..self.segment_count()).map(|i| self.segment(i))
    }

    /// Length, steps.
    pub(crate) fn length(&self) -> f64 {
        self.segments().map(|(a, b)| a.distance(b)).sum()
    }
}

/// A line's name and width.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LineInfo {
    pub(crate) line: Line,
    pub(crate) face_mm: f64,
}

/// The outline and cutlines of a drawing.
#[derive(Debug, Clone)]
pub(crate) struct Strokes {
    /// The outline first, counterclockwise; then cutlines in an order that depends on geometry alone.
    pub(crate) strokes: Vec<Stroke>,
    /// The outline first, then the cutlines in the order of their first stroke.
    pub(crate) lines: Vec<LineInfo>,
}

/// A part of a line on the lattice; `None` if all its points coincide.
pub(crate) fn stroke_from(part: &Polyline, line: usize) -> Option<Stroke> {
    let mut points: Vec<Point> = part.points.iter().map(|&p| Point::from_mm(p)).collect();
    points.dedup();
    let mut closed = part.closed;
    if points.len() > 2 && points.first() == points.last() {
        points.pop();
        closed = true;
    }
    // A loop needs three points; two points make a line there and back.
    let closed = closed && points.len() > 2;
    if points.len() >= 2 { Some(Stroke { points, closed, line, part: 0 }) } else { None }
}
