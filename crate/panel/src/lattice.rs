//! Points on a fixed fine lattice, where orientation is exact.
//!
//! One step is 2⁻²⁰ mm, about a nanometre; with [`crate::COORDINATE_LIMIT_MM`] every product below fits `i128`.

use i_overlay::i_float::int::point::IntPoint;
use plane::PanelPoint;
use std::cmp::Ordering;

/// Lattice steps in a millimetre. A power of two, so that scaling loses no precision.
pub(crate) const STEPS_PER_MM: f64 = 1_048_576.0;

/// A lattice point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Point {
    pub(crate) x: i64,
    pub(crate) y: i64,
}

impl Point {
    /// Nearest lattice point; coordinates within the drawing's limit.
    pub(crate) fn from_mm(p: PanelPoint) -> Self {
        Self::from_steps([p[0] * STEPS_PER_MM, p[1] * STEPS_PER_MM])
    }

    /// Nearest lattice point; coordinates in steps.
    pub(crate) fn from_steps(p: [f64; 2]) -> Self {
        Point { x: p[0].round() as i64, y: p[1].round() as i64 }
    }

    pub(crate) fn mm(self) -> PanelPoint {
        PanelPoint::new(self.x as f64 / STEPS_PER_MM, self.y as f64 / STEPS_PER_MM)
    }

    /// Coordinates in steps; exact, since they stay below 2⁵³.
    pub(crate) fn steps(self) -> [f64; 2] {
        [self.x as f64, self.y as f64]
    }

    /// Vector from `self` to `to`, in steps; exact.
    pub(crate) fn vector_to(self, to: Point) -> [f64; 2] {
        [(to.x - self.x) as f64, (to.y - self.y) as f64]
    }

    pub(crate) fn distance(self, to: Point) -> f64 {
        let [x, y] = self.vector_to(to);
        x.hypot(y)
    }
}

/// A ring on the lattice, as set operations take it.
pub(crate) fn int_ring(ring: &[PanelPoint]) -> Vec<IntPoint<i64>> {
    ring.iter().map(|&p| Point::from_mm(p)).map(|p| IntPoint { x: p.x, y: p.y }).collect()
}

/// A ring of a set operation's result.
pub(crate) fn ring_mm(ring: &[IntPoint<i64>]) -> Vec<PanelPoint> {
    ring.iter().map(|p| Point { x: p.x, y: p.y }.mm()).collect()
}

pub(crate) fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

pub(crate) fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Twice the signed area of a → b → c, exact.
pub(crate) fn twice_area(a: Point, b: Point, c: Point) -> i128 {
    let wide = |v: i64| i128::from(v);
    wide(b.x - a.x) * wide(c.y - a.y) - wide(b.y - a.y) * wide(c.x - a.x)
}

/// `Greater` if a → b → c turns left, `Less` if right, `Equal` if straight; exact.
pub(crate) fn turn(a: Point, b: Point, c: Point) -> Ordering {
    let (u, v) = (a.vector_to(b), a.vector_to(c));
    let (p, q) = (u[0] * v[1], u[1] * v[0]);
    // The factors are exact; each product and the difference are rounded once.
    let error = (p.abs() + q.abs()) * (4.0 * f64::EPSILON);
    let estimate = p - q;
    if estimate > error {
        Ordering::Greater
    } else if estimate < -error {
        Ordering::Less
    } else {
        twice_area(a, b, c).cmp(&0)
    }
}

/// Order of two directions out of one point by angle, counterclockwise from +x; exact.
pub(crate) fn compare_angle(origin: Point, p: Point, q: Point) -> Ordering {
    let lower = |t: Point| t.y < origin.y || (t.y == origin.y && t.x < origin.x);
    lower(p).cmp(&lower(q)).then_with(|| turn(origin, q, p))
}

/// Nearest point of segment a–b to `p`, steps, and its distance from `p`.
pub(crate) fn nearest_on_segment(p: Point, a: Point, b: Point) -> ([f64; 2], f64) {
    let d = a.vector_to(b);
    let e = a.vector_to(p);
    let length_squared = dot(d, d);
    let t = if length_squared > 0.0 { (dot(d, e) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    let (x, y) = (d[0] * t, d[1] * t);
    let start = a.steps();
    ([start[0] + x, start[1] + y], (e[0] - x).hypot(e[1] - y))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn p(x: i64, y: i64) -> Point {
        Point { x, y }
    }

    #[test]
    fn turn_is_exact_where_floating_point_is_not() {
        let far = 20_000 * 1_048_576;
        assert_eq!(turn(p(-far, -far), p(far, far), p(far - 1, far - 1)), Ordering::Equal);
        assert_eq!(turn(p(-far, -far), p(far, far), p(far - 1, far)), Ordering::Greater);
        assert_eq!(turn(p(-far, -far), p(far, far - 1), p(0, 0)), Ordering::Greater);
        assert_eq!(turn(p(-far, -far), p(far, far - 1), p(0, -1)), Ordering::Less);
    }

    #[test]
    fn directions_are_ordered_all_round() {
        let round = [p(5, 0), p(5, 1), p(0, 3), p(-2, 2), p(-7, 0), p(-7, -1), p(0, -1), p(4, -1)];
        for (i, &a) in round.iter().enumerate() {
            for (j, &b) in round.iter().enumerate() {
                assert_eq!(compare_angle(p(0, 0), a, b), i.cmp(&j), "{a:?} {b:?}");
            }
        }
    }
}
