//! Polygons with holes: area, perimeter, containment.

/// A polygon in mm: one outer ring, counterclockwise, and holes, clockwise. Rings are not repeated at the end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Polygon {
    /// Outer ring, counterclockwise.
    pub outer: Vec<[f64; 2]>,
    /// Holes, clockwise.
    pub holes: Vec<Vec<[f64; 2]>>,
}

impl Polygon {
    /// The outer ring, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &[[f64; 2]]> {
        std::iter::once(self.outer.as_slice()).chain(self.holes.iter().map(Vec::as_slice))
    }

    /// Area, mm², without the holes.
    pub fn area_mm2(&self) -> f64 {
        self.rings().map(ring_area).sum()
    }

    /// Length of all rings, mm.
    pub fn perimeter_mm(&self) -> f64 {
        self.rings().map(|ring| edges(ring).map(|(a, b)| (b[0] - a[0]).hypot(b[1] - a[1])).sum::<f64>()).sum()
    }

    /// True for points inside; points on an edge may fall either way.
    pub fn contains(&self, point: [f64; 2]) -> bool {
        self.rings().fold(false, |inside, ring| inside ^ ring_contains(ring, point))
    }

    /// Distance from a point to the nearest edge, mm; infinite for an empty polygon.
    pub fn distance_to_edge_mm(&self, point: [f64; 2]) -> f64 {
        self.rings()
            .flat_map(edges)
            .map(|(a, b)| distance_squared_to_segment(point, a, b))
            .fold(f64::INFINITY, f64::min)
            .sqrt()
    }
}

/// Edges of a ring, the closing one last.
pub(crate) fn edges(ring: &[[f64; 2]]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Signed area of a ring, positive where counterclockwise (the shoelace formula, about its first point).
pub(crate) fn ring_area(ring: &[[f64; 2]]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    let twice: f64 =
        edges(ring).map(|(a, b)| (a[0] - o[0]) * (b[1] - o[1]) - (b[0] - o[0]) * (a[1] - o[1])).sum();
    twice / 2.0
}

/// Even-odd containment by a ray to the right.
fn ring_contains(ring: &[[f64; 2]], p: [f64; 2]) -> bool {
    edges(ring).fold(false, |inside, (a, b)| {
        let crosses =
            (a[1] > p[1]) != (b[1] > p[1]) && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0];
        inside ^ crosses
    })
}

/// Squared distance from a point to a segment.
#[inline]
pub(crate) fn distance_squared_to_segment(p: [f64; 2], a: [f64; 2], b: [f64; 2]) -> f64 {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let length_squared = dx * dx + dy * dy;
    let t = if length_squared > 0.0 {
        (((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let (ex, ey) = (p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
    ex * ex + ey * ey
}

/// Smallest box around points: lower left and upper right; `None` for no points.
pub(crate) fn bounds<'a>(points: impl IntoIterator<Item = &'a [f64; 2]>) -> Option<[[f64; 2]; 2]> {
    let mut points = points.into_iter();
    let first = points.next()?;
    Some(points.fold([*first, *first], |[low, high], p| {
        [[low[0].min(p[0]), low[1].min(p[1])], [high[0].max(p[0]), high[1].max(p[1])]]
    }))
}
