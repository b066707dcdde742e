//! Joining near misses: ends that stop just short of, or just past, the line they belong to, and corners or
//! curves that all but touch another line.
//!
//! A gap too small to see would otherwise merge two pieces of glass without a word. The outline never moves.

use crate::fault::{PanelFault, PanelNote};
use crate::grid::SegmentGrid;
use crate::lattice::{Point, STEPS_PER_MM, cross, dot, nearest_on_segment, turn};
use crate::stroke::{Stroke, Strokes};
use std::cell::Cell;
use std::cmp::Ordering;

/// Closer than this, in steps, is touching: the splitting of lines at their meeting points sees to it.
const TOUCHING: f64 = 1.0;

/// Most rounds of joining ends.
const JOIN_ROUNDS: usize = 4;

/// Most pairs of points and segments looked at; a panel of 5 000 wavy pieces took 343 000.
const WORK_LIMIT: usize = 50_000_000;

/// Smallest move worth a note, mm.
const NOTED_MM: f64 = 1e-3;

/// Moves ends and near-touching points onto the lines they miss by at most `snap_mm`.
pub(crate) fn join_near_misses(
    drawn: &mut Strokes,
    snap_mm: f64,
    notes: &mut Vec<PanelNote>,
) -> Result<(), PanelFault> {
    let snap = snap_mm * STEPS_PER_MM;
    let work = Cell::new(0);
    join_ends(drawn, snap, notes, &work)?;
    Joiner::new(drawn, snap, notes, &work).join_near_touches()?;
    insert_bends(drawn, snap);
    tidy(&mut drawn.strokes);
    join_ends(drawn, snap, notes, &work)
}

/// Joins ends until none moves: an end that lay on a line which was itself moved must follow it.
fn join_ends(
    drawn: &mut Strokes,
    snap: f64,
    notes: &mut Vec<PanelNote>,
    work: &Cell<usize>,
) -> Result<(), PanelFault> {
    for _ in 0..JOIN_ROUNDS {
        let moved = Joiner::new(drawn, snap, notes, work).join_ends()?;
        tidy(&mut drawn.strokes);
        if !moved {
            break;
        }
    }
    Ok(())
}

struct Joiner<'a> {
    drawn: &'a mut Strokes,
    snap: f64,
    notes: &'a mut Vec<PanelNote>,
    grid: SegmentGrid,
    /// Stroke and segment of each grid item.
    places: Vec<(usize, usize)>,
    /// Distance along each stroke to each of its points, and its whole length.
    along: Vec<Vec<f64>>,
    /// Pairs looked at so far.
    work: &'a Cell<usize>,
}

/// A point of another line near a given one.
#[derive(Clone, Copy)]
struct Near {
    distance: f64,
    at: [f64; 2],
    stroke: usize,
    segment: usize,
}

impl<'a> Joiner<'a> {
    fn new(drawn: &'a mut Strokes, snap: f64, notes: &'a mut Vec<PanelNote>, work: &'a Cell<usize>) -> Self {
        let mut places = Vec::new();
        let mut segments = Vec::new();
        let mut along = Vec::new();
        for (index, stroke) in drawn.strokes.iter().enumerate() {
            let mut lengths = vec![0.0];
            for i in 0..stroke.segment_count() {
                let (a, b) = stroke.segment(i);
                places.push((index, i));
                segments.push((a, b));
                lengths.push(lengths[i] + a.distance(b));
            }
            along.push(lengths);
        }
        Joiner { drawn, snap, notes, grid: SegmentGrid::new(&segments), places, along, work }
    }

    /// Nearest point within `radius` of `p` on segments that `accept` takes.
    ///
    /// The grid holds the segments as drawn; moves since then are below `snap`, hence the wider look.
    fn nearest(&self, p: Point, radius: f64, accept: impl Fn(usize, usize) -> bool) -> Option<Near> {
        if self.work.get() > WORK_LIMIT {
            return None;
        }
        let mut best: Option<Near> = None;
        self.grid.near(p.steps(), radius + 2.0 * self.snap, |item| {
            self.work.set(self.work.get() + 1);
            let (stroke, segment) = self.places[item];
            if !accept(stroke, segment) || segment >= self.drawn.strokes[stroke].segment_count() {
                return;
            }
            let (a, b) = self.drawn.strokes[stroke].segment(segment);
            let (at, distance) = nearest_on_segment(p, a, b);
            let closer = best
                .is_none_or(|near| (distance, stroke, segment) < (near.distance, near.stroke, near.segment));
            if distance <= radius && closer {
                best = Some(Near { distance, at, stroke, segment });
            }
        });
        best
    }

