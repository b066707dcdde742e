//! Joining near misses: ends that stop just short of, or just past, the line they belong to, and corners or
//! curves that almost touch another line.
//!
//! Otherwise a gap too small to see would silently merge two pieces of glass. The outline never moves.

use crate::fault::{PanelFault, PanelNote};
use crate::lattice::{Point, STEPS_PER_MM, cross, dot, nearest_on_segment};
use crate::nearby::{Nearby, WORK_LIMIT, clusters, meets, walk};
use crate::stroke::{Stroke, Strokes};
use crate::tiles::Tiles;
use std::cell::Cell;

/// Lines closer than this, in steps, already touch; splitting lines where they meet joins them.
const TOUCHING: f64 = 1.0;

/// Maximum number of rounds of joining ends.
const JOIN_ROUNDS: usize = 4;

/// Smallest move worth a note, mm.
const NOTED_MM: f64 = 1e-3;

/// A step of joining.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    /// Ends are joined, in this round.
    Ends(usize),
    /// Inner points are moved onto lines that they almost touch.
    Touches,
    /// Lines are bent to corners of the outline.
    Bends,
    /// Ends are joined again, in this round.
    EndsAgain(usize),
}

/// One end of a stroke: its line, its part, and whether it is the last point.
type End = (usize, usize, bool);

/// A point that was moved, or added, to join a near miss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Move {
    pub(crate) stage: Stage,
    pub(crate) line: usize,
    pub(crate) part: usize,
    /// For an end, whether it is the last one.
    pub(crate) last: bool,
    /// Where the point was; for a bend, the point before the new one.
    pub(crate) from: Point,
    pub(crate) to: Point,
    /// For an end, the first of the ends that it was joined with.
    pub(crate) group: End,
}

impl Move {
    /// The point that decides whether this near miss is searched for again.
    pub(crate) fn place(&self) -> Point {
        if self.stage == Stage::Bends { self.to } else { self.from }
    }
}

/// How to join an edited drawing again.
#[derive(Clone, Copy)]
pub(crate) struct Rejoin<'a> {
    /// Near misses in these tiles are searched for again.
    pub(crate) active: &'a Tiles,
    /// The same tiles, those beside them, and those of all edited lines.
    pub(crate) context: &'a Tiles,
    /// For each line, whether it was edited. Near misses of edited lines are searched for again, too.
    pub(crate) changed: &'a [bool],
    /// All other moves, as they were made before the edit.
    pub(crate) moves: &'a [Move],
}

impl Rejoin<'_> {
    fn is_active(&self, stroke: &Stroke, p: Point) -> bool {
        self.changed[stroke.line] || self.active.contains(p)
    }
}

/// Adds notes about the moves that are large enough.
pub(crate) fn note_moves(moves: &[Move], drawn: &Strokes, notes: &mut Vec<PanelNote>) {
    for joined in moves.iter().filter(|joined| joined.stage != Stage::Bends) {
        let gap_mm = joined.from.distance(joined.to) / STEPS_PER_MM;
        if gap_mm >= NOTED_MM {
            let line = drawn.lines[joined.line].line;
            notes.push(PanelNote::Joined { line, at: joined.from.mm(), gap_mm });
        }
    }
}

/// Moves ends and near-touching points onto the lines they miss by at most `snap_mm`, and returns the moves.
///
/// With `rejoin` the result is the same as without, provided that the moves it holds would be made again.
pub(crate) fn join_near_misses(
    drawn: &mut Strokes,
    snap_mm: f64,
    rejoin: Option<Rejoin<'_>>,
) -> Result<Vec<Move>, PanelFault> {
    let mut joiner = Joiner::new(&mut drawn.strokes, snap_mm * STEPS_PER_MM, rejoin);
    joiner.join_all_ends(Stage::Ends)?;
    joiner.join_near_touches()?;
    joiner.insert_bends();
    joiner.join_all_ends(Stage::EndsAgain)?;
    Ok(joiner.moves)
}

