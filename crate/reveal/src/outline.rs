//! The outline of an opening, and the part of the glass that a parallel beam reaches.

use plane::{RoomVector, WallPoint, clip_to_convex, edges, signed_area};

use crate::error::{RevealError, within};

/// A convex opening in the wall, the same from its outer face to the glass.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    corners: Vec<WallPoint>,
    area_m2: f64,
    /// Width and height, if it is a rectangle: its shares have a closed form.
    rectangle: Option<[f64; 2]>,
}

/// The most corners of an outline: the exchange of light among its sides grows with their square.
const MOST_CORNERS: usize = 128;

impl Outline {
    /// A rectangle with its lower-left corner in the origin, measured in m, 0.001 to 1000.
    ///
    /// # Errors
    /// [`RevealError::OutsideRange`], naming `width_m` or `height_m`.
    pub fn rectangle(width_m: f64, height_m: f64) -> Result<Self, RevealError> {
        let w = within("width_m", width_m, 0.001..=1000.0, "metres from 0.001 to 1000")?;
        let h = within("height_m", height_m, 0.001..=1000.0, "metres from 0.001 to 1000")?;
        let corners = [[0.0, 0.0], [w, 0.0], [w, h], [0.0, h]].map(WallPoint::from).to_vec();
        Ok(Self { corners, area_m2: w * h, rectangle: Some([w, h]) })
    }

    /// A convex ring, anticlockwise seen from inside, in m; an arch as many short edges, 128 at most.
    ///
    /// # Errors
    /// [`RevealError::Corners`]; [`RevealError::NotConvex`] for a corner that does not turn left;
    /// [`RevealError::OutsideRange`] for a coordinate beyond ±1000 m.
    pub fn convex(corners: &[WallPoint]) -> Result<Self, RevealError> {
        let n = corners.len();
        if !(3..=MOST_CORNERS).contains(&n) {
            return Err(RevealError::Corners { most: MOST_CORNERS, found: n });
        }
        for v in corners.iter().flat_map(|c| c.to_array()) {
            within("outline", v, -1000.0..=1000.0, "coordinates from −1000 to 1000 m")?;
        }
        let mut turned = 0.0;
        for corner in 0..n {
            let before = corners[corner] - corners[(corner + n - 1) % n];
            let after = corners[(corner + 1) % n] - corners[corner];
            let turn = before.cross(after).atan2(before.dot(after));
            if turn <= 0.0 {
                return Err(RevealError::NotConvex { corner });
            }
            turned += turn;
        }
        // A ring that winds around twice turns left at every corner, too.
        if turned > 1.5 * std::f64::consts::TAU {
            return Err(RevealError::NotConvex { corner: 0 });
        }
        Ok(Self { corners: corners.to_vec(), area_m2: signed_area(corners), rectangle: None })
    }

    /// The corners, anticlockwise seen from inside, m.
    pub fn corners(&self) -> &[WallPoint] {
        &self.corners
    }

    /// Area, m².
    pub fn area_m2(&self) -> f64 {
        self.area_m2
    }

    /// Whether a point lies in it or on its edge, give or take a nanometre.
    pub(crate) fn holds(&self, point: WallPoint) -> bool {
        edges(&self.corners).all(|(a, b)| (b - a).cross(point - a) >= -1e-9 * (b - a).length())
    }

    /// Length of the edge, m.
    pub(crate) fn perimeter_m(&self) -> f64 {
        edges(&self.corners).map(|(a, b)| (b - a).length()).sum()
    }

    /// The part of the glass, `depth_m` behind the outer wall face, that a parallel beam from the direction `toward` its
    /// source reaches; empty if the source is behind the wall or below the horizon.
    ///
    /// A ray that arrives at a point of the glass has entered where the point lies when it is moved by the depth along
    /// the beam; the opening being convex, the way between is free. So the part is the outline cut with the outline moved
    /// back.
    pub fn lit_by(&self, toward: RoomVector, depth_m: f64) -> Vec<WallPoint> {
        let Some([dx, dy]) = offset(toward, depth_m) else { return Vec::new() };
        if toward.to_array()[1] < 0.0 {
            return Vec::new();
        }
        if let Some([w, h]) = self.rectangle {
            let ([x0, x1], [y0, y1]) = (overlap(w, dx), overlap(h, dy));
            if x0 >= x1 || y0 >= y1 {
                return Vec::new();
            }
            return [[x0, y0], [x1, y0], [x1, y1], [x0, y1]].map(WallPoint::from).to_vec();
        }
        let part = self.cut_with_itself([dx, dy]);
        if signed_area(&part) > 0.0 { part } else { Vec::new() }
    }

