//! Finding the lines near an end or a corner while near misses are joined.

use crate::grid::SegmentGrid;
use crate::lattice::{Point, nearest_on_segment, turn};
use crate::stroke::Stroke;
use crate::tiles::Tiles;
use std::cell::Cell;
use std::cmp::Ordering;

/// Maximum number of pairs of points and segments examined; a panel of 5 000 wavy pieces needed 343 000.
pub(crate) const WORK_LIMIT: usize = 50_000_000;

/// How far a segment may have moved since the grid was made, in snapping distances.
const MOVED: f64 = 6.0;

/// An index of the strokes' segments by place. It stays valid while strokes are moved by a few snapping distances.
pub(crate) struct Nearby {
    grid: SegmentGrid,
    /// Stroke and segment of each grid item.
    places: Vec<(usize, usize)>,
    /// Distance along each stroke to each of its points, and its whole length. Empty for a stroke without
    /// segments here.
    along: Vec<Vec<f64>>,
    /// How many segments each stroke has lost at its start.
    pub(crate) lost: Vec<usize>,
    snap: f64,
}

/// A point of another line near a given one.
#[derive(Clone, Copy)]
pub(crate) struct Near {
    pub(crate) distance: f64,
    pub(crate) at: [f64; 2],
    pub(crate) stroke: usize,
    pub(crate) segment: usize,
}

impl Nearby {
    /// Of all strokes, or only of those that touch `within`.
    pub(crate) fn new(strokes: &[Stroke], snap: f64, within: Option<&Tiles>) -> Self {
        let mut places = Vec::new();
        let mut segments = Vec::new();
        let mut along = Vec::with_capacity(strokes.len());
        for (index, stroke) in strokes.iter().enumerate() {
            let before = segments.len();
            for (i, segment) in stroke.segments().enumerate() {
                if within.is_none_or(|tiles| tiles.touches(segment)) {
                    places.push((index, i));
                    segments.push(segment);
                }
            }
            let mut lengths = Vec::new();
            if segments.len() > before {
                let mut length = 0.0;
                lengths.push(length);
                for (a, b) in stroke.segments() {
                    length += a.distance(b);
                    lengths.push(length);
                }
            }
            along.push(lengths);
        }
        Nearby { grid: SegmentGrid::new(&segments), places, along, lost: vec![0; strokes.len()], snap }
    }

    /// Visits the segments within `radius` of `p`, and possibly others, by stroke and segment index.
    pub(crate) fn visit(
        &self,
        strokes: &[Stroke],
        p: Point,
        radius: f64,
        mut visit: impl FnMut(usize, usize),
    ) {
        self.grid.near(p.steps(), radius + MOVED * self.snap, |item| {
            let (stroke, segment) = self.places[item];
            // A moved end may have swallowed segments: visit the one in their place.
            let last = strokes[stroke].segment_count() - 1;
            visit(stroke, segment.saturating_sub(self.lost[stroke]).min(last));
        });
    }

    /// Nearest point within `radius` of `p` on the segments that `accept` allows.
    pub(crate) fn nearest(
        &self,
        strokes: &[Stroke],
        p: Point,
        radius: f64,
        work: &Cell<usize>,
        accept: impl Fn(usize, usize) -> bool,
    ) -> Option<Near> {
        if work.get() > WORK_LIMIT {
            return None;
        }
        let mut best: Option<Near> = None;
        self.visit(strokes, p, radius, |stroke, segment| {
            work.set(work.get() + 1);
            if !accept(stroke, segment) {
                return;
            }
            let (a, b) = strokes[stroke].segment(segment);
            let (at, distance) = nearest_on_segment(p, a, b);
            let closer = best
                .is_none_or(|near| (distance, stroke, segment) < (near.distance, near.stroke, near.segment));
            if distance <= radius && closer {
                best = Some(Near { distance, at, stroke, segment });
            }
        });
        best
    }

    /// True if a segment of the same stroke lies farther along it than the bend of a corner reaches.
    pub(crate) fn is_elsewhere(
        &self,
        strokes: &[Stroke],
        stroke: usize,
        point: usize,
        segment: usize,
    ) -> bool {
        let along = &self.along[stroke];
        let whole = along[along.len() - 1];
        let apart = |a: f64, b: f64| {
            let d = (a - b).abs();
            if strokes[stroke].closed { d.min(whole - d) } else { d }
        };
        let here = along[point];
        apart(here, along[segment]).min(apart(here, along[segment + 1])) > 8.0 * self.snap
    }
}

/// The place `distance` along a stroke from one of its points (backward where negative), or its end.
pub(crate) fn walk(line: &Stroke, point: usize, distance: f64) -> Point {
    let count = line.points.len();
    let mut left = distance.abs();
    let mut at = point;
    loop {
        let next = match (distance > 0.0, line.closed) {
            (true, true) => (at + 1) % count,
            (false, true) => (at + count - 1) % count,
            (true, false) if at + 1 < count => at + 1,
            (false, false) if at > 0 => at - 1,
            _ => return line.points[at],
        };
        let length = line.points[at].distance(line.points[next]);
        if length >= left {
            let (start, d) = (line.points[at].steps(), line.points[at].vector_to(line.points[next]));
            let t = if length > 0.0 { left / length } else { 0.0 };
            return Point::from_steps([start[0] + t * d[0], start[1] + t * d[1]]);
        }
        left -= length;
        at = next;
        if at == point {
            return line.points[at];
        }
    }
}

/// True if two segments cross or touch; exact.
pub(crate) fn meets(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (s, t) = (turn(a, b, c), turn(a, b, d));
    let (u, v) = (turn(c, d, a), turn(c, d, b));
    if s == t && s != Ordering::Equal || u == v && u != Ordering::Equal {
        return false;
    }
    let overlap = |a: i64, b: i64, c: i64, d: i64| a.min(b) <= c.max(d) && c.min(d) <= a.max(b);
    overlap(a.x, b.x, c.x, d.x) && overlap(a.y, b.y, c.y, d.y)
}

/// Groups points that lie within `reach` of one another, directly or through others; groups and their
/// members in ascending order.
pub(crate) fn clusters(points: &[Point], reach: f64, work: &Cell<usize>) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    sorting::by_key(&mut order, |&i| (points[i], i));
    let mut parent: Vec<usize> = (0..points.len()).collect();
    fn root(parent: &mut [usize], mut i: usize) -> usize {
        while parent[i] != i {
            parent[i] = parent[parent[i]];
            i = parent[i];
        }
        i
    }
    // Sweep over x. Identical points are linked to the first of them, so that many in one place stay linear.
    let mut active: std::collections::VecDeque<usize> = std::collections::VecDeque::new();
    let mut last: Option<usize> = None;
    for &i in &order {
        if let Some(previous) = last.filter(|&previous| points[previous] == points[i]) {
            let (a, b) = (root(&mut parent, previous), root(&mut parent, i));
            parent[a.max(b)] = a.min(b);
            continue;
        }
        last = Some(i);
        while active.front().is_some_and(|&j| ((points[i].x - points[j].x) as f64) > reach) {
            active.pop_front();
        }
        work.set(work.get() + active.len());
        if work.get() > WORK_LIMIT {
            break;
        }
        for &j in &active {
            if points[i].distance(points[j]) <= reach {
                let (a, b) = (root(&mut parent, i), root(&mut parent, j));
                parent[a.max(b)] = a.min(b);
            }
        }
        active.push_back(i);
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); points.len()];
    for i in 0..points.len() {
        let r = root(&mut parent, i);
        groups[r].push(i);
    }
    groups.into_iter().filter(|group| !group.is_empty()).collect()
}
