//! Segments by place: which of them lie near a point.

use glam::DVec2;

/// An index has no more cells than this for each stretch.
const MOST_CELLS: f64 = 4.0;
/// Segments are cut into no more stretches than this each, on average.
const MOST_STRETCHES: f64 = 4.0;

/// Segments by the square cells that they touch. Long ones are cut into stretches about as long as a cell, so that none
/// touches many.
pub(crate) struct Cells {
    low: DVec2,
    size: f64,
    columns: usize,
    rows: usize,
    /// Where each cell's segments start, and where the last's end.
    starts: Vec<u32>,
    /// The numbers of the segments, cell by cell.
    segments: Vec<u32>,
}

impl Cells {
    /// `size`: least side of a cell, mm; larger where few segments reach far.
    pub(crate) fn new(segments: &[(DVec2, DVec2)], size: f64) -> Self {
        let (mut low, mut high, mut length) = (DVec2::INFINITY, DVec2::NEG_INFINITY, 0.0);
        for &(a, b) in segments {
            (low, high) = (low.min(a).min(b), high.max(a).max(b));
            length += a.distance(b);
        }
        let count = segments.len() as f64;
        let reach = if segments.is_empty() { DVec2::ZERO } else { high - low };
        let most = MOST_CELLS * count + 1.0;
        let size = size
            .max(length / (MOST_STRETCHES * count).max(1.0))
            .max((reach.x * reach.y / most).sqrt())
            .max(reach.max_element() / most)
            .max(1e-9);
        let [columns, rows] = (reach / size).to_array().map(|v| v as usize + 1);
        let mut cells = Self { low, size, columns, rows, starts: Vec::new(), segments: Vec::new() };
        let mut starts = vec![0; columns * rows + 1];
        cells.each(segments, |_, cell| starts[cell] += 1);
        let mut sum = 0;
        for start in &mut starts {
            sum += std::mem::replace(start, sum);
        }
        let (mut next, mut all) = (starts.clone(), vec![0; sum as usize]);
        cells.each(segments, |segment, cell| {
            all[next[cell] as usize] = segment;
            next[cell] += 1;
        });
        (cells.starts, cells.segments) = (starts, all);
        cells
    }

    /// Calls with each segment's number and each cell that it touches, some more than once.
    fn each(&self, segments: &[(DVec2, DVec2)], mut call: impl FnMut(u32, usize)) {
        for (index, &(a, b)) in segments.iter().enumerate() {
            let count = (a.distance(b) / self.size).ceil().max(1.0);
            for k in 0..count as usize {
                let (from, to) = (a.lerp(b, k as f64 / count), a.lerp(b, (k as f64 + 1.0) / count));
                self.cells_of(from.min(to), from.max(to)).for_each(|cell| call(index as u32, cell));
            }
        }
    }

    /// The cells that a box touches.
    fn cells_of(&self, low: DVec2, high: DVec2) -> impl Iterator<Item = usize> + use<> {
        // Outside of all cells, the ranges are empty.
        let range = |axis: usize, count: usize| {
            let [from, to] = [low, high].map(|p| (p[axis] - self.low[axis]) / self.size);
            if to < 0.0 { 0..0 } else { from.max(0.0) as usize..count.min(to as usize + 1) }
        };
        let (columns, across) = (self.columns, range(0, self.columns));
        range(1, self.rows).flat_map(move |row| across.clone().map(move |column| row * columns + column))
    }

    /// The numbers of the segments that may come within a distance of a box, some more than once.
    pub(crate) fn around(&self, low: DVec2, high: DVec2, distance: f64) -> impl Iterator<Item = usize> {
        let cells = self.cells_of(low - DVec2::splat(distance), high + DVec2::splat(distance));
        cells.flat_map(|cell| {
            let (from, to) = (self.starts[cell] as usize, self.starts[cell + 1] as usize);
            self.segments[from..to].iter().map(|&segment| segment as usize)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_near_is_found_and_what_is_far_is_not() {
        let at = |x: f64, y: f64| DVec2::new(x, y);
        // A long diagonal over many short segments.
        let mut segments: Vec<(DVec2, DVec2)> = (0..2500)
            .map(|k| at(f64::from(k % 50), f64::from(k / 50)))
            .map(|p| (p, p + at(0.5, 0.0)))
            .collect();
        segments.push((at(0.2, 0.2), at(49.0, 49.0)));
        let cells = Cells::new(&segments, 1.0);
        let around = |p: DVec2, distance: f64| {
            let mut found: Vec<usize> = cells.around(p, p, distance).collect();
            found.sort_unstable();
            found.dedup();
            found
        };
        let found = around(at(20.0, 21.0), 0.9);
        assert!([1020, 1070, 2500].iter().all(|near| found.contains(near)), "{found:?}");
        assert!(found.len() < 20, "{found:?}");
        assert!(!around(at(40.0, 3.0), 1.0).contains(&2500));
        assert!(around(at(500.0, -70.0), 9.0).is_empty());
        assert_eq!(around(at(-1.0, -1.0), 200.0).len(), 2501);
        assert!(Cells::new(&[], 1.0).around(at(0.0, 0.0), at(1.0, 1.0), 5.0).next().is_none());
    }
}
