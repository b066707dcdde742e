//! Paths in connected parts, in millimetres of the panel.

use kurbo::{BezPath, ParamCurve, PathEl, PathSeg, Point, Vec2};
use plane::{PanelPoint, distance_squared_to_segment};

/// Ends nearer than this close a part: coordinates are often rounded, and a Z forgotten.
pub(crate) const CLOSING_MM: f64 = 0.5;

/// A way back within this distance of the way there is the same line, mm.
const RETURN_MM: f64 = 0.05;

/// Largest deviation by which polylines are simplified, mm.
const SIMPLIFYING_MM: f64 = 0.01;

/// Largest deviation between a curve and its chords where shapes are only compared, mm.
const FLATTENING_MM: f64 = 0.05;

/// One connected part of a shape.
#[derive(Debug, Clone)]
pub(crate) struct Part {
    pub(crate) path: BezPath,
    pub(crate) closed: bool,
    /// The path as a polyline. A closed part does not repeat its first point.
    pub(crate) points: Vec<PanelPoint>,
    /// Index of the shape it is a part of.
    pub(crate) shape: usize,
}

/// The parts of a path in mm.
pub(crate) fn parts(path: &BezPath, shape: usize) -> Vec<Part> {
    let mut paths: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        match element {
            PathEl::MoveTo(_) => paths.push(BezPath::from_vec(vec![*element])),
            _ => {
                if let Some(path) = paths.last_mut() {
                    path.push(*element);
                }
            }
        }
    }
    paths.retain(|path| path.elements().len() > 1);
    paths
        .into_iter()
        .map(|path| outward(&path).unwrap_or(path))
        .filter_map(|path| Part::new(path, shape))
        .collect()
}

/// The first half of a path that comes back the way it went, as some programs write every line; `None` for any other.
fn outward(path: &BezPath) -> Option<BezPath> {
    let segments: Vec<PathSeg> = path.segments().filter(|segment| segment.start() != segment.end()).collect();
    let half = segments.len() / 2;
    if half == 0 || segments.len() % 2 == 1 {
        return None;
    }
    let comes_back = (0..half).all(|k| {
        let (there, back) = (segments[k], segments[segments.len() - 1 - k].reverse());
        [0.0, 0.25, 0.5, 0.75, 1.0].iter().all(|&t| (there.eval(t) - back.eval(t)).hypot() < RETURN_MM)
    });
    comes_back.then(|| BezPath::from_path_segments(segments.into_iter().take(half)))
}

impl Part {
    /// `None` if the path has no length.
    pub(crate) fn new(mut path: BezPath, shape: usize) -> Option<Self> {
        let mut points: Vec<PanelPoint> = Vec::new();
        kurbo::flatten(path.elements().iter().copied(), FLATTENING_MM, |element| {
            if let PathEl::MoveTo(p) | PathEl::LineTo(p) = element {
                points.push(PanelPoint::new(p.x, p.y));
            }
        });
        points.dedup();
        let said = path.elements().last() == Some(&PathEl::ClosePath);
        let (first, last) = (*points.first()?, *points.last()?);
        let length: f64 = points.windows(2).map(|pair| (pair[1] - pair[0]).length()).sum();
        let gap = (last - first).length();
        let meets = gap <= CLOSING_MM && length > 4.0 * CLOSING_MM;
        let closed = said || meets;
        if closed {
            if first == last || meets {
                points.pop();
            }
            if !said {
                close(&mut path);
            }
        }
        points.dedup();
        (points.len() > usize::from(closed) + 1).then_some(Self { path, closed, points, shape })
    }

    /// Closes the part by a straight line from its end to its start, if it has three points at least.
    pub(crate) fn close(&mut self) {
        if !self.closed && self.points.len() > 2 {
            self.path.close_path();
            self.closed = true;
        }
    }

    /// Edges of the polyline, with the closing one.
    pub(crate) fn edges(&self) -> impl Iterator<Item = (PanelPoint, PanelPoint)> {
        let closing = self.closed.then(|| (self.points[self.points.len() - 1], self.points[0]));
        self.points.windows(2).map(|pair| (pair[0], pair[1])).chain(closing)
    }

    /// The middles of its edges.
    pub(crate) fn middles(&self) -> impl Iterator<Item = PanelPoint> {
        self.edges().map(|(a, b)| middle(a, b))
    }

    /// Length, mm.
    pub(crate) fn length_mm(&self) -> f64 {
        self.edges().map(|(a, b)| (b - a).length()).sum()
    }

    /// The place after a share of the way along it.
    pub(crate) fn place(&self, share: f64) -> PanelPoint {
        let mut rest = share * self.length_mm();
        for (a, b) in self.edges() {
            let length = (b - a).length();
            if rest <= length {
                return a + (b - a) * (rest / length.max(1e-12));
            }
            rest -= length;
        }
        self.points[self.points.len() - 1]
    }

    /// Area enclosed by a closed part, mm²; 0 for an open one.
    pub(crate) fn area_mm2(&self) -> f64 {
        if self.closed { plane::signed_area(&self.points).abs() } else { 0.0 }
    }

