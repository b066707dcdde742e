//! The outline of an opening.

use plane::{RoomVector, WallPoint, clip_to_convex, distinct, edges, signed_area};

use crate::error::{RevealError, within};

/// The outline of an opening in the wall, at the glass.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    corners: Vec<WallPoint>,
    area_m2: f64,
    convex: bool,
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
        Ok(Self { corners, area_m2: w * h, convex: true, rectangle: Some([w, h]) })
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
        Ok(Self { corners: corners.to_vec(), area_m2: signed_area(corners), convex: true, rectangle: None })
    }

    /// Any ring that does not cross itself, m, wound either way: a trefoil, a rose, an opening with a notch. Corners that
    /// repeat one another or lie on a straight line are dropped; of more than 128, those are dropped that change the area
    /// least (Visvalingam & Whyatt 1993), less than 0.05 % of it in a circle.
    ///
    /// # Errors
    /// [`RevealError::Corners`] for fewer than three corners or no area; [`RevealError::CrossesItself`];
    /// [`RevealError::OutsideRange`] for a coordinate beyond ±1000 m.
    pub fn ring(corners: &[WallPoint]) -> Result<Self, RevealError> {
        for v in corners.iter().flat_map(|c| c.to_array()) {
            within("outline", v, -1000.0..=1000.0, "coordinates from −1000 to 1000 m")?;
        }
        let mut ring = distinct(corners, true, 1e-9);
        thin(&mut ring);
        let area = signed_area(&ring);
        if ring.len() < 3 || area.abs() < 1e-9 {
            return Err(RevealError::Corners { most: MOST_CORNERS, found: ring.len() });
        }
        if area < 0.0 {
            ring.reverse();
        }
        if let Some(corner) = crosses_itself(&ring) {
            return Err(RevealError::CrossesItself { corner });
        }
        let n = ring.len();
        let convex =
            (0..n).all(|i| (ring[(i + 1) % n] - ring[i]).cross(ring[(i + 2) % n] - ring[(i + 1) % n]) > 0.0);
        Ok(Self { corners: ring, area_m2: area.abs(), convex, rectangle: None })
    }

    /// Whether it has no notch.
    pub fn is_convex(&self) -> bool {
        self.convex
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
        if !self.convex {
            return plane::contains([&self.corners], point)
                || plane::distance_to_edge([&self.corners], point) < 1e-9;
        }
        edges(&self.corners).all(|(a, b)| (b - a).cross(point - a) >= -1e-9 * (b - a).length())
    }

    /// Share of the glass of a convex opening that sees a direction past a reveal square to the wall: a ray that arrives
    /// at a point of the glass has entered where the point lies when it is moved by the depth along the ray, and the way
    /// between is free.
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
}

/// Where the rays that arrive at the glass have entered, relative to where they arrive; `None` for a source behind the
/// wall or in its plane.
fn offset(toward: RoomVector, depth_m: f64) -> Option<[f64; 2]> {
    let [x, y, z] = toward.to_array();
    let steps = [depth_m * x / -z, depth_m * y / -z];
    (z < 0.0 && steps.iter().all(|s| s.is_finite())).then_some(steps)
}

/// Drops corners on straight lines, then those that change the area least until no more than [`MOST_CORNERS`] are left.
fn thin(ring: &mut Vec<WallPoint>) {
    while ring.len() > 3 {
        let n = ring.len();
        let lost = |i: usize| {
            let (a, b) = (ring[i] - ring[(i + n - 1) % n], ring[(i + 1) % n] - ring[i]);
            let area = 0.5 * a.cross(b).abs();
            // A corner that turns back on itself is a spike and has no area either.
            (area, area <= 1e-9 * a.length() * b.length())
        };
        let Some((i, (_, straight))) =
            (0..n).map(|i| (i, lost(i))).min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0))
        else {
            return;
        };
        if n <= MOST_CORNERS && !straight {
            return;
        }
        ring.remove(i);
    }
}

/// The first corner of an edge that meets another one than its neighbours.
pub(crate) fn crosses_itself(ring: &[WallPoint]) -> Option<usize> {
    let n = ring.len();
    let side = |a: WallPoint, b: WallPoint, p: WallPoint| (b - a).cross(p - a);
    // Edges in one line are on neither side of one another: that they are apart shows in where they lie.
    let apart = |[a, b]: [WallPoint; 2], [c, d]: [WallPoint; 2]| {
        (0..2).any(|k| a[k].max(b[k]) < c[k].min(d[k]) || c[k].max(d[k]) < a[k].min(b[k]))
    };
    (0..n).find(|&i| {
        let (a, b) = (ring[i], ring[(i + 1) % n]);
        (i + 2..n).filter(|&j| (j + 1) % n != i).any(|j| {
            let (c, d) = (ring[j], ring[(j + 1) % n]);
            !apart([a, b], [c, d])
                && side(a, b, c) * side(a, b, d) <= 0.0
                && side(c, d, a) * side(c, d, b) <= 0.0
        })
    })
}

/// Convex hull, anticlockwise (monotone chain, Andrew 1979).
pub(crate) fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    sorting::by(&mut points, |a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
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
    fn any_simple_ring_is_an_outline() {
        let notch = [[0.0, 0.0], [0.5, 0.0], [1.0, 0.0], [0.5, 0.4], [0.5, 1.0]];
        let ring = Outline::ring(WallPoint::slice(&notch)).unwrap();
        assert_eq!((ring.corners().len(), ring.is_convex()), (4, false));
        assert!((ring.area_m2() - signed_area(WallPoint::slice(&notch))).abs() < 1e-15);
        assert!(ring.holds(WallPoint::new(0.3, 0.2)) && !ring.holds(WallPoint::new(0.8, 0.4)));
        // Two edges in one line, with a tooth between them.
        let tooth = [[0.0, 0.0], [1.0, 0.0], [1.0, 0.4], [0.7, 0.5], [1.0, 0.6], [1.0, 1.0], [0.0, 1.0]];
        assert!(Outline::ring(WallPoint::slice(&tooth)).is_ok());
        let bow = [[0.0, 0.0], [1.0, 1.0], [1.0, 0.0], [0.0, 1.2]];
        assert_eq!(Outline::ring(WallPoint::slice(&bow)), Err(RevealError::CrossesItself { corner: 0 }));
        let circle: Vec<WallPoint> = (0..700)
            .map(|i| (f64::from(i) / 700.0 * std::f64::consts::TAU).sin_cos())
            .map(|(sin, cos)| WallPoint::new(sin, cos))
            .collect();
        let circle = Outline::ring(&circle).unwrap();
        assert_eq!((circle.corners().len(), circle.is_convex()), (MOST_CORNERS, true));
        assert!((circle.area_m2() / std::f64::consts::PI - 1.0).abs() < 5e-4, "{}", circle.area_m2());
    }
}
