//! Lines that cross where they do not meet: they would part off a piece where the lead leaves no pane.

use crate::cells::Cells;
use crate::curve::crossing;
use glam::DVec2;
use std::collections::BTreeSet;

/// Crossings are sought in cells of this size, mm: about the length of a line's steps at a joint.
const CELL_MM: f64 = 4.0;

/// Ends of steps as near to each other as this are one point, mm.
const AT_NODE_MM: f64 = 1e-6;

/// Steps are compared with no more others than this, on average: a net's lines have a few steps in each cell, and where
/// thousands lie in one, no joint can be drawn well.
const MOST_COMPARED: usize = 1000;

/// Lines as points, each with the number of what it belongs to; those of nothing are not compared with one another.
#[derive(Default)]
pub(crate) struct Lines {
    segments: Vec<(DVec2, DVec2)>,
    owners: Vec<Option<usize>>,
    /// The line of each step.
    lines: Vec<usize>,
    count: usize,
}

impl Lines {
    pub(crate) fn add(&mut self, points: impl IntoIterator<Item = DVec2>, owner: Option<usize>) {
        let mut points = points.into_iter();
        let Some(mut last) = points.next() else { return };
        self.count += 1;
        for point in points.filter(|point| point.is_finite()) {
            if point != last {
                self.segments.push((last, point));
                self.owners.push(owner);
                self.lines.push(self.count);
            }
            last = point;
        }
    }

    /// The numbers whose lines cross others where they do not meet, or take the same step; of shapes that are no net, not
    /// all of them.
    pub(crate) fn tangled(&self) -> BTreeSet<usize> {
        let owned: Vec<usize> = (0..self.segments.len()).filter(|&k| self.owners[k].is_some()).collect();
        let steps: Vec<(DVec2, DVec2)> = owned.iter().map(|&k| self.segments[k]).collect();
        let cells = Cells::new(&steps, CELL_MM);
        let mut tangled = BTreeSet::new();
        let mut left = MOST_COMPARED * self.segments.len();
        for (i, &(a, b)) in self.segments.iter().enumerate() {
            for j in cells.around(a.min(b), a.max(b), 0.0).map(|j| owned[j]) {
                left = left.saturating_sub(1);
                if left == 0 {
                    return tangled;
                }
                if i != j && self.are_tangled(i, j) {
                    tangled.extend([self.owners[i], self.owners[j]].into_iter().flatten());
                }
            }
        }
        tangled
    }

    /// Whether two steps cross without a common end, or two lines take the same one.
    fn are_tangled(&self, i: usize, j: usize) -> bool {
        let ((a, b), (c, d)) = (self.segments[i], self.segments[j]);
        let same = |p: DVec2, q: DVec2| p.distance(q) <= AT_NODE_MM;
        match [same(a, c), same(a, d), same(b, c), same(b, d)] {
            [false, false, false, false] => crossing(a, b, c, d).is_some(),
            [true, _, _, true] | [_, true, true, _] => self.lines[i] != self.lines[j] && !same(a, b),
            _ => false,
        }
    }
}
