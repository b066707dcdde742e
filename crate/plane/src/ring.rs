//! Rings: polygons without holes, closed by an edge from the last point to the first.

use crate::point2::Point2;

/// Edges of a ring, the closing one last.
pub fn edges<F: Copy>(ring: &[Point2<F>]) -> impl Iterator<Item = (Point2<F>, Point2<F>)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Signed area, positive where wound anticlockwise, in the square of the frame's unit (the shoelace formula, about the
/// first point).
pub fn signed_area<F: Copy>(ring: &[Point2<F>]) -> f64 {
    let Some(first) = ring.first() else { return 0.0 };
    let from = |p: Point2<F>| p.vector() - first.vector();
    let twice: f64 = edges(ring).map(|(a, b)| from(a).perp_dot(from(b))).sum();
    twice / 2.0
}

/// Area and centre of gravity; `None` for an empty or flat ring.
pub fn area_and_centroid<F: Copy>(ring: &[Point2<F>]) -> Option<(f64, Point2<F>)> {
    let origin = *ring.first()?;
    let (mut twice, mut cx, mut cy) = (0.0, 0.0, 0.0);
    for pair in ring.windows(2) {
        let (a, b) = (pair[0].vector() - origin.vector(), pair[1].vector() - origin.vector());
        let t = a.perp_dot(b);
        twice += t;
        cx += t * (a.x + b.x);
        cy += t * (a.y + b.y);
    }
    (twice.abs() > 1e-18).then(|| {
        let centroid = Point2::new(origin.x() + cx / (3.0 * twice), origin.y() + cy / (3.0 * twice));
        (0.5 * twice.abs(), centroid)
    })
}

/// Lower-left and upper-right corner of the smallest box around points; `None` for no points.
pub fn bounds<'a, F: Copy + 'a>(points: impl IntoIterator<Item = &'a Point2<F>>) -> Option<[Point2<F>; 2]> {
    let mut points = points.into_iter().map(|p| p.vector());
    let first = points.next()?;
    let [low, high] = points.fold([first; 2], |[low, high], p| [low.min(p), high.max(p)]);
    Some([Point2::from(low), Point2::from(high)])
}

/// A ring and its holes as one ring: each hole is joined at the nearest corner by a cut of no width, which does not
/// affect areas, form factors or shares of the sun.
pub fn join_holes<F: Copy>(
    outer: Vec<Point2<F>>,
    holes: impl IntoIterator<Item = Vec<Point2<F>>>,
) -> Vec<Point2<F>> {
    let mut outline = outer;
    for hole in holes {
        let mut best = (f64::INFINITY, 0, 0);
        for (i, a) in outline.iter().enumerate() {
            for (j, b) in hole.iter().enumerate() {
                let d = (a.x() - b.x()).hypot(a.y() - b.y());
                if d < best.0 {
                    best = (d, i, j);
                }
            }
        }
        if best.0.is_finite() {
            let (_, i, j) = best;
            let mut joined = outline[..=i].to_vec();
            joined.extend_from_slice(&hole[j..]);
            joined.extend_from_slice(&hole[..=j]);
            joined.extend_from_slice(&outline[i..]);
            outline = joined;
        }
    }
    outline
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::WallPoint;

    fn square(low: f64, high: f64) -> Vec<WallPoint> {
        [[low, low], [high, low], [high, high], [low, high]].map(WallPoint::from).to_vec()
    }

    #[test]
    fn the_winding_gives_the_sign() {
        let mut ring = square(1.0, 3.0);
        assert!((signed_area(&ring) - 4.0).abs() < 1e-12);
        ring.reverse();
        assert!((signed_area(&ring) + 4.0).abs() < 1e-12);
        assert!(signed_area::<crate::WallM>(&[]).abs() < 1e-300);
    }

    #[test]
    fn a_square_has_its_centroid_in_the_middle_and_a_line_none() {
        let (area, middle) = area_and_centroid(&square(1.0, 3.0)).unwrap();
        assert!((area - 4.0).abs() < 1e-12);
        assert!((middle.vector() - glam::DVec2::splat(2.0)).length() < 1e-12);
        assert_eq!(area_and_centroid(&[WallPoint::new(0.0, 0.0), WallPoint::new(1.0, 1.0)]), None);
    }

    #[test]
    fn a_joined_hole_is_subtracted() {
        let mut hole = square(1.0, 2.0);
        hole.reverse();
        assert!((signed_area(&join_holes(square(0.0, 4.0), [hole])) - 15.0).abs() < 1e-12);
    }

    #[test]
    fn no_points_have_no_bounds() {
        assert_eq!(bounds::<crate::WallM>([]), None);
        let [low, high] = bounds(&square(1.0, 3.0)).unwrap();
        assert_eq!((low.to_array(), high.to_array()), ([1.0, 1.0], [3.0, 3.0]));
    }
}
