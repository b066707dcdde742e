//! A uniform grid over line segments: which segments are near a place.

use crate::lattice::Point;

/// Segments sorted into square cells. Every segment is listed in each cell it touches.
pub(crate) struct SegmentGrid {
    low: [f64; 2],
    cell: f64,
    columns: usize,
    rows: usize,
    starts: Vec<u32>,
    items: Vec<u32>,
}

/// Slack around a segment, steps: more than the rounding of a split point can move it.
const SLACK: f64 = 4.0;

impl SegmentGrid {
    /// Uses about one cell per segment, no smaller than half the mean length, so that the table stays linear in the
    /// number of segments whatever their shape.
    pub(crate) fn new(segments: &[(Point, Point)]) -> Self {
        let mut low = [f64::INFINITY; 2];
        let mut high = [f64::NEG_INFINITY; 2];
        let mut length = 0.0;
        for &(a, b) in segments {
            length += a.distance(b);
            for p in [a.steps(), b.steps()] {
                for axis in 0..2 {
                    low[axis] = low[axis].min(p[axis]);
                    high[axis] = high[axis].max(p[axis]);
                }
            }
        }
        if segments.is_empty() {
            (low, high) = ([0.0; 2], [0.0; 2]);
        }
        let count = segments.len().max(1) as f64;
        let (width, height) = (high[0] - low[0] + 2.0 * SLACK, high[1] - low[1] + 2.0 * SLACK);
        let cell = (width * height / count).sqrt().max(length / count / 2.0).max(width.max(height) / 4096.0);
        let low = [low[0] - SLACK, low[1] - SLACK];
        let mut grid = SegmentGrid {
            low,
            cell,
            columns: (width / cell) as usize + 1,
            rows: (height / cell) as usize + 1,
            starts: Vec::new(),
            items: Vec::new(),
        };
        let mut counts = vec![0_u32; grid.columns * grid.rows + 1];
        for &segment in segments {
            grid.cells_of(segment, |cell| counts[cell + 1] += 1);
        }
        for i in 1..counts.len() {
            counts[i] += counts[i - 1];
        }
        let mut next = counts.clone();
        let mut items = vec![0_u32; counts.last().copied().unwrap_or(0) as usize];
        for (index, &segment) in segments.iter().enumerate() {
            grid.cells_of(segment, |cell| {
                items[next[cell] as usize] = index as u32;
                next[cell] += 1;
            });
        }
        grid.starts = counts;
        grid.items = items;
        grid
    }

    fn column(&self, x: f64) -> usize {
        (((x - self.low[0]) / self.cell).max(0.0) as usize).min(self.columns - 1)
    }

    fn row(&self, y: f64) -> usize {
        (((y - self.low[1]) / self.cell).max(0.0) as usize).min(self.rows - 1)
    }

    fn cells_of(&self, (a, b): (Point, Point), mut visit: impl FnMut(usize)) {
        let (a, b) = (a.steps(), b.steps());
        let (left, right) = if a[0] <= b[0] { (a, b) } else { (b, a) };
        let slope = if right[0] > left[0] { (right[1] - left[1]) / (right[0] - left[0]) } else { 0.0 };
        let (first, last) = (self.column(left[0] - SLACK), self.column(right[0] + SLACK));
        for column in first..=last {
            let (y0, y1) = if first == last || slope == 0.0 {
                (left[1], right[1])
            } else {
                let x0 = (self.low[0] + column as f64 * self.cell - SLACK).clamp(left[0], right[0]);
                let x1 = (self.low[0] + (column + 1) as f64 * self.cell + SLACK).clamp(left[0], right[0]);
                (left[1] + slope * (x0 - left[0]), left[1] + slope * (x1 - left[0]))
            };
            for row in self.row(y0.min(y1) - SLACK)..=self.row(y0.max(y1) + SLACK) {
                visit(row * self.columns + column);
            }
        }
    }

    /// All cells, each as the list of its segments.
    pub(crate) fn cells(&self) -> impl Iterator<Item = &[u32]> {
        self.starts.windows(2).map(|w| &self.items[w[0] as usize..w[1] as usize])
    }

    /// Visits the segments that may come within `radius` steps of `centre`, some of them more than once.
    pub(crate) fn near(&self, centre: [f64; 2], radius: f64, mut visit: impl FnMut(usize)) {
        let (c0, c1) = (self.column(centre[0] - radius), self.column(centre[0] + radius));
        for row in self.row(centre[1] - radius)..=self.row(centre[1] + radius) {
            let start = self.starts[row * self.columns + c0] as usize;
            let end = self.starts[row * self.columns + c1 + 1] as usize;
            for &item in &self.items[start..end] {
                visit(item as usize);
            }
        }
    }

    /// A radius that covers the whole grid from any point in it, steps.
    pub(crate) fn reach(&self) -> f64 {
        self.cell * (self.columns + self.rows) as f64
    }

    /// Side of a cell, steps.
    pub(crate) fn cell(&self) -> f64 {
        self.cell
    }
}
