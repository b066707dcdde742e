//! A point well inside a polygon.

use crate::polygon::Polygon;
use plane::{PanelPoint, bounds, edges, signed_distance};
use std::collections::BinaryHeap;

type Edge = (PanelPoint, PanelPoint);

/// A square that may hold the wanted point.
struct Cell {
    centre: PanelPoint,
    half: f64,
    /// Distance from the centre to the nearest edge, negative outside.
    distance: f64,
}

impl Cell {
    fn new(centre: PanelPoint, half: f64, edges: &[Edge]) -> Self {
        Cell { centre, half, distance: signed_distance(edges, centre) }
    }

    /// No point of the square is deeper inside than this.
    fn best_possible(&self) -> f64 {
        self.distance + self.half * std::f64::consts::SQRT_2
    }
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Cell {}
impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Cell {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.best_possible()
            .total_cmp(&other.best_possible())
            .then(self.centre[1].total_cmp(&other.centre[1]))
            .then(other.centre[0].total_cmp(&self.centre[0]))
    }
}

/// How much farther from the edges another point may be than the one returned, as a share.
const SLACK: f64 = 0.1;

/// Limits on the squares, and on the pairs of squares and edges, that are examined; a few dozen squares are usual.
const CELL_LIMIT: usize = 2_000;
const PAIR_LIMIT: usize = 20_000_000;

/// A point about as far from the edges as possible (the pole of inaccessibility): no other is a tenth farther.
///
/// Returns the point and its distance from the nearest edge, mm; `None` for a polygon without area.
///
/// Quadtree search as in Garcia-Castellanos & Lombardo 2007, "Poles of inaccessibility", Scottish Geographical
/// Journal 123(3) (source from memory). Cells that cannot hold a better point are dropped.
pub(crate) fn pole_of_inaccessibility(polygon: &Polygon) -> Option<(PanelPoint, f64)> {
    let [low, high] = bounds(&polygon.outer)?;
    let (width, height) = (high[0] - low[0], high[1] - low[1]);
    let short = width.min(height);
    if short <= 0.0 {
        return None;
    }
    let all: Vec<Edge> = polygon.rings().flat_map(edges).collect();
    let middle = PanelPoint::new((low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0);
    let mut best = Cell::new(middle, 0.0, &all);
    // At most 64 squares along a long thin shape.
    let half = (short / 2.0).max(width.max(height) / 128.0);
    let mut queue = BinaryHeap::new();
    let (columns, rows) = ((width / half / 2.0).ceil() as usize, (height / half / 2.0).ceil() as usize);
    for row in 0..rows.max(1) {
        for column in 0..columns.max(1) {
            let at = |axis: usize, k: usize| low[axis] + half * (2 * k + 1) as f64;
            queue.push(Cell::new(PanelPoint::new(at(0, column), at(1, row)), half, &all));
        }
    }
    let limit = (PAIR_LIMIT / all.len().max(1)).clamp(32, CELL_LIMIT);
    let mut seen = 0;
    while let Some(cell) = queue.pop() {
        seen += 1;
        let enough = best.distance > 0.0 && cell.best_possible() <= (1.0 + SLACK) * best.distance;
        if enough || seen > limit {
            break;
        }
        let half = cell.half / 2.0;
        for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            let centre = PanelPoint::new(cell.centre[0] + dx * half, cell.centre[1] + dy * half);
            let child = Cell::new(centre, half, &all);
            if child.best_possible() > best.distance {
                queue.push(child);
            }
        }
        if cell.distance > best.distance {
            best = cell;
        }
    }
    if best.distance > 0.0 {
        Some((best.centre, best.distance))
    } else {
        inside_on_a_line(polygon, low, high)
    }
}

/// For shapes too thin for the search: the middle of the widest stretch inside the shape on a horizontal line.
fn inside_on_a_line(polygon: &Polygon, low: PanelPoint, high: PanelPoint) -> Option<(PanelPoint, f64)> {
    let mut best: Option<(f64, PanelPoint)> = None;
    for share in [0.5, 0.31, 0.69, 0.13, 0.87] {
        let y = low[1] + share * (high[1] - low[1]);
        let mut xs: Vec<f64> = polygon
            .rings()
            .flat_map(edges)
            .filter(|(a, b)| (a[1] > y) != (b[1] > y))
            .map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
            .collect();
        sorting::numbers(&mut xs);
        for pair in xs.chunks_exact(2) {
            let width = pair[1] - pair[0];
            if width > best.map_or(0.0, |b| b.0) {
                best = Some((width, PanelPoint::new((pair[0] + pair[1]) / 2.0, y)));
            }
        }
    }
    best.map(|(_, point)| (point, polygon.distance_to_edge_mm(point)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn polygon(outer: &[[f64; 2]], holes: &[&[[f64; 2]]]) -> Polygon {
        let ring = |ring: &[[f64; 2]]| PanelPoint::slice(ring).to_vec();
        Polygon { outer: ring(outer), holes: holes.iter().map(|hole| ring(hole)).collect() }
    }

    #[test]
    fn finds_the_middle_of_plain_shapes() {
        let square = polygon(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]], &[]);
        assert_eq!(pole_of_inaccessibility(&square), Some((PanelPoint::new(5.0, 5.0), 5.0)));
        // A 3-4-5 triangle's inscribed circle has radius 1 about (1, 1).
        let triangle = polygon(&[[0.0, 0.0], [4.0, 0.0], [0.0, 3.0]], &[]);
        let (p, distance) = pole_of_inaccessibility(&triangle).expect("a point");
        assert!((p[0] - 1.0).abs() < 0.2 && (p[1] - 1.0).abs() < 0.2 && distance > 0.9, "{p:?} {distance}");
    }

    #[test]
    fn avoids_holes_and_finds_slivers() {
        let hole = [[2.0, 2.0], [2.0, 8.0], [8.0, 8.0], [8.0, 2.0]];
        let frame = polygon(&[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]], &[&hole]);
        let (p, distance) = pole_of_inaccessibility(&frame).expect("a point");
        assert!(frame.contains(p) && distance > 0.9, "{p:?}");
        // A slanting sliver 1000 long and 0.001 wide.
        let sliver = polygon(&[[0.0, 0.0], [1000.0, 700.0], [1000.0, 700.001]], &[]);
        let (p, _) = pole_of_inaccessibility(&sliver).expect("a point");
        assert!(sliver.contains(p), "{p:?}");
        assert_eq!(pole_of_inaccessibility(&Polygon::default()), None);
    }
}
