//! A region of the panel's plane, as a set of square tiles.

use crate::lattice::{Point, STEPS_PER_MM};
use plane::PanelPoint;

/// Maximum number of tiles along the longer side of a panel.
const MOST_TILES: f64 = 256.0;

/// Least side of a tile, snapping distances: no step of joining, splitting or closing strips reaches as far.
const LEAST_SIDE: f64 = 24.0;

/// Allowance for the rounding of a segment's ends, steps.
const SLACK: f64 = 4.0;

/// A set of tiles. The tiles at the border also stand for everything beyond them.
#[derive(Debug, Clone)]
pub(crate) struct Tiles {
    side: f64,
    /// Tiles a step.
    per_step: f64,
    columns: usize,
    rows: usize,
    marked: Vec<bool>,
    count: usize,
    /// Columns and rows of a box around the set: the first, and one beyond the last.
    columns_used: (usize, usize),
    rows_used: (usize, usize),
}

impl Tiles {
    /// An empty set of tiles for a panel of this size.
    pub(crate) fn none(width_mm: f64, height_mm: f64, snap_mm: f64) -> Self {
        let side_mm = (width_mm.max(height_mm) / MOST_TILES).max(LEAST_SIDE * snap_mm);
        let (columns, rows) = ((width_mm / side_mm) as usize + 1, (height_mm / side_mm) as usize + 1);
        let side = side_mm * STEPS_PER_MM;
        Tiles {
            side,
            per_step: 1.0 / side,
            columns,
            rows,
            marked: vec![false; columns * rows],
            count: 0,
            columns_used: (columns, 0),
            rows_used: (rows, 0),
        }
    }

