//! What was drawn but is not part of the panel, and the notes about it.

use crate::fault::PanelNote;
use crate::graph::Segment;
use crate::grid::SegmentGrid;
use crate::lattice::{Point, STEPS_PER_MM, nearest_on_segment};
use crate::stroke::{LineInfo, Stroke};
use crate::tiles::Tiles;
use plane::PanelPoint;
use std::collections::BTreeMap;

/// Shortest coincident stretch of two lines that is noted, mm; shorter ones belong to a joint.
const NOTED_STRETCH_MM: f64 = 10.0;

/// How far a line may run past the face of the border lead without a note, mm: up to there it ends under or at the
/// lead.
const OVERRUN_MM: f64 = 1.0;

/// A stretch where one line was left out in favour of another.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Merge {
    /// Round of closing strips, counted from 1. Within a round, coincident segments come before strips.
    pub(crate) round: usize,
    pub(crate) is_strip: bool,
    /// First edge of the stretch: the sort key within a round.
    pub(crate) first: (Point, Point),
    pub(crate) kept: usize,
    pub(crate) left_out: usize,
    /// Length, steps.
    pub(crate) length: f64,
    /// Area between the two, square steps.
    pub(crate) area: f64,
    /// A point on the stretch.
    pub(crate) at: Point,
    /// All edges of the strip; empty for a coincident segment.
    pub(crate) edges: Vec<(Point, Point)>,
}

impl Merge {
    /// The edges of the stretch.
    pub(crate) fn edges(&self) -> &[(Point, Point)] {
        if self.edges.is_empty() { std::slice::from_ref(&self.first) } else { &self.edges }
    }

    pub(crate) fn touches(&self, tiles: &Tiles) -> bool {
        self.edges().iter().any(|&edge| tiles.touches(edge))
    }
}

/// Everything that was drawn and is not in the panel, in an order that depends on geometry alone.
#[derive(Debug, Clone, Default)]
pub(crate) struct Account {
    pub(crate) merges: Vec<Merge>,
    /// Edges outside the opening.
    pub(crate) outside: Vec<Segment>,
    /// Short ends that were trimmed.
    pub(crate) trimmed: Vec<Segment>,
}

impl Account {
    /// Sorts all lists.
    pub(crate) fn sort(&mut self) {
        sorting::by_key(&mut self.merges, |m| (m.round, m.is_strip, m.first, m.kept, m.left_out));
        for edges in [&mut self.outside, &mut self.trimmed] {
            sorting::by_key(edges, |s| (s.a.min(s.b), s.a.max(s.b)));
        }
    }

    /// Replaces all entries that touch `tiles` by those of `new` that do.
    pub(crate) fn replace_within(&mut self, tiles: &Tiles, new: Account) {
        self.merges.retain(|merge| !merge.touches(tiles));
        self.merges.extend(new.merges.into_iter().filter(|merge| merge.touches(tiles)));
        let edges = [(&mut self.outside, new.outside), (&mut self.trimmed, new.trimmed)];
        for (own, new) in edges {
            own.retain(|s| !tiles.touches((s.a, s.b)));
            own.extend(new.into_iter().filter(|s| tiles.touches((s.a, s.b))));
        }
        self.sort();
    }

    /// True if every line index is below `count`.
    pub(crate) fn names_lines_below(&self, count: usize) -> bool {
        self.merges.iter().all(|merge| merge.kept.max(merge.left_out) < count)
            && self.outside.iter().chain(&self.trimmed).all(|segment| segment.line < count)
    }

    /// Renumbers the lines.
    pub(crate) fn rename(&mut self, line: impl Fn(usize) -> usize) {
        for merge in &mut self.merges {
            (merge.kept, merge.left_out) = (line(merge.kept), line(merge.left_out));
        }
        for segment in self.outside.iter_mut().chain(&mut self.trimmed) {
            segment.line = line(segment.line);
        }
    }

    /// Adds notes about coincident lines.
    pub(crate) fn note_together(&self, lines: &[LineInfo], notes: &mut Vec<PanelNote>) {
        let mut stretches: BTreeMap<(usize, usize), (f64, f64, Point)> = BTreeMap::new();
        for m in &self.merges {
            let stretch = stretches.entry((m.kept, m.left_out)).or_insert((0.0, 0.0, m.at));
            *stretch = (stretch.0 + m.length, stretch.1 + m.area, stretch.2.min(m.at));
        }
        for ((kept, left_out), (length, area, at)) in stretches {
            if kept != left_out && length >= NOTED_STRETCH_MM * STEPS_PER_MM {
                notes.push(PanelNote::RunsTogether {
                    line: lines[left_out].line,
                    other: lines[kept].line,
                    at: at.mm(),
                    gap_mm: area / length / STEPS_PER_MM,
                });
            }
        }
    }

    /// Adds notes about lines that run out of the opening or lie outside it.
    ///
    /// `strokes`: after joining, the outline first. `has_lead`: for each line, whether any lead of the panel comes
    /// from it.
    pub(crate) fn note_outside(
        &self,
        strokes: &[Stroke],
        lines: &[LineInfo],
        mut has_lead: Vec<bool>,
        notes: &mut Vec<PanelNote>,
    ) {
        for segment in &self.trimmed {
            has_lead[segment.line] = true;
        }
        let mut left_out = vec![false; lines.len()];
        for merge in &self.merges {
            left_out[merge.left_out] = true;
        }
        let ring: Vec<(Point, Point)> = strokes[0].segments().collect();
        let grid = SegmentGrid::new(&ring);
        let margin = (lines[0].face_mm / 2.0 + OVERRUN_MM) * STEPS_PER_MM;
        let is_far = |p: Point| {
            let mut far = true;
            grid.near(p.steps(), margin, |i| far &= nearest_on_segment(p, ring[i].0, ring[i].1).1 > margin);
            far
        };
        let mut outside = vec![0.0; lines.len()];
        let mut place: Vec<Option<Point>> = vec![None; lines.len()];
        for segment in &self.outside {
            let line = segment.line;
            outside[line] += segment.a.distance(segment.b);
            for p in [segment.a, segment.b] {
                if place[line].is_none_or(|known| p < known) && is_far(p) {
                    place[line] = Some(p);
                }
            }
        }
        for (line, info) in lines.iter().enumerate() {
            if has_lead[line] {
                if let Some(at) = place[line] {
                    let length_mm = outside[line] / STEPS_PER_MM;
                    notes.push(PanelNote::RunsOutside { line: info.line, at: at.mm(), length_mm });
                }
            } else if !left_out[line] || outside[line] > 0.0 {
                let first = strokes.iter().find(|stroke| stroke.line == line).map(|stroke| stroke.points[0]);
                let at = first.map_or_else(PanelPoint::default, Point::mm);
                notes.push(PanelNote::WhollyOutside { line: info.line, at });
            }
        }
    }
}