    /// Distance from a point to the nearest point of the part, mm.
    pub(crate) fn distance_mm(&self, point: PanelPoint) -> f64 {
        self.edges()
            .map(|(a, b)| distance_squared_to_segment(point, a, b))
            .fold(f64::INFINITY, f64::min)
            .sqrt()
    }

    /// Whether all of its edges are straight and run one after the other in one direction.
    pub(crate) fn is_straight(&self) -> bool {
        let (Some(&first), Some(&last)) = (self.points.first(), self.points.last()) else { return false };
        !self.closed && (last - first).length() > 0.999 * self.length_mm()
    }
}

/// The point half-way.
pub(crate) fn middle(a: PanelPoint, b: PanelPoint) -> PanelPoint {
    PanelPoint::new((a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0)
}

/// Closes a path whose end lies near its start: the end moves there.
pub(crate) fn close(path: &mut BezPath) {
    let Some(PathEl::MoveTo(start)) = path.elements().first().copied() else { return };
    if let Some(last) = path.elements_mut().last_mut() {
        match last {
            PathEl::LineTo(p) | PathEl::QuadTo(_, p) | PathEl::CurveTo(_, _, p) => *p = start,
            PathEl::MoveTo(_) | PathEl::ClosePath => {}
        }
    }
    path.close_path();
}

/// Unit vector in which a segment arrives at its end.
pub(crate) fn direction_at_end(segment: &PathSeg) -> Option<Vec2> {
    let from = match *segment {
        PathSeg::Line(line) => vec![line.p0],
        PathSeg::Quad(quad) => vec![quad.p1, quad.p0],
        PathSeg::Cubic(cubic) => vec![cubic.p2, cubic.p1, cubic.p0],
    };
    let directions = from.into_iter().map(|from| segment.end() - from);
    directions.into_iter().find(|direction| direction.hypot() > 1e-6).map(Vec2::normalize)
}

/// A polyline as a path.
pub(crate) fn path_of(points: &[PanelPoint], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    for (k, point) in points.iter().enumerate() {
        let p = Point::new(point[0], point[1]);
        if k == 0 {
            path.move_to(p);
        } else {
            path.line_to(p);
        }
    }
    if closed && !points.is_empty() {
        path.close_path();
    }
    path
}

/// A polyline as a path, without the points that lie on the way.
pub(crate) fn simplified(points: &[PanelPoint]) -> BezPath {
    let mut kept = vec![true; points.len()];
    let mut stack = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = stack.pop() {
        let distance = |k: usize| distance_squared_to_segment(points[k], points[from], points[to]);
        let farthest = (from + 1..to).max_by(|&i, &j| distance(i).total_cmp(&distance(j)));
        match farthest.filter(|&k| distance(k) > SIMPLIFYING_MM * SIMPLIFYING_MM) {
            Some(k) => stack.extend([(from, k), (k, to)]),
            None => (from + 1..to).for_each(|k| kept[k] = false),
        }
    }
    let kept: Vec<PanelPoint> =
        points.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(p, _)| *p).collect();
    path_of(&kept, false)
}

/// A ring as a part.
pub(crate) fn ring_part(ring: &[PanelPoint]) -> Option<Part> {
    Part::new(path_of(ring, true), usize::MAX)
}

/// Bounding box of parts: lower left and upper right corner.
pub(crate) fn bounds<'a>(parts: impl IntoIterator<Item = &'a Part>) -> Option<[PanelPoint; 2]> {
    plane::bounds(parts.into_iter().flat_map(|part| &part.points))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(data: &str) -> Vec<Part> {
        parts(&panel::read_path(data).expect("a path"), 0)
    }

    #[test]
    fn parts_close_when_their_ends_meet() {
        let parts = of("M0 0H100V50H0V.02 M10 10L20 20 M5 5H9V9H5Z M3 3Z M7 7");
        let closed: Vec<(bool, usize)> = parts.iter().map(|part| (part.closed, part.points.len())).collect();
        assert_eq!(closed, [(true, 4), (false, 2), (true, 4)]);
        assert!((parts[0].area_mm2() - 5000.0).abs() < 1.0);
        assert!(matches!(parts[0].path.elements().last(), Some(PathEl::ClosePath)));
    }

    #[test]
    fn a_line_that_comes_back_is_one_line() {
        let parts = of("M0 0L100 0Z M0 50C30 80 70 20 100 50C70 20 30 80 0 50Z M0 0H50V50H0Z");
        let closed: Vec<(bool, usize)> =
            parts.iter().map(|part| (part.closed, part.path.segments().count())).collect();
        assert_eq!(closed, [(false, 1), (false, 1), (true, 4)]);
    }

    #[test]
    fn a_short_line_is_not_closed() {
        let parts = of("M0 0L0.3 0 M0 0C0 40 40 40 40 0");
        assert_eq!(parts.iter().map(|part| part.closed).collect::<Vec<_>>(), [false, false]);
        assert!(parts[0].is_straight() && !parts[1].is_straight());
        assert!((parts[0].distance_mm(PanelPoint::new(0.1, 2.0)) - 2.0).abs() < 1e-12);
    }
}