    /// Share of the glass, 0 to 1, that a parallel beam reaches; as [`Outline::lit_by`].
    pub fn lit_share(&self, toward: RoomVector, depth_m: f64) -> f64 {
        if toward.to_array()[1] < 0.0 { 0.0 } else { self.share(toward, depth_m) }
    }

    /// Share of the glass that sees a direction past the reveal, be it above or below the horizon.
    pub(crate) fn share(&self, toward: RoomVector, depth_m: f64) -> f64 {
        let Some([dx, dy]) = offset(toward, depth_m) else { return 0.0 };
        if let Some([w, h]) = self.rectangle {
            return (1.0 - dx.abs() / w).max(0.0) * (1.0 - dy.abs() / h).max(0.0);
        }
        (signed_area(&self.cut_with_itself([dx, dy])) / self.area_m2).clamp(0.0, 1.0)
    }

    /// The part that lies in the outline moved back by a step.
    fn cut_with_itself(&self, [dx, dy]: [f64; 2]) -> Vec<WallPoint> {
        let moved: Vec<WallPoint> =
            self.corners.iter().map(|c| WallPoint::new(c.x() - dx, c.y() - dy)).collect();
        clip_to_convex(&self.corners, &moved)
    }

    /// All steps from one point of the outline to another, as a convex ring: the directions in which some of the glass
    /// sees past the reveal, for one depth outward.
    pub(crate) fn steps_within(&self) -> Vec<[f64; 2]> {
        if let Some([w, h]) = self.rectangle {
            return vec![[-w, -h], [w, -h], [w, h], [-w, h]];
        }
        let steps = self.corners.iter().flat_map(|&a| self.corners.iter().map(move |&b| (b - a).to_array()));
        hull(steps.collect())
    }
}

/// Where the rays that arrive at the glass have entered, relative to where they arrive; `None` for a source behind the
/// wall or in its plane.
fn offset(toward: RoomVector, depth_m: f64) -> Option<[f64; 2]> {
    let [x, y, z] = toward.to_array();
    let steps = [depth_m * x / -z, depth_m * y / -z];
    (z < 0.0 && steps.iter().all(|s| s.is_finite())).then_some(steps)
}

/// The part of 0…size that lies in 0…size moved back by a step.
fn overlap(size: f64, step: f64) -> [f64; 2] {
    [(-step).max(0.0), (size - step).min(size)]
}

/// Convex hull, anticlockwise (monotone chain, Andrew 1979).
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    points.dedup();
    let half = |points: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = chain[..] {
                if (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut points.iter().copied());
    ring.extend(half(&mut points.iter().rev().copied()));
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_that_is_not_convex_is_refused_by_corner() {
        let notch = [[0.0, 0.0], [1.0, 0.0], [0.5, 0.4], [0.5, 1.0]];
        assert_eq!(Outline::convex(WallPoint::slice(&notch)), Err(RevealError::NotConvex { corner: 2 }));
        let star: Vec<WallPoint> = (0..5)
            .map(|i| (f64::from(i) * 0.8 * std::f64::consts::PI).sin_cos())
            .map(|(y, x)| WallPoint::new(x, y))
            .collect();
        assert!(Outline::convex(&star).is_err());
        assert_eq!(Outline::convex(&star[..2]), Err(RevealError::Corners { most: MOST_CORNERS, found: 2 }));
    }

    #[test]
    fn the_steps_of_a_triangle_are_a_hexagon() {
        let triangle = Outline::convex(WallPoint::slice(&[[0.0, 0.0], [1.0, 0.0], [0.2, 0.9]])).unwrap();
        let ring: Vec<WallPoint> = triangle.steps_within().into_iter().map(WallPoint::from).collect();
        assert_eq!(ring.len(), 6);
        assert!((signed_area(&ring) - 6.0 * triangle.area_m2()).abs() < 1e-12);
    }
}
