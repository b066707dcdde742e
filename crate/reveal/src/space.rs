//! Polygons in space as seen from a point, which is the origin of their corners.

use std::f64::consts::PI;

use plane::{RoomPoint, RoomVector};

/// Corners relative to `from`.
pub(crate) fn seen_from(from: RoomPoint, corners: &[RoomPoint]) -> Vec<RoomVector> {
    corners.iter().map(|&corner| corner - from).collect()
}

/// The part of a convex polygon on the side of a plane through the origin to which `normal` points.
pub(crate) fn clip(polygon: &[RoomVector], normal: RoomVector) -> Vec<RoomVector> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (i, &a) in polygon.iter().enumerate() {
        let b = polygon[(i + 1) % polygon.len()];
        let (ha, hb) = (normal.dot(a), normal.dot(b));
        if ha >= 0.0 {
            kept.push(a);
        }
        if (ha > 0.0 && hb < 0.0) || (ha < 0.0 && hb > 0.0) {
            let t = ha / (ha - hb);
            kept.push(a + (b + -a) * t);
        }
    }
    kept
}

/// The part of a convex polygon seen through a convex gate, both relative to the point from which it is seen.
pub(crate) fn through(polygon: &[RoomVector], gate: &[RoomVector]) -> Vec<RoomVector> {
    let middle = gate.iter().fold(RoomVector::ZERO, |sum, &corner| sum + corner);
    let mut part = polygon.to_vec();
    for (i, &a) in gate.iter().enumerate() {
        let across = a.cross(gate[(i + 1) % gate.len()]).unit();
        part = clip(&part, if across.dot(middle) < 0.0 { -across } else { across });
    }
    part
}

/// Share of the light of an even polygon on a surface element at the origin: illuminance over π times luminance. The
/// polygon is convex and lies on the side to which `normal` points.
///
/// # Source
/// Lambert, *Photometria*, 1760; the contour sum as in Howell, *A Catalog of Radiation Heat Transfer Configuration
/// Factors*, introduction (from memory).
pub(crate) fn form_factor(normal: RoomVector, polygon: &[RoomVector]) -> f64 {
    let mut sum = 0.0;
    for (i, &a) in polygon.iter().enumerate() {
        let across = a.cross(polygon[(i + 1) % polygon.len()]);
        let sine = across.length();
        if sine > 0.0 {
            sum += sine.atan2(a.dot(polygon[(i + 1) % polygon.len()])) * normal.dot(across) / sine;
        }
    }
    sum.abs() / (2.0 * PI)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square() -> Vec<RoomVector> {
        [[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]
            .map(|[x, y]| RoomVector::new(x, y, -2.0))
            .to_vec()
    }

    // Howell B-3: element parallel to a rectangle, in line with a corner; four of them here, each half the square wide.
    #[test]
    fn a_square_ahead_has_the_catalogue_form_factor() {
        let x: f64 = 0.5;
        let root = (1.0 + x * x).sqrt();
        let quarter = 2.0 * (x / root * (x / root).atan()) / (2.0 * PI);
        let found = form_factor(RoomVector::new(0.0, 0.0, -1.0), &square());
        assert!((found - 4.0 * quarter).abs() < 1e-12, "{found}");
    }

    #[test]
    fn a_gate_cuts_what_is_behind_it() {
        let gate: Vec<_> = square().into_iter().map(|v| v * 0.25).collect();
        let whole = form_factor(RoomVector::new(0.0, 0.0, -1.0), &through(&square(), &gate));
        assert!((whole - form_factor(RoomVector::new(0.0, 0.0, -1.0), &square())).abs() < 1e-12);
        let right: Vec<_> = gate.iter().map(|&v| v + RoomVector::new(0.25, 0.0, 0.0)).collect();
        let half = form_factor(RoomVector::new(0.0, 0.0, -1.0), &through(&square(), &right));
        assert!((2.0 * half - whole).abs() < 1e-12, "{half}");
    }

    #[test]
    fn nothing_is_left_of_what_lies_behind() {
        assert!(clip(&square(), RoomVector::new(0.0, 0.0, 1.0)).is_empty());
    }
}