struct Joiner<'a> {
    strokes: &'a mut Vec<Stroke>,
    snap: f64,
    rejoin: Option<Rejoin<'a>>,
    nearby: Nearby,
    /// Number of pairs examined so far.
    work: Cell<usize>,
    /// The moves so far, and how many of them `nearby` knows of.
    moves: Vec<Move>,
    known: usize,
}

/// What happens at one place in a round of joining ends.
enum Meeting {
    /// These ends are joined: indices into the list of ends.
    Find(Vec<usize>),
    /// This move is made as before.
    Repeat(Move),
}

impl<'a> Joiner<'a> {
    fn new(strokes: &'a mut Vec<Stroke>, snap: f64, rejoin: Option<Rejoin<'a>>) -> Self {
        let nearby = Nearby::new(strokes, snap, rejoin.map(|rejoin| rejoin.context));
        Joiner { strokes, snap, rejoin, nearby, work: Cell::new(0), moves: Vec::new(), known: 0 }
    }

    /// Tidies up after moves, and indexes the segments where they lie now.
    fn refresh(&mut self) {
        if self.known < self.moves.len() {
            tidy(self.strokes);
            self.nearby = Nearby::new(self.strokes, self.snap, self.rejoin.map(|rejoin| rejoin.context));
            self.known = self.moves.len();
        }
    }

    /// Joins ends until none moves: an end on a line that was itself moved must follow it.
    fn join_all_ends(&mut self, stage: fn(usize) -> Stage) -> Result<(), PanelFault> {
        for round in 0..JOIN_ROUNDS {
            let moved = self.join_ends(stage(round))?;
            self.refresh();
            if !moved {
                break;
            }
        }
        Ok(())
    }

    /// Returns whether anything moved.
    fn join_ends(&mut self, stage: Stage) -> Result<bool, PanelFault> {
        // Ends: (stroke, is_last), in the order of the strokes.
        let ends: Vec<(usize, bool)> = (0..self.strokes.len())
            .filter(|&i| !self.strokes[i].closed)
            .flat_map(|i| [(i, false), (i, true)])
            .filter(|&end| {
                self.rejoin.is_none_or(|rejoin| rejoin.is_active(&self.strokes[end.0], self.end(end)))
            })
            .collect();
        let points: Vec<Point> = ends.iter().map(|&end| self.end(end)).collect();
        let name = |strokes: &[Stroke], (i, last): (usize, bool)| (strokes[i].line, strokes[i].part, last);
        let mut meetings: Vec<(End, Meeting)> = clusters(&points, self.snap, &self.work)
            .into_iter()
            .map(|cluster| (name(self.strokes, ends[cluster[0]]), Meeting::Find(cluster)))
            .collect();
        if let Some(rejoin) = self.rejoin {
            let same = rejoin.moves.iter().filter(|same| same.stage == stage);
            meetings.extend(same.map(|same| (same.group, Meeting::Repeat(*same))));
            sorting::by_key(&mut meetings, |(group, _)| *group);
        }
        let before = self.moves.len();
        for (group, meeting) in meetings {
            match meeting {
                Meeting::Repeat(same) => {
                    if let Some(stroke) = stroke_index(self.strokes, same.line, same.part)
                        && self.end((stroke, same.last)) == same.from
                    {
                        self.move_end(stroke, same.last, same.to);
                        self.moves.push(same);
                    }
                }
                Meeting::Find(cluster) => {
                    let mut distinct: Vec<Point> = cluster.iter().map(|&i| points[i]).collect();
                    sorting::values(&mut distinct);
                    distinct.dedup();
                    let count = distinct.len() as i64;
                    let meeting = Point {
                        x: distinct.iter().map(|p| p.x).sum::<i64>() / count,
                        y: distinct.iter().map(|p| p.y).sum::<i64>() / count,
                    };
                    let members: Vec<(usize, bool)> = cluster.iter().map(|&i| ends[i]).collect();
                    let to = self.meeting_place(&members, meeting);
                    for (&i, &(stroke, last)) in cluster.iter().zip(&members) {
                        if points[i] != to {
                            let Stroke { line, part, .. } = self.strokes[stroke];
                            self.moves.push(Move { stage, line, part, last, from: points[i], to, group });
                            self.move_end(stroke, last, to);
                        }
                    }
                }
            }
        }
        self.within_limit().map(|()| self.moves.len() > before)
    }

