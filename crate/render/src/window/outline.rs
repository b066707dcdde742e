//! Preparing lines and outlines for triangulation: direction of travel, corners.

use glam::DVec2;

/// Longest mitre of a fringe, in pixels.
const MITRE_LIMIT: f64 = 3.0;
/// Points of an outline closer than this count as one, mm.
const SAME_POINT_MM: f64 = 1e-4;

/// The finite points of a line, without those closer than `apart_mm` to the one before.
pub(crate) fn distinct(line: &[[f64; 2]], closed: bool, apart_mm: f64) -> Vec<DVec2> {
    let mut points: Vec<DVec2> = Vec::with_capacity(line.len());
    for p in line.iter().copied().map(DVec2::from_array).filter(|p| p.is_finite()) {
        if points.last().is_none_or(|q| q.distance(p) > apart_mm) {
            points.push(p);
        }
    }
    while closed && points.len() > 1 && points[0].distance(points[points.len() - 1]) <= apart_mm {
        points.pop();
    }
    points
}

/// An outline without repeated points, travelling so that the filled side is on the left.
pub(crate) fn oriented(outline: &[[f64; 2]], hole: bool) -> Vec<DVec2> {
    let mut points = distinct(outline, true, SAME_POINT_MM);
    let twice_area: f64 = points.iter().zip(points.iter().cycle().skip(1)).map(|(p, q)| p.perp_dot(*q)).sum();
    if (twice_area < 0.0) != hole {
        points.reverse();
    }
    points
}

/// Unit vector to the left of travel from p to q.
fn left_of(p: DVec2, q: DVec2) -> DVec2 {
    (q - p).perp() / p.distance(q).max(1e-9)
}

/// The vector at a corner that moves both neighbouring edges by one unit to the left.
fn mitre(before: DVec2, after: DVec2) -> DVec2 {
    let sum = before + after;
    let square = sum.length_squared();
    if square < 1e-9 {
        return after;
    }
    sum * (2.0 / square).min(MITRE_LIMIT / square.sqrt())
}

/// The mitre vectors of a line, to the left.
pub(crate) fn mitres(points: &[DVec2], closed: bool) -> Vec<DVec2> {
    let n = points.len();
    (0..n)
        .map(|i| {
            let before = (closed || i > 0).then(|| left_of(points[(i + n - 1) % n], points[i]));
            let after = (closed || i + 1 < n).then(|| left_of(points[i], points[(i + 1) % n]));
            match (before, after) {
                (Some(b), Some(a)) => mitre(b, a),
                (Some(only), None) | (None, Some(only)) => only,
                (None, None) => DVec2::Y,
            }
        })
        .collect()
}

/// In single precision, as in vertices.
pub(crate) fn single(p: DVec2) -> [f32; 2] {
    p.as_vec2().to_array()
}
