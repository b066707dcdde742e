//! What is left of a ring when convex rings are taken away.

use plane::{Vector2, WallM, WallPoint, bounds, clip_to_convex, edges, signed_area};

/// A polygon without holes, m on the plane of the glass; the last corner joins the first. One that was cut out of a ring
/// with notches may have edges that run there and back, which changes neither areas nor form factors.
pub type Ring = Vec<WallPoint>;

/// Parts smaller than this are dropped, m².
const NOTHING_M2: f64 = 1e-14;

/// The part of a ring inside a convex anticlockwise one; `None` if there is none.
pub(crate) fn inside(ring: &[WallPoint], convex: &[WallPoint]) -> Option<Ring> {
    if apart(ring, convex) {
        return None;
    }
    something(clip_to_convex(ring, convex))
}

/// The parts of a ring outside of a convex anticlockwise one. They do not overlap.
pub(crate) fn outside(ring: &[WallPoint], convex: &[WallPoint]) -> Vec<Ring> {
    if inside(ring, convex).is_none() {
        return vec![ring.to_vec()];
    }
    let mut rest = ring.to_vec();
    let mut parts = Vec::new();
    for (a, b) in edges(convex) {
        let beyond = (b - a).left() * -1.0;
        let (away, kept) = (half(&rest, a, beyond), half(&rest, a, -beyond));
        parts.extend(something(away));
        match something(kept) {
            Some(kept) => rest = kept,
            None => break,
        }
    }
    parts
}

/// The parts of rings outside of every one of several convex anticlockwise ones.
pub(crate) fn outside_all<'a>(
    rings: Vec<Ring>,
    convex: impl IntoIterator<Item = &'a [WallPoint]>,
) -> Vec<Ring> {
    convex
        .into_iter()
        .fold(rings, |rest, cutter| rest.iter().flat_map(|ring| outside(ring, cutter)).collect())
}

/// A ring, wound anticlockwise.
pub(crate) fn anticlockwise(mut ring: Ring) -> Ring {
    if signed_area(&ring) < 0.0 {
        ring.reverse();
    }
    ring
}

/// Area of several rings, m².
pub(crate) fn area_m2<'a>(rings: impl IntoIterator<Item = &'a Ring>) -> f64 {
    rings.into_iter().map(|ring| signed_area(ring)).sum()
}

/// Whether the boxes around two rings do not meet.
fn apart(a: &[WallPoint], b: &[WallPoint]) -> bool {
    let (Some([a0, a1]), Some([b0, b1])) = (bounds(a), bounds(b)) else { return true };
    (0..2).any(|k| a1[k] <= b0[k] || b1[k] <= a0[k])
}

fn something(ring: Ring) -> Option<Ring> {
    (ring.len() >= 3 && signed_area(&ring).abs() > NOTHING_M2).then_some(ring)
}

/// The part of a ring on the side of a line to which `toward` points.
fn half(ring: &[WallPoint], on: WallPoint, toward: Vector2<WallM>) -> Ring {
    let height = |p: WallPoint| toward.dot(p - on);
    let mut kept = Vec::with_capacity(ring.len() + 2);
    for (a, b) in edges(ring) {
        let (ha, hb) = (height(a), height(b));
        if ha >= 0.0 {
            kept.push(a);
        }
        if (ha > 0.0 && hb < 0.0) || (ha < 0.0 && hb > 0.0) {
            kept.push(a + (b - a) * (ha / (ha - hb)));
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    const SQUARE: [[f64; 2]; 4] = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];

    #[test]
    fn what_is_inside_and_outside_makes_the_whole() {
        let ring = WallPoint::slice(&SQUARE);
        for cutter in [
            [[0.2, 0.3], [0.6, 0.2], [0.7, 0.9], [0.3, 0.8]],
            [[-1.0, 0.4], [2.0, 0.4], [2.0, 0.5], [-1.0, 0.5]],
            [[0.9, 0.9], [3.0, 0.9], [3.0, 4.0], [0.9, 4.0]],
            [[2.0, 0.0], [3.0, 0.0], [3.0, 1.0], [2.0, 1.0]],
            [[-1.0, -1.0], [3.0, -1.0], [3.0, 4.0], [-1.0, 4.0]],
        ] {
            let cutter = WallPoint::slice(&cutter);
            let left = outside(ring, cutter);
            let within = inside(ring, cutter).map_or(0.0, |r| signed_area(&r));
            assert!((area_m2(&left) + within - 1.0).abs() < 1e-12, "{cutter:?}");
            assert!(left.iter().all(|part| inside(part, cutter).is_none()));
        }
    }
}