    fn end(&self, (stroke, last): (usize, bool)) -> Point {
        let points = &self.strokes[stroke].points;
        points[if last { points.len() - 1 } else { 0 }]
    }

    fn within_limit(&self) -> Result<(), PanelFault> {
        if self.work.get() > WORK_LIMIT {
            return Err(PanelFault::TooMuch { what: "points near other lines", limit: WORK_LIMIT });
        }
        Ok(())
    }

    /// Where ends that meet at `meeting` belong: on the nearest other line within reach, or else at `meeting`.
    fn meeting_place(&self, members: &[(usize, bool)], meeting: Point) -> Point {
        // Members are sorted, so the ends of one stroke, two at most, are adjacent.
        let accept = |stroke: usize, segment: usize| {
            let first = members.partition_point(|&(own, _)| own < stroke);
            members[first..].iter().take_while(|&&(own, _)| own == stroke).all(|&(own, last)| {
                let end = if last { self.strokes[own].points.len() - 1 } else { 0 };
                self.nearby.is_elsewhere(self.strokes, own, end, segment)
            })
        };
        let Some(near) = self.nearby.nearest(self.strokes, meeting, self.snap, &self.work, accept) else {
            return meeting;
        };
        if near.distance <= TOUCHING {
            return meeting;
        }
        let (a, b) = self.strokes[near.stroke].segment(near.segment);
        if let [(stroke, last)] = *members {
            // A single end: lengthen or shorten the line in its own direction, if that soon meets the other line.
            let points = &self.strokes[stroke].points;
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
        let points = &mut self.strokes[stroke].points;
        // Points closer to the end than it may move would fold the line back upon itself.
        if last {
            points.pop();
            while points.len() > 1 && points[points.len() - 1].distance(target) < snap {
                points.pop();
            }
            points.push(target);
        } else {
            let keep = (1..points.len() - 1).find(|&i| points[i].distance(target) >= snap);
            let keep = keep.unwrap_or(points.len() - 1);
            points.drain(0..keep);
            points.insert(0, target);
            self.nearby.lost[stroke] += keep - 1;
        }
    }

    /// Moves inner points that almost touch another line onto it, where the distance is least.
    fn join_near_touches(&mut self) -> Result<(), PanelFault> {
        let of_touches = |same: &&Move| same.stage == Stage::Touches;
        let mut same: Vec<Move> =
            self.rejoin.iter().flat_map(|rejoin| rejoin.moves).filter(of_touches).copied().collect();
        sorting::by_key(&mut same, |same| (same.line, same.part));
        for stroke in 1..self.strokes.len() {
            let Stroke { line, part, closed, ref points } = self.strokes[stroke];
            let inner = if closed { 0..points.len() } else { 1..points.len() - 1 };
            let Some(rejoin) = self.rejoin else {
                for point in inner {
                    self.join_touch(stroke, point);
                }
                continue;
            };
            let first = same.partition_point(|same| (same.line, same.part) < (line, part));
            let own = same[first..].iter().take_while(|same| (same.line, same.part) == (line, part));
            for point in inner {
                let here = self.strokes[stroke].points[point];
                if rejoin.is_active(&self.strokes[stroke], here) {
                    self.join_touch(stroke, point);
                } else if let Some(same) = own.clone().find(|same| same.from == here) {
                    self.strokes[stroke].points[point] = same.to;
                    self.moves.push(*same);
                }
            }
        }
        self.refresh();
        self.within_limit()
    }

    fn join_touch(&mut self, stroke: usize, point: usize) {
        let (strokes, nearby) = (&*self.strokes, &self.nearby);
        let here = strokes[stroke].points[point];
        let elsewhere = |other: usize, segment: usize| {
            other != stroke || nearby.is_elsewhere(strokes, stroke, point, segment)
        };
        let Some(near) = nearby.nearest(strokes, here, self.snap, &self.work, elsewhere) else { return };
        if near.distance <= TOUCHING {
            return;
        }
        // Is this where the two come closest? Do they cross or meet nearby anyway?
        let reach = 2.0 * self.snap;
        for side in [walk(&strokes[stroke], point, -reach), walk(&strokes[stroke], point, reach)] {
            let on_the_other =
                |other: usize, segment: usize| other == near.stroke && elsewhere(other, segment);
            let nearer = nearby.nearest(strokes, side, near.distance, &self.work, on_the_other);
            let mut crossed = false;
            nearby.visit(strokes, here, reach, |other, segment| {
                if on_the_other(other, segment) {
                    let (a, b) = strokes[other].segment(segment);
                    crossed |= meets(here, side, a, b);
                }
            });
            if crossed || nearer.is_some_and(|n| n.distance < near.distance - TOUCHING) {
                return;
            }
        }
        let to = Point::from_steps(near.at);
        let Stroke { line, part, .. } = strokes[stroke];
        let group = (line, part, false);
        self.moves.push(Move { stage: Stage::Touches, line, part, last: false, from: here, to, group });
        self.strokes[stroke].points[point] = to;
    }

    /// Bends cutlines to the corners of the outline that they almost touch.
    fn insert_bends(&mut self) {
        let (strokes, nearby, snap, rejoin) = (&*self.strokes, &self.nearby, self.snap, self.rejoin);
        let outline = &strokes[0].points;
        let mut bends = Vec::new();
        for (i, &corner) in outline.iter().enumerate() {
            let (before, after) =
                (outline[(i + outline.len() - 1) % outline.len()], outline[(i + 1) % outline.len()]);
            nearby.visit(strokes, corner, snap, |stroke, segment| {
                let is_found = rejoin.is_none_or(|rejoin| rejoin.is_active(&strokes[stroke], corner));
                if stroke == 0 || !is_found {
                    return;
                }
                let (a, b) = strokes[stroke].segment(segment);
                let (_, distance) = nearest_on_segment(corner, a, b);
                // Only where the cutline passes by: its own points were already searched from the cutline's side.
                let passes = [a, b].iter().all(|end| end.distance(corner) > 2.0 * snap);
                let crossed = meets(before, corner, a, b) || meets(corner, after, a, b);
                if distance > TOUCHING && distance <= snap && passes && !crossed {
                    bends.push(((stroke, segment), corner));
                }
            });
        }
        let same = rejoin.map_or(&[][..], |rejoin| rejoin.moves);
        for same in same.iter().filter(|same| same.stage == Stage::Bends) {
            if let Some(stroke) = stroke_index(strokes, same.line, same.part)
                && let Some(segment) = strokes[stroke].points.iter().position(|&p| p == same.from)
            {
                bends.push(((stroke, segment), same.to));
            }
        }
        sorting::values(&mut bends);
        bends.dedup();
        // From the back, so that earlier indices stay valid.
        sorting::by(&mut bends, |a, b| {
            let start = strokes[a.0.0].points[a.0.1];
            b.0.cmp(&a.0).then(start.distance(b.1).total_cmp(&start.distance(a.1)))
        });
        for ((stroke, segment), corner) in bends {
            let Stroke { line, part, ref points, .. } = self.strokes[stroke];
            let (from, group) = (points[segment], (line, part, false));
            self.moves.push(Move { stage: Stage::Bends, line, part, last: false, from, to: corner, group });
            self.strokes[stroke].points.insert(segment + 1, corner);
        }
        self.refresh();
    }
}

/// Index of the stroke for this part of this line, if it still exists.
fn stroke_index(strokes: &[Stroke], line: usize, part: usize) -> Option<usize> {
    strokes.binary_search_by_key(&(line, part), |stroke| (stroke.line, stroke.part)).ok()
}

/// Drops points that moves have made equal to their neighbours, and strokes that have no length left.
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
