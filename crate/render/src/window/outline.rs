//! Lines and outlines on their way to triangles: direction of travel, corners.

/// Longest mitre of a fringe, in pixels.
const MITRE_LIMIT: f64 = 3.0;
/// An outline without repeated points, travelling so that the filled side is on the left.
pub(crate) fn oriented(outline: &[[f64; 2]], hole: bool) -> Vec<[f64; 2]> {
    let mut points: Vec<[f64; 2]> = Vec::with_capacity(outline.len());
    for &p in outline {
        if p[0].is_finite() && p[1].is_finite() && points.last().is_none_or(|q| distance(*q, p) > 1e-4) {
            points.push(p);
        }
    }
    while points.len() > 1 && distance(points[0], points[points.len() - 1]) <= 1e-4 {
        points.pop();
    }
    let twice_area: f64 =
        points.iter().zip(points.iter().cycle().skip(1)).map(|(p, q)| p[0] * q[1] - q[0] * p[1]).sum();
    if (twice_area < 0.0) != hole {
        points.reverse();
    }
    points
}

pub(crate) fn distance(p: [f64; 2], q: [f64; 2]) -> f64 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

pub(crate) fn to_f32(p: [f64; 2]) -> [f32; 2] {
    [p[0] as f32, p[1] as f32]
}

/// Unit vector to the left of travel from p to q.
fn left_of(p: [f64; 2], q: [f64; 2]) -> [f64; 2] {
    let length = distance(p, q).max(1e-9);
    [-(q[1] - p[1]) / length, (q[0] - p[0]) / length]
}

/// The vector at a corner that moves both neighbouring edges by one unit to the left.
fn mitre(before: [f64; 2], after: [f64; 2]) -> [f64; 2] {
    let sum = [before[0] + after[0], before[1] + after[1]];
    let square = sum[0] * sum[0] + sum[1] * sum[1];
    if square < 1e-9 {
        return after;
    }
    let scale = (2.0 / square).min(MITRE_LIMIT / square.sqrt());
    [sum[0] * scale, sum[1] * scale]
}

/// The mitre vectors of a line, to the left.
pub(crate) fn mitres(points: &[[f64; 2]], closed: bool) -> Vec<[f64; 2]> {
    let n = points.len();
    (0..n)
        .map(|i| {
            let before = (closed || i > 0).then(|| left_of(points[(i + n - 1) % n], points[i]));
            let after = (closed || i + 1 < n).then(|| left_of(points[i], points[(i + 1) % n]));
            match (before, after) {
                (Some(b), Some(a)) => mitre(b, a),
                (Some(only), None) | (None, Some(only)) => only,
                (None, None) => [0.0, 1.0],
            }
        })
        .collect()
}
