//! Splits line segments wherever they meet, so that afterwards they share end points or nothing.
//!
//! Meeting points are rounded to the lattice, which bends segments by up to a step. The splitting is repeated until
//! nothing crosses any more (snap rounding, after Hobby 1999, "Practical segment intersection with finite precision
//! output", by iteration; source from memory).

use crate::fault::PanelFault;
use crate::graph::Segment;
use crate::grid::SegmentGrid;
use crate::lattice::{Point, cross, dot, turn};
use crate::tiles::Tiles;
use std::cmp::Ordering;

/// Maximum number of split points in one pass over a drawing.
const SPLIT_LIMIT: usize = 400_000;

/// Maximum number of pairs of segments examined in one pass.
const PAIR_LIMIT: usize = 50_000_000;

/// Maximum number of passes; two or three are usual.
const PASS_LIMIT: usize = 24;

/// End points at most this many steps apart in x and in y become one.
const MERGED: i64 = 2;

/// Splits segments at all their meeting points. Coincident parts are kept, one for each line.
///
/// The parts of a segment depend only on the segments that it meets and on their order.
pub(crate) fn node(segments: &[Segment]) -> Result<Vec<Segment>, PanelFault> {
    let splits = find_splits(segments)?;
    settle(split_all(segments, &splits))
}

/// Like [`node`], but returns only the parts that touch `tiles`.
///
/// They are the same as with all segments, except near the rim of `tiles`.
pub(crate) fn node_within(segments: &[Segment], tiles: &Tiles) -> Result<Vec<Segment>, PanelFault> {
    let inner: Vec<bool> = segments.iter().map(|s| tiles.touches((s.a, s.b))).collect();
    // A segment that touches the tiles is split along its whole length, even outside the tiles.
    let mut along = tiles.clone();
    for (segment, _) in segments.iter().zip(&inner).filter(|(_, inner)| **inner) {
        along.add((segment.a, segment.b), 0.0);
    }
    let (mut near, mut is_inner) = (Vec::new(), Vec::new());
    for (segment, inner) in segments.iter().zip(inner) {
        if inner || along.touches((segment.a, segment.b)) {
            near.push(*segment);
            is_inner.push(inner);
        }
    }
    let mut splits = find_splits(&near)?;
    splits.retain(|(index, _)| is_inner[*index as usize]);
    let mut parts = split_all(&near, &splits);
    parts.retain(|s| tiles.touches((s.a, s.b)));
    settle(parts)
}

/// Repeats the splitting until segments meet only at their ends.
fn settle(mut segments: Vec<Segment>) -> Result<Vec<Segment>, PanelFault> {
    for _ in 1..PASS_LIMIT {
        merge_ends(&mut segments);
        // By the slice's own sort, as all ends below: with `sorting`, these long lists made a large panel slower.
        segments.sort_by_key(|s| (s.a.min(s.b), s.a.max(s.b), s.line));
        segments.dedup_by_key(|s| (s.a.min(s.b), s.a.max(s.b), s.line));
        let splits = find_splits(&segments)?;
        if splits.is_empty() {
            return Ok(segments);
        }
        segments = split_all(&segments, &splits);
    }
    Err(PanelFault::TooMuch { what: "lines meeting in one place", limit: PASS_LIMIT })
}

/// Where to split which segment, sorted and without duplicates.
fn find_splits(segments: &[Segment]) -> Result<Vec<(u32, Point)>, PanelFault> {
    let ends: Vec<(Point, Point)> = segments.iter().map(|s| (s.a, s.b)).collect();
    let grid = SegmentGrid::new(&ends);
    let mut splits = Vec::new();
    let mut pairs = 0;
    for cell in grid.cells() {
        // Saturate: with 32-bit addresses, the number of pairs in a crowded cell may overflow.
        pairs = cell.len().saturating_mul(cell.len()).saturating_div(2).saturating_add(pairs);
        if pairs > PAIR_LIMIT {
            return Err(PanelFault::TooMuch { what: "pairs of lines in one place", limit: PAIR_LIMIT });
        }
        for (k, &i) in cell.iter().enumerate() {
            for &j in &cell[k + 1..] {
                meet(i, j, ends[i as usize], ends[j as usize], &mut splits);
            }
        }
        if splits.len() > SPLIT_LIMIT {
            return Err(PanelFault::TooMuch { what: "crossings", limit: SPLIT_LIMIT });
        }
    }
    sorting::values(&mut splits);
    splits.dedup();
    Ok(splits)
}

