//! Joining near misses again after an edit of the drawing, only as far as the edit reaches.

use crate::join::{Move, Rejoin, join_near_misses};
use crate::lattice::{Point, STEPS_PER_MM, nearest_on_segment};
use crate::stroke::{Stroke, Strokes};
use crate::tiles::Tiles;
use std::cmp::Ordering;

/// Maximum number of times the part to be joined again may be enlarged.
const ROUND_LIMIT: usize = 8;

/// If a larger share of the panel must be joined again, all of it is.
const MOST_SHARE: f64 = 0.6;

/// How near a segment must be to a move to be turned by it, in snapping distances.
const TURNED: f64 = 16.0;

/// Which old line corresponds to which new one.
pub(crate) struct LineMap {
    /// For each old line its index among the new ones.
    pub(crate) new_of_old: Vec<Option<usize>>,
    /// For each new line its index among the old ones.
    pub(crate) old_of_new: Vec<Option<usize>>,
    /// For each new line whether its path or width has changed.
    pub(crate) changed: Vec<bool>,
    /// For each new line whether its place in the order of lines has changed.
    pub(crate) moved: Vec<bool>,
}

/// Joins the strokes `drawn` and returns the moves; `None` if the whole drawing must be joined again.
///
/// `flat`: the same strokes. `old_flat` and `old_moves`: the strokes before the edit, and how they were joined.
pub(crate) fn rejoin(
    drawn: &mut Strokes,
    flat: &Strokes,
    old_flat: &Strokes,
    old_moves: &[Move],
    lines: &LineMap,
    snap_mm: f64,
    none: &Tiles,
) -> Option<Vec<Move>> {
    let snap = snap_mm * STEPS_PER_MM;
    let mut touched = none.clone();
    let mut along = none.clone();
    for stroke in old_flat
        .strokes
        .iter()
        .filter(|stroke| lines.new_of_old[stroke.line].is_none_or(|new| lines.changed[new]))
    {
        mark_differing(stroke, lines.new_of_old[stroke.line], drawn, snap, &mut touched);
    }
    for stroke in drawn.strokes.iter().filter(|stroke| lines.changed[stroke.line]) {
        mark_differing(stroke, lines.old_of_new[stroke.line], old_flat, snap, &mut touched);
        stroke.segments().for_each(|segment| along.add(segment, 0.0));
    }
    // A removed line is no longer joined, and its moves are dropped.
    let same: Vec<Move> = old_moves
        .iter()
        .filter_map(|same| {
            let name = |line: usize| lines.new_of_old[line];
            let group = (name(same.group.0).unwrap_or(usize::MAX), same.group.1, same.group.2);
            Some(Move { line: name(same.line)?, group, ..*same })
        })
        .collect();
    let gone = old_moves.iter().filter(|gone| lines.new_of_old[gone.line].is_none());
    let gone: Vec<(usize, usize, Point)> = gone.map(|gone| (usize::MAX, gone.part, gone.place())).collect();

    for _ in 0..ROUND_LIMIT {
        let sure = touched.grown();
        let active = sure.grown();
        let mut context = active.clone();
        context.unite(&along);
        context.grow();
        if active.share() > MOST_SHARE {
            return None;
        }
        let moves: Vec<Move> = same
            .iter()
            .filter(|same| !lines.changed[same.line] && !active.contains(same.place()))
            .copied()
            .collect();
        let part = Rejoin { active: &active, context: &context, changed: &lines.changed, moves: &moves };
        let found = join_near_misses(drawn, snap_mm, Some(part)).ok()?;
        // A move that differs from before, and the segments that it turns, must lie well within the active part,
        // since nothing beyond was searched again.
        let mut grew = false;
        for (line, part, place) in
            differing_moves(&same, &found, lines).into_iter().chain(gone.iter().copied())
        {
            let was = lines.old_of_new.get(line).copied().flatten();
            let strokes = [part_of(flat, Some(line), part), part_of(old_flat, was, part)];
            let turned = strokes.into_iter().flatten().flat_map(Stroke::segments);
            let turned = turned.filter(|&(a, b)| nearest_on_segment(place, a, b).1 <= TURNED * snap);
            for segment in turned.chain([(place, place)]) {
                if !sure.holds(segment) {
                    touched.add(segment, 0.0);
                    grew = true;
                }
            }
        }
        if !grew {
            return Some(found);
        }
        drawn.clone_from(flat);
    }
    None
}

/// Adds the segments of a stroke that its counterpart does not have, and its ends.
fn mark_differing(stroke: &Stroke, line: Option<usize>, others: &Strokes, snap: f64, touched: &mut Tiles) {
    for segment in differing_segments(stroke, part_of(others, line, stroke.part)) {
        touched.add(segment, snap);
    }
    if let (false, Some(&first), Some(&last)) = (stroke.closed, stroke.points.first(), stroke.points.last()) {
        touched.add((first, first), snap);
        touched.add((last, last), snap);
    }
}

/// The stroke for this part of this line.
fn part_of(drawn: &Strokes, line: Option<usize>, part: usize) -> Option<&Stroke> {
    let key = (line?, part);
    let index = drawn.strokes.binary_search_by_key(&key, |stroke| (stroke.line, stroke.part)).ok()?;
    Some(&drawn.strokes[index])
}

/// The segments of a stroke between the start and the end that it shares with another.
pub(crate) fn differing_segments(stroke: &Stroke, other: Option<&Stroke>) -> Vec<(Point, Point)> {
    if other.is_some_and(|other| stroke.points == other.points && stroke.closed == other.closed) {
        return Vec::new();
    }
    let segments: Vec<(Point, Point)> = stroke.segments().collect();
    let Some(other) = other else { return segments };
    let (count, other_count) = (segments.len(), other.segment_count());
    let shorter = count.min(other_count);
    let first = (0..shorter).take_while(|&i| segments[i] == other.segment(i)).count();
    let last = (0..shorter - first)
        .take_while(|&i| segments[count - 1 - i] == other.segment(other_count - 1 - i))
        .count();
    segments[first..count - last].to_vec()
}

/// Moves that are in only one list, or may have been made in a different order: line, part and place.
fn differing_moves(old: &[Move], new: &[Move], lines: &LineMap) -> Vec<(usize, usize, Point)> {
    // All moves but the bends come in this order, so there is little to sort.
    let key = |m: &&Move| (m.stage, m.group);
    let (mut old, mut new): (Vec<&Move>, Vec<&Move>) = (old.iter().collect(), new.iter().collect());
    sorting::by_key(&mut old, key);
    sorting::by_key(&mut new, key);
    let mut places = Vec::new();
    let (mut a, mut b) = (0, 0);
    let end = |moves: &[&Move], start: usize| {
        start + moves[start..].iter().take_while(|m| key(m) == key(&moves[start])).count()
    };
    let is_moved = |line: usize| lines.moved.get(line).is_none_or(|moved| *moved);
    while a < old.len() || b < new.len() {
        let order = match (old.get(a), new.get(b)) {
            (Some(old), Some(new)) => key(old).cmp(&key(new)),
            (Some(_), None) => Ordering::Less,
            _ => Ordering::Greater,
        };
        let a_end = if order.is_le() { end(&old, a) } else { a };
        let b_end = if order.is_ge() { end(&new, b) } else { b };
        let (was, is) = (&old[a..a_end], &new[b..b_end]);
        if was != is || was.iter().any(|m| is_moved(m.line) || is_moved(m.group.0)) {
            places.extend(was.iter().chain(is).map(|m| (m.line, m.part, m.place())));
        }
        (a, b) = (a_end, b_end);
    }
    places
}
