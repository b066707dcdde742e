//! Which lines lie near a point.

use std::collections::HashMap;

use plane::{PanelPoint, distance_squared_to_segment};

use crate::part::Part;

/// Size of a cell, mm.
const CELL_MM: f64 = 20.0;

/// Distance within which a line runs along another, mm.
const ALONG_MM: f64 = 0.3;

/// An index of segments by place.
pub(crate) struct Near<'a> {
    cells: HashMap<[i64; 2], Vec<(PanelPoint, PanelPoint, &'a Part)>>,
}

impl<'a> Near<'a> {
    pub(crate) fn new(parts: impl Iterator<Item = &'a Part>) -> Self {
        let mut cells: HashMap<[i64; 2], Vec<(PanelPoint, PanelPoint, &Part)>> = HashMap::new();
        for part in parts {
            for (a, b) in part.edges() {
                // In stretches no longer than a cell, so that each lies in four cells at most.
                let count = ((b - a).length() / CELL_MM).ceil().clamp(1.0, 1e4) as usize;
                let at = |k: usize| {
                    let t = k as f64 / count as f64;
                    PanelPoint::new(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                };
                for k in 0..count {
                    let (a, b) = (at(k), at(k + 1));
                    let (from, to) = (cell(a), cell(b));
                    for x in from[0].min(to[0])..=from[0].max(to[0]) {
                        for y in from[1].min(to[1])..=from[1].max(to[1]) {
                            cells.entry([x, y]).or_default().push((a, b, part));
                        }
                    }
                }
            }
        }
        Self { cells }
    }

    /// Whether any line passes within `reach` mm (at most a cell) of a point.
    pub(crate) fn within(&self, point: PanelPoint, reach: f64) -> bool {
        self.around(point).any(|(a, b, _)| distance_squared_to_segment(point, *a, *b) <= reach * reach)
    }

    /// As [`Self::within`], but of other parts than this one.
    pub(crate) fn within_of_others(&self, point: PanelPoint, reach: f64, own: &Part) -> bool {
        self.around(point).any(|(a, b, part)| {
            !std::ptr::eq(*part, own) && distance_squared_to_segment(point, *a, *b) <= reach * reach
        })
    }

    /// Distance from a point to the nearest other part than this one, mm; `None` beyond `reach` (at most a cell).
    pub(crate) fn distance_to_others(&self, point: PanelPoint, reach: f64, own: &Part) -> Option<f64> {
        let others = self.around(point).filter(|(_, _, part)| !std::ptr::eq(*part, own));
        let least = others.map(|(a, b, _)| distance_squared_to_segment(point, *a, *b)).min_by(f64::total_cmp);
        least.map(f64::sqrt).filter(|distance| *distance <= reach)
    }

    /// Whether a segment no longer than a cell crosses other parts than this one.
    pub(crate) fn crossed_by_others(&self, from: PanelPoint, to: PanelPoint, own: &Part) -> bool {
        let side = |a: PanelPoint, b: PanelPoint, p: PanelPoint| {
            (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])
        };
        self.around(from).any(|(a, b, part)| {
            !std::ptr::eq(*part, own)
                && side(from, to, *a) * side(from, to, *b) <= 0.0
                && side(*a, *b, from) * side(*a, *b, to) <= 0.0
        })
    }

    /// The parts that pass within `reach` mm (at most a cell) of a point, some of them more than once.
    pub(crate) fn parts_within(&self, point: PanelPoint, reach: f64) -> impl Iterator<Item = &'a Part> {
        let is_near =
            move |a: PanelPoint, b: PanelPoint| distance_squared_to_segment(point, a, b) <= reach * reach;
        self.around(point).filter(move |(a, b, _)| is_near(*a, *b)).map(|(_, _, part)| *part)
    }

    /// The stretches of lines, none longer than a cell, in the cell of a point and those beside it, some of them more than
    /// once.
    pub(crate) fn edges_around(
        &self,
        point: PanelPoint,
    ) -> impl Iterator<Item = (PanelPoint, PanelPoint, &'a Part)> {
        self.around(point).copied()
    }

    fn around(&self, point: PanelPoint) -> impl Iterator<Item = &(PanelPoint, PanelPoint, &'a Part)> {
        let [x, y] = cell(point);
        (x - 1..=x + 1)
            .flat_map(move |x| (y - 1..=y + 1).map(move |y| [x, y]))
            .filter_map(|c| self.cells.get(&c))
            .flatten()
    }
}

fn cell(point: PanelPoint) -> [i64; 2] {
    [0, 1].map(|axis| (point[axis] / CELL_MM).floor() as i64)
}

/// Whether a line runs along others over its whole length.
pub(crate) fn runs_along(part: &Part, near: &Near<'_>) -> bool {
    runs_within(part, near, ALONG_MM)
}

/// The same within a distance, mm.
pub(crate) fn runs_within(part: &Part, near: &Near<'_>, mm: f64) -> bool {
    part.points.iter().copied().chain(part.middles()).all(|p| near.within(p, mm.max(ALONG_MM)))
}
