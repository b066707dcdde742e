//! Curves across a joint, and where they meet.

use glam::DVec2;

/// A curve as points, with the nodes on it.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    pub(crate) points: Vec<DVec2>,
    /// Places and nodes, in any order.
    pub(crate) stops: Vec<(Place, usize)>,
}

/// A place on a curve: the number of points before it plus the share of the way to the next.
pub(crate) type Place = f64;

impl Curve {
    pub(crate) fn new(points: Vec<DVec2>) -> Self {
        Self { points, stops: Vec::new() }
    }

    fn segments(&self) -> impl Iterator<Item = (usize, DVec2, DVec2)> {
        self.points.windows(2).enumerate().map(|(i, pair)| (i, pair[0], pair[1]))
    }

    /// Where a way from start to end first meets the curve: the distance along the way, the place and the point.
    pub(crate) fn first_hit(&self, way: &[DVec2]) -> Option<(f64, Place, DVec2)> {
        let mut walked = 0.0;
        for step in way.windows(2) {
            let length = step[0].distance(step[1]);
            let hit = self
                .segments()
                .filter_map(|(i, a, b)| {
                    let (s, t) = crossing(step[0], step[1], a, b)?;
                    Some((walked + s * length, i as f64 + t, a.lerp(b, t)))
                })
                .min_by(|a, b| a.0.total_cmp(&b.0));
            if hit.is_some() {
                return hit;
            }
            walked += length;
        }
        None
    }

    /// The nearest place to a point, and the point there.
    pub(crate) fn nearest(&self, point: DVec2) -> (Place, DVec2) {
        let places = self.segments().map(|(i, a, b)| {
            let along = b - a;
            let square = along.length_squared();
            let t = if square > 0.0 { ((point - a).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
            (i as f64 + t, a.lerp(b, t))
        });
        let nearest =
            places.min_by(|p, q| p.1.distance_squared(point).total_cmp(&q.1.distance_squared(point)));
        nearest.unwrap_or((0.0, self.points[0]))
    }

    /// Bends the curve smoothly so that it passes through a node; its ends stay. No stop may be set before.
    pub(crate) fn pass_through(&mut self, point: DVec2, node: usize) {
        let (place, on_curve) = self.nearest(point);
        let index = (place.floor() as usize + 1).min(self.points.len() - 1);
        self.points.insert(index, on_curve);
        let mut way = vec![0.0];
        for pair in self.points.windows(2) {
            way.push(way[way.len() - 1] + pair[0].distance(pair[1]));
        }
        let (here, all) = (way[index], way[way.len() - 1]);
        let shift = point - on_curve;
        for (p, s) in self.points.iter_mut().zip(way) {
            let share = if s <= here { s / here.max(1e-9) } else { (all - s) / (all - here).max(1e-9) };
            *p += shift * (share * share * (3.0 - 2.0 * share));
        }
        self.points[index] = point;
        self.stops.push((index as f64, node));
    }

    /// The node of the stop nearest to a place's point within a distance.
    pub(crate) fn stop_near(&self, nodes: &[DVec2], point: DVec2, within: f64) -> Option<usize> {
        let distance = |node: &usize| nodes[*node].distance(point);
        let nearest =
            self.stops.iter().map(|(_, node)| *node).min_by(|a, b| distance(a).total_cmp(&distance(b)));
        nearest.filter(|node| distance(node) <= within)
    }

    /// The curve cut at its stops: the part before the first, those between, and the part after the last; each with its
    /// ends. The nodes in order.
    pub(crate) fn cut(mut self, nodes: &[DVec2]) -> (Vec<Vec<DVec2>>, Vec<usize>) {
        self.stops.sort_by(|a, b| a.0.total_cmp(&b.0));
        self.stops.dedup_by_key(|stop| stop.1);
        let (mut parts, mut part, mut from) = (Vec::new(), Vec::new(), 0);
        for (place, node) in &self.stops {
            let to = (place.ceil() as usize).clamp(from, self.points.len());
            part.extend_from_slice(&self.points[from..to]);
            from = to;
            part.push(nodes[*node]);
            parts.push(std::mem::replace(&mut part, vec![nodes[*node]]));
        }
        part.extend_from_slice(&self.points[from..]);
        parts.push(part);
        (parts, self.stops.into_iter().map(|(_, node)| node).collect())
    }
}

/// Where segments p–q and a–b cross, as shares of both.
pub(crate) fn crossing(p: DVec2, q: DVec2, a: DVec2, b: DVec2) -> Option<(f64, f64)> {
    let (d, e) = (q - p, b - a);
    let det = d.perp_dot(e);
    if det.abs() < 1e-12 * (d.length() * e.length()).max(1e-12) {
        return None;
    }
    let (s, t) = ((a - p).perp_dot(e) / det, (a - p).perp_dot(d) / det);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then_some((s, t))
}

/// Twelve steps of the cubic from one point and direction to another (Hermite form, its speed that of a circular arc to
/// the second order).
pub(crate) fn smooth(from: DVec2, leaving: DVec2, to: DVec2, arriving: DVec2) -> Vec<DVec2> {
    let turn = leaving.perp_dot(arriving).atan2(leaving.dot(arriving)).abs();
    let speed = from.distance(to) * (1.0 + turn * turn / 24.0 * 2.0);
    let (m, n) = (leaving * speed, arriving * speed);
    let steps = if turn < 1e-4 { 2 } else { 12 };
    (0..=steps)
        .map(|i| {
            let t = f64::from(i) / f64::from(steps);
            let (t2, t3) = (t * t, t * t * t);
            from * (2.0 * t3 - 3.0 * t2 + 1.0)
                + m * (t3 - 2.0 * t2 + t)
                + to * (3.0 * t2 - 2.0 * t3)
                + n * (t3 - t2)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_circle_is_crossed_smoothly() {
        let line = smooth(DVec2::X, DVec2::Y, DVec2::Y, DVec2::NEG_X);
        for p in line {
            assert!((p.length() - 1.0).abs() < 0.01, "{p}");
        }
    }

    #[test]
    fn a_curve_is_cut_at_its_stops() {
        let mut curve = Curve::new([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0]].map(DVec2::from).to_vec());
        let nodes = [DVec2::new(1.5, 0.0), DVec2::new(0.5, 0.0)];
        curve.stops = vec![(1.5, 0), (0.5, 1)];
        let (parts, order) = curve.cut(&nodes);
        assert_eq!(order, [1, 0]);
        assert_eq!(parts.iter().map(Vec::len).collect::<Vec<_>>(), [2, 3, 2]);
        assert_eq!((parts[0][1], parts[1][0], parts[2][0]), (nodes[1], nodes[1], nodes[0]));
    }

    #[test]
    fn a_curve_bends_to_a_node() {
        let mut curve = Curve::new([[0.0, 0.0], [10.0, 0.0]].map(DVec2::from).to_vec());
        curve.pass_through(DVec2::new(4.0, 0.1), 7);
        assert_eq!((curve.points.len(), curve.points[1], curve.stops[0].1), (3, DVec2::new(4.0, 0.1), 7));
        let (distance, place, point) =
            curve.first_hit(&[DVec2::new(6.0, -5.0), DVec2::new(6.0, 5.0)]).unwrap();
        assert!(place > 1.0 && distance > 5.0 && point.y > 0.0);
    }
}
