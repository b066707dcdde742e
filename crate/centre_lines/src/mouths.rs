//! The mouths of the gaps between panes at the edge of a window.

use crate::crossings::Rings;
use glam::DVec2;
use std::collections::HashSet;

/// A point of a ring this near to a pane's is that pane's, mm.
const SAME_MM: f64 = 0.003;

/// The rings of what panes cover with the gaps between them, with a straight line across each mouth, from pane to pane and
/// touching both. Where the panes' corners are round, the edge would dip in there, and a border lead along it too.
///
/// `reach`: no line touches a pane farther than this from the mouth, mm.
pub(crate) fn flush(mut rings: Rings, panes: &Rings, reach: f64) -> Rings {
    let key = |p: DVec2| (p / (3.0 * SAME_MM)).floor().to_array().map(|v| v as i64);
    let around = [[-1.0, -1.0], [-1.0, 1.0], [1.0, -1.0], [1.0, 1.0]].map(|d| SAME_MM * DVec2::from(d));
    let known: HashSet<[i64; 2]> =
        panes.iter().flatten().flat_map(|&p| around.map(|d| key(DVec2::from(p) + d))).collect();
    for ring in &mut rings {
        let points: Vec<DVec2> = ring.iter().copied().map(DVec2::from).collect();
        let is_pane: Vec<bool> = points.iter().map(|&p| known.contains(&key(p))).collect();
        let mut keep = vec![true; points.len()];
        let count = points.len();
        for k in 0..count {
            // The first point of a mouth.
            if !is_pane[k] && is_pane[(k + count - 1) % count] {
                let len = (0..count).take_while(|n| !is_pane[(k + n) % count]).count();
                bridge(&points, k + count - 1, k + count + len, reach, &mut keep);
            }
        }
        let mut keep = keep.into_iter();
        ring.retain(|_| keep.next() == Some(true));
    }
    rings
}

/// Leaves out the points of a ring between the two where a line over the mouth from point `a` to point `b` touches. The
/// covered side is on the ring's left.
fn bridge(points: &[DVec2], mut a: usize, mut b: usize, reach: f64, keep: &mut [bool]) {
    let count = points.len();
    let at = |k: usize| points[k % count];
    let (first, last) = (at(a), at(b));
    let (least, most) = (a.saturating_sub(count / 2), b + count / 2);
    let sticks_out =
        |p: DVec2, from: DVec2, to: DVec2| (to - from).perp_dot(p - from) < -1e-4 * (to - from).length();
    loop {
        let before = (a, b);
        while a > least && at(a - 1).distance(first) < reach && sticks_out(at(a - 1), at(a), at(b)) {
            a -= 1;
        }
        while b < most && at(b + 1).distance(last) < reach && sticks_out(at(b + 1), at(a), at(b)) {
            b += 1;
        }
        if (a, b) == before {
            break;
        }
    }
    // The line must pass outside of everything that it replaces, and leave a ring.
    if b - a < count - 2 && (a + 1..b).all(|k| !sticks_out(at(k), at(a), at(b))) {
        (a + 1..b).for_each(|k| keep[k % count] = false);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dip_between_bevelled_panes_is_bridged() {
        let left = vec![[0.0, 0.0], [50.0, 0.0], [54.0, 1.5], [54.0, 60.0], [0.0, 60.0]];
        let right = vec![[60.0, 1.5], [64.0, 0.0], [110.0, 0.0], [110.0, 60.0], [60.0, 60.0]];
        let covered = vec![vec![
            [0.0, 0.0],
            [50.0, 0.0],
            [54.0, 1.5],
            [57.0, 3.0],
            [60.0, 1.5],
            [64.0, 0.0],
            [110.0, 0.0],
            [110.0, 60.0],
            [60.0, 60.0],
            [54.0, 60.0],
            [0.0, 60.0],
        ]];
        let found = flush(covered, &vec![left, right], 10.0);
        let wanted = [
            [0.0, 0.0],
            [50.0, 0.0],
            [64.0, 0.0],
            [110.0, 0.0],
            [110.0, 60.0],
            [60.0, 60.0],
            [54.0, 60.0],
            [0.0, 60.0],
        ];
        assert_eq!(found, [wanted]);
    }
}
