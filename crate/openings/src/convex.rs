//! Convex polygons, anticlockwise.

use plane::{PanelPoint, edges, signed_area};

/// Points nearer to each other than this are one, mm.
const SAME_MM: f64 = 1e-6;

/// How exactly the radius is found, mm.
const RADIUS_MM: f64 = 0.01;

/// The convex hull of points (Andrew 1979, "Another efficient algorithm for convex hulls in two dimensions"; from
/// memory).
pub(crate) fn hull(mut points: Vec<PanelPoint>) -> Vec<PanelPoint> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup_by(|a, b| (*a - *b).length() < SAME_MM);
    if points.len() < 3 {
        return points;
    }
    let mut ring: Vec<PanelPoint> = Vec::with_capacity(points.len() + 1);
    let side = |ring: &mut Vec<PanelPoint>, all: &mut dyn Iterator<Item = PanelPoint>| {
        let start = ring.len();
        for p in all {
            while ring.len() >= start + 2 {
                let (a, b) = (ring[ring.len() - 2], ring[ring.len() - 1]);
                if (b - a).cross(p - b) > 0.0 {
                    break;
                }
                ring.pop();
            }
            ring.push(p);
        }
        ring.pop();
    };
    side(&mut ring, &mut points.iter().copied());
    side(&mut ring, &mut points.iter().rev().copied());
    ring
}

/// Radius of the largest circle in a convex polygon, mm; 0 of a flat one.
///
/// Found by moving all edges inwards until nothing is left.
pub(crate) fn inscribed_radius(polygon: &[PanelPoint]) -> f64 {
    let sides: Vec<(PanelPoint, PanelPoint)> =
        edges(polygon).filter(|(a, b)| (*b - *a).length() > SAME_MM).collect();
    // A circle's area is less than the polygon's.
    let (mut low, mut high) = (0.0, (signed_area(polygon).max(0.0) / std::f64::consts::PI).sqrt());
    while high - low > RADIUS_MM {
        let middle = (low + high) / 2.0;
        if has_room(polygon, &sides, middle) { low = middle } else { high = middle }
    }
    low
}

/// Whether a circle of this radius fits.
fn has_room(polygon: &[PanelPoint], sides: &[(PanelPoint, PanelPoint)], radius: f64) -> bool {
    let mut left: Vec<PanelPoint> = polygon.to_vec();
    for &(from, to) in sides {
        let along = to - from;
        let length = along.length();
        let depth = |p: PanelPoint| along.cross(p - from) / length - radius;
        let mut kept = Vec::with_capacity(left.len() + 1);
        for (a, b) in edges(&left) {
            let (da, db) = (depth(a), depth(b));
            if da >= 0.0 {
                kept.push(a);
            }
            if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
                kept.push(a + (b - a) * (da / (da - db)));
            }
        }
        left = kept;
        if left.is_empty() {
            return false;
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(all: &[[f64; 2]]) -> Vec<PanelPoint> {
        PanelPoint::slice(all).to_vec()
    }

    #[test]
    fn the_hull_leaves_out_what_lies_inside_and_on_its_edges() {
        let all = [[4.0, 0.0], [0.0, 0.0], [2.0, 0.0], [1.0, 1.0], [4.0, 3.0], [0.0, 3.0], [4.0, 3.0]];
        let ring = hull(points(&all));
        assert_eq!(ring, points(&[[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]]));
    }

    #[test]
    fn inscribed_circles_of_plain_shapes() {
        let check = |all: &[[f64; 2]], radius: f64| {
            let found = inscribed_radius(&points(all));
            assert!((found - radius).abs() < 0.02, "{found}, not {radius}");
        };
        // A triangle of sides 3, 4, 5 has an inscribed circle of radius 1.
        check(&[[0.0, 0.0], [40.0, 0.0], [0.0, 30.0]], 10.0);
        check(&[[0.0, 0.0], [100.0, 0.0], [100.0, 30.0], [0.0, 30.0]], 15.0);
        // A quarter disc of radius r: r / (1 + √2).
        let arc = (0..=90).map(|i| f64::from(i).to_radians().sin_cos()).map(|(s, c)| [100.0 * c, 100.0 * s]);
        check(&[[0.0, 0.0]].into_iter().chain(arc).collect::<Vec<_>>(), 100.0 / (1.0 + 2_f64.sqrt()));
        check(&[[0.0, 0.0], [100.0, 0.0], [50.0, 0.0]], 0.0);
    }
}
