//! Leaves out points that a line does not need.

use glam::DVec2;

/// One point of a ring in so many always stays ([`keep_some`]).
const LONGEST_SPAN: usize = 1024;

/// Distance from a point to a segment.
pub(crate) fn distance_to_segment(p: DVec2, a: DVec2, b: DVec2) -> f64 {
    let along = b - a;
    let square = along.length_squared();
    let t = if square > 0.0 { ((p - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    p.distance(a + along * t)
}

/// Marks the points between two marked ones that are needed to stay within a tolerance (Douglas & Peucker 1973).
fn mark_between(points: &[DVec2], from: usize, to: usize, tolerance: f64, keep: &mut [bool]) {
    let mut spans = vec![(from, to)];
    while let Some((a, b)) = spans.pop() {
        let mut worst = (tolerance, a);
        for (i, &p) in points.iter().enumerate().take(b).skip(a + 1) {
            let d = distance_to_segment(p, points[a], points[b]);
            if d > worst.0 {
                worst = (d, i);
            }
        }
        if worst.1 > a {
            keep[worst.1] = true;
            spans.push((a, worst.1));
            spans.push((worst.1, b));
        }
    }
}

/// Marks one point in so many, since the time for the rest may grow with the square of what lies between two that stay.
pub(crate) fn keep_some(keep: &mut [bool], every: usize) {
    keep.iter_mut().step_by(every).for_each(|keep| *keep = true);
}

/// Marks the points of an open line that stay; those marked before stay.
pub(crate) fn mark_line(points: &[DVec2], tolerance: f64, keep: &mut [bool]) {
    let Some(last) = points.len().checked_sub(1) else { return };
    keep[0] = true;
    keep[last] = true;
    let fixed: Vec<usize> = (0..points.len()).filter(|&i| keep[i]).collect();
    for pair in fixed.windows(2) {
        mark_between(points, pair[0], pair[1], tolerance, keep);
    }
}

/// A ring without the points it does not need; possibly fewer than three.
pub(crate) fn simplified_ring(ring: &[DVec2], tolerance: f64) -> Vec<DVec2> {
    let mut line: Vec<DVec2> = Vec::with_capacity(ring.len() + 1);
    line.extend(ring);
    line.dedup();
    while line.len() > 1 && line[0] == line[line.len() - 1] {
        line.pop();
    }
    if line.len() < 3 {
        return line;
    }
    // Start where a corner certainly is: at the point farthest from another one.
    let farthest = |from: DVec2, line: &[DVec2]| {
        let by = |p: &DVec2| p.distance_squared(from);
        (0..line.len()).max_by(|&i, &j| by(&line[i]).total_cmp(&by(&line[j]))).unwrap_or(0)
    };
    let start = farthest(line[0], &line);
    line.rotate_left(start);
    let across = farthest(line[0], &line);
    line.push(line[0]);
    let mut keep = vec![false; line.len()];
    keep[across] = true;
    keep_some(&mut keep, LONGEST_SPAN);
    mark_line(&line, tolerance, &mut keep);
    line.pop();
    line.iter().zip(keep).filter(|(_, keep)| *keep).map(|(p, _)| *p).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_with_extra_points_has_four() {
        let ring: Vec<DVec2> =
            [[5.0, 0.0], [10.0, 0.0], [10.001, 5.0], [10.0, 10.0], [0.0, 10.0], [0.0, 10.0], [0.0, 0.0]]
                .map(DVec2::from)
                .to_vec();
        assert_eq!(simplified_ring(&ring, 0.01).len(), 4);
        assert_eq!(simplified_ring(&ring, 0.0005).len(), 5);
    }

    #[test]
    fn marked_points_stay() {
        let line: Vec<DVec2> = (0..5).map(|i| DVec2::new(f64::from(i), 0.0)).collect();
        let mut keep = [false, false, true, false, false];
        mark_line(&line, 0.1, &mut keep);
        assert_eq!(keep, [true, false, true, false, true]);
    }
}