    /// True where a segment of the same stroke lies farther along it than the bend of a corner reaches.
    fn is_elsewhere(&self, stroke: usize, point: usize, segment: usize) -> bool {
        let along = &self.along[stroke];
        let whole = along[along.len() - 1];
        let apart = |a: f64, b: f64| {
            let d = (a - b).abs();
            if self.drawn.strokes[stroke].closed { d.min(whole - d) } else { d }
        };
        let here = along[point];
        apart(here, along[segment]).min(apart(here, along[segment + 1])) > 8.0 * self.snap
    }

    fn note(&mut self, stroke: usize, from: Point, to: Point) {
        let gap_mm = from.distance(to) / STEPS_PER_MM;
        if gap_mm >= NOTED_MM {
            let line = self.drawn.lines[self.drawn.strokes[stroke].line].line;
            self.notes.push(PanelNote::Joined { line, at: from.mm(), gap_mm });
        }
    }

    /// Returns whether anything moved.
    fn join_ends(&mut self) -> Result<bool, PanelFault> {
        let mut any = false;
        // Ends: (stroke, is_last), in the strokes' own order.
        let ends: Vec<(usize, bool)> = (0..self.drawn.strokes.len())
            .filter(|&i| !self.drawn.strokes[i].closed)
            .flat_map(|i| [(i, false), (i, true)])
            .collect();
        let place = |work: &Self, (stroke, last): (usize, bool)| {
            let points = &work.drawn.strokes[stroke].points;
            points[if last { points.len() - 1 } else { 0 }]
        };
        let points: Vec<Point> = ends.iter().map(|&end| place(self, end)).collect();
        for cluster in clusters(&points, self.snap, self.work) {
            let mut distinct: Vec<Point> = cluster.iter().map(|&i| points[i]).collect();
            distinct.sort();
            distinct.dedup();
            let count = distinct.len() as i64;
            let meeting = Point {
                x: distinct.iter().map(|p| p.x).sum::<i64>() / count,
                y: distinct.iter().map(|p| p.y).sum::<i64>() / count,
            };
            let members: Vec<(usize, bool)> = cluster.iter().map(|&i| ends[i]).collect();
            let target = self.meeting_place(&members, meeting);
            for (&i, &(stroke, last)) in cluster.iter().zip(&members) {
                if points[i] != target {
                    self.note(stroke, points[i], target);
                    self.move_end(stroke, last, target);
                    any = true;
                }
            }
        }
        self.within_limit().map(|()| any)
    }

    fn within_limit(&self) -> Result<(), PanelFault> {
        if self.work.get() > WORK_LIMIT {
            return Err(PanelFault::TooMuch { what: "points near other lines", limit: WORK_LIMIT });
        }
        Ok(())
    }

    /// Where ends that meet at `meeting` belong: on the nearest other line within reach, or where they are.
    fn meeting_place(&self, members: &[(usize, bool)], meeting: Point) -> Point {
        // Members stand in ascending order: those of one stroke, two at most, side by side.
        let accept = |stroke: usize, segment: usize| {
            let first = members.partition_point(|&(own, _)| own < stroke);
            members[first..].iter().take_while(|&&(own, _)| own == stroke).all(|&(own, last)| {
                let end = if last { self.drawn.strokes[own].points.len() - 1 } else { 0 };
                self.is_elsewhere(own, end, segment)
            })
        };
        let Some(near) = self.nearest(meeting, self.snap, accept) else { return meeting };
        if near.distance <= TOUCHING {
            return meeting;
        }
        let (a, b) = self.drawn.strokes[near.stroke].segment(near.segment);
        if let [(stroke, last)] = *members {
            // One end: lengthen or shorten the line in its own direction, if that soon meets the other.
            let points = &self.drawn.strokes[stroke].points;
            let before = if last { points[points.len() - 2] } else { points[1] };
            let (d, e) = (before.vector_to(meeting), a.vector_to(b));
            let denominator = cross(d, e);
            let t = cross(meeting.vector_to(a), e) / denominator;
            let s = cross(meeting.vector_to(a), d) / denominator;
            let reach = t * dot(d, d).sqrt();
            if denominator != 0.0 && (0.0..=1.0).contains(&s) && reach.abs() <= 4.0 * self.snap {
                let start = meeting.steps();
                return Point::from_steps([start[0] + t * d[0], start[1] + t * d[1]]);
            }
        }
        Point::from_steps(near.at)
    }

    fn move_end(&mut self, stroke: usize, last: bool, target: Point) {
        let snap = self.snap;
        let points = &mut self.drawn.strokes[stroke].points;
        // Points closer to the end than it may move would fold the line back upon itself.
        if last {
            points.pop();
            while points.len() > 1 && points[points.len() - 1].distance(target) < snap {
                points.pop();
            }
            points.push(target);
        } else {
            let keep = (1..points.len() - 1).find(|&i| points[i].distance(target) >= snap);
            points.drain(0..keep.unwrap_or(points.len() - 1));
            points.insert(0, target);
        }
    }

