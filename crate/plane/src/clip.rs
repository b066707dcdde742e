//! Parts of a ring (Sutherland & Hodgman 1974). A concave ring may come back with edges that run along the cut
//! there and back; areas and sums over the edges are unaffected.

use crate::point2::Point2;

/// The part of a ring between two limits on one axis (0 x, 1 y), written to `out`.
pub fn clip_to_band<F: Copy>(ring: &[Point2<F>], axis: usize, low: f64, high: f64, out: &mut Vec<Point2<F>>) {
    let mut half = Vec::with_capacity(ring.len() + 2);
    clip(ring, |p| p[axis] - low, &mut half);
    out.clear();
    clip(&half, |p| high - p[axis], out);
}

/// The part of a ring inside the rectangle with the given limits.
pub fn clip_to_rectangle<F: Copy>(ring: &[Point2<F>], x: [f64; 2], y: [f64; 2]) -> Vec<Point2<F>> {
    let (mut band, mut out) = (Vec::new(), Vec::new());
    clip_to_band(ring, 0, x[0], x[1], &mut band);
    clip_to_band(&band, 1, y[0], y[1], &mut out);
    out
}

/// The part of a ring inside an anticlockwise convex one.
pub fn clip_to_convex<F: Copy>(ring: &[Point2<F>], convex: &[Point2<F>]) -> Vec<Point2<F>> {
    let mut part = ring.to_vec();
    for (p, q) in crate::ring::edges(convex) {
        part = clip_to_left_of(&part, [p, q]);
    }
    part
}

/// The part of a ring to the left of a line, seen along it from its first point to its second.
pub fn clip_to_left_of<F: Copy>(ring: &[Point2<F>], [from, to]: [Point2<F>; 2]) -> Vec<Point2<F>> {
    let mut kept = Vec::with_capacity(ring.len() + 2);
    let along = to.vector() - from.vector();
    clip(ring, |v| along.perp_dot(v.vector() - from.vector()), &mut kept);
    kept
}

/// Appends the part of a ring where `height` is not below zero. `height` is linear in the plane.
fn clip<F: Copy>(ring: &[Point2<F>], height: impl Fn(Point2<F>) -> f64, out: &mut Vec<Point2<F>>) {
    for (a, b) in crate::ring::edges(ring) {
        let (da, db) = (height(a), height(b));
        if da >= 0.0 {
            out.push(a);
        }
        if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
            let t = da / (da - db);
            out.push(Point2::from(a.vector() + t * (b.vector() - a.vector())));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::WallPoint;
    use crate::ring::signed_area;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];

    #[test]
    fn a_strip_across_has_its_width() {
        let strip = [[-1.0, 0.4], [2.0, 0.4], [2.0, 0.5], [-1.0, 0.5]];
        let part = clip_to_convex(WallPoint::slice(&SQUARE), WallPoint::slice(&strip));
        assert!((signed_area(&part) - 0.1).abs() < 1e-12);
        let beyond = [[2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [2.0, 1.0]];
        let part = clip_to_convex(WallPoint::slice(&SQUARE), WallPoint::slice(&beyond));
        assert!(signed_area(&part).abs() < 1e-12);
    }

    #[test]
    fn a_rectangle_cuts_both_ways() {
        let part = clip_to_rectangle(WallPoint::slice(&SQUARE), [0.25, 4.0], [-1.0, 0.5]);
        assert!((signed_area(&part) - 0.375).abs() < 1e-12);
    }
}