    fn column(&self, x: f64) -> usize {
        ((x * self.per_step).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        ((y * self.per_step).max(0.0) as usize).min(self.rows - 1)
    }

    /// The tiles within `slack` steps of a segment: for each column its first and last tile.
    fn runs(&self, a: Point, b: Point, slack: f64) -> impl Iterator<Item = (usize, usize)> + use<> {
        let (a, b) = (a.steps(), b.steps());
        let (left, right) = if a[0] <= b[0] { (a, b) } else { (b, a) };
        let slope = if right[0] > left[0] { (right[1] - left[1]) / (right[0] - left[0]) } else { 0.0 };
        let (first, last) = (self.column(left[0] - slack), self.column(right[0] + slack));
        let (side, per_step, columns, top) = (self.side, self.per_step, self.columns, self.rows - 1);
        let row = move |y: f64| ((y * per_step).max(0.0) as usize).min(top);
        (first..=last).map(move |column| {
            // The border columns extend outward without limit.
            let from = if column == 0 { left[0] } else { column as f64 * side - slack };
            let to = if column + 1 == columns { right[0] } else { (column + 1) as f64 * side + slack };
            let (x0, x1) = (from.clamp(left[0], right[0]), to.clamp(left[0], right[0]));
            let (y0, y1) = if first == last || slope == 0.0 {
                (left[1], right[1])
            } else {
                (left[1] + slope * (x0 - left[0]), left[1] + slope * (x1 - left[0]))
            };
            (row(y0.min(y1) - slack) * columns + column, row(y0.max(y1) + slack) * columns + column)
        })
    }

    /// Adds the tiles within `reach` steps of a segment.
    pub(crate) fn add(&mut self, (a, b): (Point, Point), reach: f64) {
        for (first, last) in self.runs(a, b, reach.max(SLACK)) {
            self.add_rows(first % self.columns, first / self.columns, last / self.columns);
        }
    }

    fn add_rows(&mut self, column: usize, first: usize, last: usize) {
        for row in first..=last {
            let tile = &mut self.marked[row * self.columns + column];
            self.count += usize::from(!*tile);
            *tile = true;
        }
        let with =
            |(from, to): (usize, usize), first: usize, last: usize| (from.min(first), to.max(last + 1));
        self.columns_used = with(self.columns_used, column, column);
        self.rows_used = with(self.rows_used, first, last);
    }

    /// Column and row of each tile of the set.
    fn each(&self) -> impl Iterator<Item = (usize, usize)> {
        let (columns, rows) = (self.columns_used.0..self.columns_used.1, self.rows_used.0..self.rows_used.1);
        rows.flat_map(move |row| columns.clone().map(move |column| (column, row)))
            .filter(|(column, row)| self.marked[row * self.columns + column])
    }

    /// Adds all tiles that lie beside one of the set, edge to edge or corner to corner.
    pub(crate) fn grow(&mut self) {
        let old = self.clone();
        for (column, row) in old.each() {
            for c in column.saturating_sub(1)..=(column + 1).min(self.columns - 1) {
                self.add_rows(c, row.saturating_sub(1), (row + 1).min(self.rows - 1));
            }
        }
    }

    /// Adds another set.
    pub(crate) fn unite(&mut self, other: &Tiles) {
        for (column, row) in other.each() {
            self.add_rows(column, row, row);
        }
    }

    /// The set and the tiles beside it.
    pub(crate) fn grown(&self) -> Self {
        let mut grown = self.clone();
        grown.grow();
        grown
    }

    /// True if a segment runs through a tile of the set.
    pub(crate) fn touches(&self, (a, b): (Point, Point)) -> bool {
        let columns = (self.column(a.x.min(b.x) as f64 - SLACK), self.column(a.x.max(b.x) as f64 + SLACK));
        let rows = (self.row(a.y.min(b.y) as f64 - SLACK), self.row(a.y.max(b.y) as f64 + SLACK));
        let apart = |(first, last): (usize, usize), (from, to): (usize, usize)| last < from || first >= to;
        if apart(columns, self.columns_used) || apart(rows, self.rows_used) {
            return false;
        }
        self.runs(a, b, SLACK)
            .any(|(first, last)| (first..=last).step_by(self.columns).any(|tile| self.marked[tile]))
    }

    /// True if a segment runs only through tiles of the set.
    pub(crate) fn holds(&self, (a, b): (Point, Point)) -> bool {
        self.runs(a, b, SLACK)
            .all(|(first, last)| (first..=last).step_by(self.columns).all(|tile| self.marked[tile]))
    }

    /// True if a point lies in a tile of the set.
    pub(crate) fn contains(&self, p: Point) -> bool {
        let [x, y] = p.steps();
        self.marked[self.row(y) * self.columns + self.column(x)]
    }

    /// The smallest box around the set, mm: lower left and upper right. It extends outward without limit wherever
    /// the set contains border tiles.
    pub(crate) fn bounds_mm(&self) -> [PanelPoint; 2] {
        let side = self.side / STEPS_PER_MM;
        let from = |first: usize| if first == 0 { f64::NEG_INFINITY } else { first as f64 * side };
        let to = |end: usize, count: usize| if end == count { f64::INFINITY } else { end as f64 * side };
        let (columns, rows) = (self.columns_used, self.rows_used);
        [
            PanelPoint::new(from(columns.0), from(rows.0)),
            PanelPoint::new(to(columns.1, self.columns), to(rows.1, self.rows)),
        ]
    }

    /// How much of the panel the set covers, 0–1.
    pub(crate) fn share(&self) -> f64 {
        self.count as f64 / self.marked.len() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(x: f64, y: f64) -> Point {
        Point::from_mm(PanelPoint::new(x, y))
    }

    #[test]
    fn a_segment_touches_the_tiles_it_runs_through() {
        // 200 by 100 tiles of 10 mm.
        let mut tiles = Tiles::none(2555.0, 1000.0, 0.2);
        tiles.add((mm(101.0, 101.0), mm(199.0, 199.0)), 0.0);
        assert_eq!(tiles.count, 28, "ten on the diagonal and both neighbours at each corner");
        assert!(tiles.touches((mm(0.0, 155.0), mm(2000.0, 156.0))));
        assert!(!tiles.touches((mm(0.0, 255.0), mm(2000.0, 256.0))));
        assert!(tiles.contains(mm(155.0, 155.0)) && !tiles.contains(mm(155.0, 175.0)));
        tiles.grow();
        assert!(tiles.contains(mm(155.0, 175.0)) && tiles.holds((mm(120.0, 121.0), mm(160.0, 161.0))));
    }

    #[test]
    fn points_beyond_the_panel_belong_to_border_tiles() {
        let mut tiles = Tiles::none(1000.0, 1000.0, 0.2);
        tiles.add((mm(-500.0, 500.0), mm(-400.0, 500.0)), 0.0);
        assert_eq!(tiles.count, 1);
        assert!(tiles.touches((mm(-9000.0, 500.0), mm(-8000.0, 500.0))));
        assert!(!tiles.touches((mm(-9000.0, 800.0), mm(-8000.0, 800.0))));
    }
}
