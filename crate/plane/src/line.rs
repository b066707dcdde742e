//! Prepares a line to be drawn with a width: its distinct points, and the offset at each of them.

use crate::point2::{Point2, Vector2};

/// A line's points without those that are not finite, and without those nearer than `apart` to the one before; of a closed
/// line (whose last point joins the first) none at its end that are so near its start.
pub fn distinct<F: Copy>(line: &[Point2<F>], closed: bool, apart: f64) -> Vec<Point2<F>> {
    let mut points: Vec<Point2<F>> = Vec::with_capacity(line.len());
    for &p in line.iter().filter(|p| p.vector().is_finite()) {
        if points.last().is_none_or(|&q| (p - q).length() > apart) {
            points.push(p);
        }
    }
    while closed && points.len() > 1 && (points[0] - points[points.len() - 1]).length() <= apart {
        points.pop();
    }
    points
}

/// The mitre vector of each point of a line: points moved by these vectors move both edges beside them by 1, to their
/// [`left`](Vector2::left). A mitre vector is no longer than `limit`; at an end of an open line it is perpendicular to the
/// edge there. Coincident points have no direction; remove them first ([`distinct`]).
pub fn mitres<F: Copy>(points: &[Point2<F>], closed: bool, limit: f64) -> Vec<Vector2<F>> {
    let n = points.len();
    let left = |p: Point2<F>, q: Point2<F>| {
        let along = q - p;
        let length = along.length().max(1e-12);
        Vector2::new(-along[1] / length, along[0] / length)
    };
    let at = |i: usize| {
        let before = (closed || i > 0).then(|| left(points[(i + n - 1) % n], points[i]));
        let after = (closed || i + 1 < n).then(|| left(points[i], points[(i + 1) % n]));
        let (Some(b), Some(a)) = (before, after) else {
            return before.or(after).unwrap_or(Vector2::new(0.0, 1.0));
        };
        let sum = a + b;
        let square = sum.dot(sum);
        if square < 1e-9 { a } else { sum * (2.0 / square).min(limit / square.sqrt()) }
    };
    (0..n).map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{PanelPoint, PanelVector};

    #[test]
    fn a_mitre_moves_both_edges_by_one() {
        let corner = [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0]];
        let [start, middle, end] = mitres(PanelPoint::slice(&corner), false, 9.0)[..] else {
            panic!("three")
        };
        assert_eq!(start, PanelVector::new(0.0, 1.0));
        assert_eq!(middle, PanelVector::new(-1.0, 1.0));
        assert_eq!(end, PanelVector::new(-1.0, 0.0));
    }

    #[test]
    fn a_sharp_mitre_stops_at_its_limit() {
        let spike = [[0.0, 0.0], [10.0, 0.0], [0.0, 0.1]];
        let found = mitres(PanelPoint::slice(&spike), false, 2.0);
        assert!((found[1].length() - 2.0).abs() < 1e-9, "{found:?}");
    }

    #[test]
    fn points_that_coincide_or_are_none_fall_out() {
        let line = [[0.0, 0.0], [0.0, 1e-9], [5.0, 0.0], [f64::NAN, 1.0], [5.0, 5.0], [0.0, 1e-8]];
        let kept = |closed| distinct(PanelPoint::slice(&line), closed, 1e-6).len();
        assert_eq!((kept(false), kept(true)), (4, 3));
    }
}
