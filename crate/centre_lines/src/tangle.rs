//! Joints whose lines cross others where they do not meet: there would be a piece where the lead leaves no pane.

use crate::cells::Cells;
use crate::curve::crossing;
use glam::DVec2;
use std::collections::BTreeSet;

/// Crossings are sought in cells of this size, mm: about the length of a line's steps at a joint.
const CELL_MM: f64 = 4.0;

/// Ends of steps as near to each other as this are one point, mm.
const AT_NODE_MM: f64 = 1e-6;

/// Lines as points, each with the number of the cluster that it belongs to; `None` for a run.
#[derive(Default)]
pub(crate) struct Lines {
    segments: Vec<(DVec2, DVec2)>,
    clusters: Vec<Option<usize>>,
}

impl Lines {
    pub(crate) fn add(&mut self, points: impl IntoIterator<Item = DVec2>, cluster: Option<usize>) {
        let mut points = points.into_iter();
        let Some(mut last) = points.next() else { return };
        for point in points.filter(|point| point.is_finite()) {
            if point != last {
                self.segments.push((last, point));
                self.clusters.push(cluster);
            }
            last = point;
        }
    }

    /// The clusters whose lines cross others.
    pub(crate) fn tangled(&self) -> BTreeSet<usize> {
        let of_joints: Vec<usize> =
            (0..self.segments.len()).filter(|&k| self.clusters[k].is_some()).collect();
        let joints: Vec<(DVec2, DVec2)> = of_joints.iter().map(|&k| self.segments[k]).collect();
        let cells = Cells::new(&joints, CELL_MM);
        let mut tangled = BTreeSet::new();
        for (i, &(a, b)) in self.segments.iter().enumerate() {
            for j in cells.around(a.min(b), a.max(b), 0.0).map(|j| of_joints[j]) {
                let (c, d) = self.segments[j];
                let meet = [(a, c), (a, d), (b, c), (b, d)].iter().any(|(p, q)| p.distance(*q) <= AT_NODE_MM);
                if i != j && !meet && crossing(a, b, c, d).is_some() {
                    tangled.extend([self.clusters[i], self.clusters[j]].into_iter().flatten());
                }
            }
        }
        tangled
    }
}