    /// Inner points that all but touch another line, where the distance is least, are moved onto it.
    fn join_near_touches(&mut self) -> Result<(), PanelFault> {
        for stroke in 1..self.drawn.strokes.len() {
            let (count, closed) =
                (self.drawn.strokes[stroke].points.len(), self.drawn.strokes[stroke].closed);
            let inner = if closed { 0..count } else { 1..count - 1 };
            for point in inner {
                self.join_touch(stroke, point);
            }
        }
        self.within_limit()
    }

    fn join_touch(&mut self, stroke: usize, point: usize) {
        let here = self.drawn.strokes[stroke].points[point];
        let elsewhere =
            |other: usize, segment: usize| other != stroke || self.is_elsewhere(stroke, point, segment);
        let Some(near) = self.nearest(here, self.snap, elsewhere) else { return };
        if near.distance <= TOUCHING {
            return;
        }
        // Is this where the two come closest, and do they not cross or meet close by anyway?
        let reach = 2.0 * self.snap;
        let sides = [self.walk(stroke, point, -reach), self.walk(stroke, point, reach)];
        for side in sides {
            let nearer = self.nearest(side, near.distance, |other, segment| {
                other == near.stroke && elsewhere(other, segment)
            });
            let mut crossed = false;
            self.grid.near(here.steps(), reach + 2.0 * self.snap, |item| {
                let (other, segment) = self.places[item];
                if other == near.stroke && elsewhere(other, segment) {
                    let (a, b) = self.drawn.strokes[other].segment(segment);
                    crossed |= meets(here, side, a, b);
                }
            });
            if crossed || nearer.is_some_and(|n| n.distance < near.distance - TOUCHING) {
                return;
            }
        }
        let target = Point::from_steps(near.at);
        self.note(stroke, here, target);
        self.drawn.strokes[stroke].points[point] = target;
    }

    /// The place `distance` along a stroke from one of its points (backward where negative), or its end.
    fn walk(&self, stroke: usize, point: usize, distance: f64) -> Point {
        let line = &self.drawn.strokes[stroke];
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
}

/// Bends cutlines to the corners of the outline that they all but touch.
fn insert_bends(drawn: &mut Strokes, snap: f64) {
    let mut segments = Vec::new();
    let mut places = Vec::new();
    for (index, stroke) in drawn.strokes.iter().enumerate().skip(1) {
        for i in 0..stroke.segment_count() {
            segments.push(stroke.segment(i));
            places.push((index, i));
        }
    }
    let grid = SegmentGrid::new(&segments);
    let outline = &drawn.strokes[0].points;
    let mut bends = Vec::new();
    for (i, &corner) in outline.iter().enumerate() {
        let (before, after) =
            (outline[(i + outline.len() - 1) % outline.len()], outline[(i + 1) % outline.len()]);
        grid.near(corner.steps(), snap, |item| {
            let (a, b) = segments[item];
            let (_, distance) = nearest_on_segment(corner, a, b);
            // Only where the cutline passes by: at its points the search from the cutline has seen to it.
            let passes = [a, b].iter().all(|end| end.distance(corner) > 2.0 * snap);
            let crossed = meets(before, corner, a, b) || meets(corner, after, a, b);
            if distance > TOUCHING && distance <= snap && passes && !crossed {
                bends.push((places[item], corner));
            }
        });
    }
    bends.sort();
    bends.dedup();
    // From the back, so that earlier places stay right.
    bends.sort_by(|a, b| {
        let start = drawn.strokes[a.0.0].points[a.0.1];
        b.0.cmp(&a.0).then(start.distance(b.1).total_cmp(&start.distance(a.1)))
    });
    for ((stroke, segment), corner) in bends {
        drawn.strokes[stroke].points.insert(segment + 1, corner);
    }
}

/// True where two segments cross or touch; exact.
fn meets(a: Point, b: Point, c: Point, d: Point) -> bool {
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
fn clusters(points: &[Point], reach: f64, work: &Cell<usize>) -> Vec<Vec<usize>> {
    let mut order: Vec<usize> = (0..points.len()).collect();
    order.sort_by_key(|&i| (points[i], i));
    let mut parent: Vec<usize> = (0..points.len()).collect();
    fn root(parent: &mut [usize], mut i: usize) -> usize {
        while parent[i] != i {
            parent[i] = parent[parent[i]];
            i = parent[i];
        }
        i
    }
    // A sweep over x; identical points are chained to their first so that a heap of them stays linear.
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

/// Drops points that moves made equal to their neighbours, and strokes that have no length left.
fn tidy(strokes: &mut Vec<Stroke>) {
    for stroke in strokes.iter_mut() {
        stroke.points.dedup();
        if stroke.closed && stroke.points.len() > 1 && stroke.points.first() == stroke.points.last() {
            stroke.points.pop();
        }
        stroke.closed &= stroke.points.len() > 2;
    }
    strokes.retain(|stroke| stroke.points.len() >= 2);
}