/// Adds the points at which two segments must be split.
pub(crate) fn meet(i: u32, j: u32, s: (Point, Point), t: (Point, Point), splits: &mut Vec<(u32, Point)>) {
    let apart = |a: i64, b: i64, c: i64, d: i64| a.max(b) + 1 < c.min(d) || c.max(d) + 1 < a.min(b);
    if apart(s.0.x, s.1.x, t.0.x, t.1.x) || apart(s.0.y, s.1.y, t.0.y, t.1.y) {
        return;
    }
    let before = splits.len();
    for p in [t.0, t.1] {
        if lies_on(p, s) {
            splits.push((i, p));
        }
    }
    for p in [s.0, s.1] {
        if lies_on(p, t) {
            splits.push((j, p));
        }
    }
    let share_end = s.0 == t.0 || s.0 == t.1 || s.1 == t.0 || s.1 == t.1;
    if share_end || splits.len() > before {
        return;
    }
    let sides = |a: Ordering, b: Ordering| a != b && a != Ordering::Equal && b != Ordering::Equal;
    if sides(turn(s.0, s.1, t.0), turn(s.0, s.1, t.1)) && sides(turn(t.0, t.1, s.0), turn(t.0, t.1, s.1)) {
        let (d, e) = (s.0.vector_to(s.1), t.0.vector_to(t.1));
        let at = (cross(s.0.vector_to(t.0), e) / cross(d, e)).clamp(0.0, 1.0);
        let start = s.0.steps();
        let p = Point::from_steps([start[0] + at * d[0], start[1] + at * d[1]]);
        // Rounding may carry the point past an end. A segment must not fold back, so that end is used instead.
        let p = within(within(p, s), t);
        for (k, segment) in [(i, s), (j, t)] {
            if p != segment.0 && p != segment.1 && within(p, segment) == p {
                splits.push((k, p));
            }
        }
    }
}

/// `p`, or the end of the segment that it lies past.
fn within(p: Point, (a, b): (Point, Point)) -> Point {
    let d = a.vector_to(b);
    let along = dot(d, a.vector_to(p));
    if along <= 0.0 {
        a
    } else if along >= dot(d, d) {
        b
    } else {
        p
    }
}

/// True if `p` lies within a step of a segment's interior.
fn lies_on(p: Point, (a, b): (Point, Point)) -> bool {
    if p == a || p == b {
        return false;
    }
    let (d, e) = (a.vector_to(b), a.vector_to(p));
    let along = dot(d, e);
    let length_squared = dot(d, d);
    along > 0.0 && along < length_squared && cross(d, e).powi(2) <= length_squared
}

/// Merges end points that lie within two steps of one another, since rounding separates them.
fn merge_ends(segments: &mut Vec<Segment>) {
    let mut points: Vec<Point> = segments.iter().flat_map(|s| [s.a, s.b]).collect();
    points.sort_unstable();
    points.dedup();
    let mut merged = points.clone();
    let mut any = false;
    for i in 0..points.len() {
        let mut j = i;
        while j > 0 && points[i].x - points[j - 1].x <= MERGED {
            j -= 1;
            if (points[i].y - points[j].y).abs() <= MERGED {
                merged[i] = merged[j];
                any = true;
                break;
            }
        }
    }
    if any {
        let place = |p: Point| points.binary_search(&p).map_or(p, |i| merged[i]);
        for segment in segments.iter_mut() {
            (segment.a, segment.b) = (place(segment.a), place(segment.b));
        }
        segments.retain(|segment| segment.a != segment.b);
    }
}

fn split_all(segments: &[Segment], splits: &[(u32, Point)]) -> Vec<Segment> {
    let mut result = Vec::with_capacity(segments.len() + splits.len());
    let mut next = 0;
    for (index, &segment) in segments.iter().enumerate() {
        let first = next;
        while next < splits.len() && splits[next].0 as usize == index {
            next += 1;
        }
        let d = segment.a.vector_to(segment.b);
        let mut points: Vec<Point> = splits[first..next].iter().map(|split| split.1).collect();
        sorting::by(&mut points, |p, q| {
            dot(d, segment.a.vector_to(*p)).total_cmp(&dot(d, segment.a.vector_to(*q)))
        });
        points.push(segment.b);
        let mut a = segment.a;
        for b in points {
            if a != b {
                result.push(Segment { a, b, line: segment.line });
            }
            a = b;
        }
    }
    result
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn segment(a: (i64, i64), b: (i64, i64), line: usize) -> Segment {
        Segment { a: Point { x: a.0, y: a.1 }, b: Point { x: b.0, y: b.1 }, line }
    }

    #[test]
    fn a_cross_becomes_four() {
        let nodes = node(&[segment((0, 0), (1000, 1000), 0), segment((0, 1000), (1000, 0), 1)]).unwrap();
        assert_eq!(nodes.len(), 4);
        assert!(nodes.iter().all(|s| [s.a, s.b].contains(&Point { x: 500, y: 500 })));
    }

    #[test]
    fn overlap_is_shared() {
        let nodes = node(&[segment((0, 0), (100, 0), 0), segment((150, 0), (50, 0), 1)]).unwrap();
        let middle: Vec<_> = nodes.iter().filter(|s| s.a.x.min(s.b.x) == 50).collect();
        assert_eq!((nodes.len(), middle.len()), (4, 2));
    }

    proptest! {
        // After noding, segments meet only at their ends; this checks all pairs.
        #[test]
        fn nothing_crosses_afterwards(ends in proptest::collection::vec((0..60_i64, 0..60_i64, 0..60_i64, 0..60_i64), 1..40)) {
            let segments: Vec<Segment> = ends.iter().enumerate()
                .filter(|(_, e)| (e.0, e.1) != (e.2, e.3))
                .map(|(line, e)| segment((e.0, e.1), (e.2, e.3), line))
                .collect();
            let nodes = node(&segments).unwrap();
            let mut splits = Vec::new();
            for (i, s) in nodes.iter().enumerate() {
                for t in &nodes[i + 1..] {
                    meet(0, 1, (s.a, s.b), (t.a, t.b), &mut splits);
                }
            }
            prop_assert!(splits.is_empty(), "{splits:?}");
        }
    }
}
