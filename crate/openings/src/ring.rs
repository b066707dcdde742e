//! Closed convex rings of straight edges and circular arcs, anticlockwise.

use crate::text::{Path, printed};
use plane::{PanelPoint, PanelVector};

/// Largest deviation of a polygon from the arcs it stands for, mm.
const FLATTENING_MM: f64 = 0.01;

/// How far beside a ring's edge a point still lies on it, mm: rounding.
const ON_EDGE_MM: f64 = 1e-6;

/// Which part of an opening's edge an edge belongs to. The same names at every inset.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Bottom,
    RightSide,
    Top,
    RightHead,
    LeftHead,
    LeftSide,
    /// Of a circle, from the lowest point anticlockwise, 0–3.
    Quarter(usize),
}

/// A straight edge, or an arc of at most a quarter turn, anticlockwise.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Edge {
    pub(crate) part: Part,
    pub(crate) from: PanelPoint,
    pub(crate) to: PanelPoint,
    arc: Option<Arc>,
}

#[derive(Clone, Copy, Debug)]
struct Arc {
    centre: PanelPoint,
    radius: f64,
}

impl Edge {
    pub(crate) fn line(part: Part, from: PanelPoint, to: PanelPoint) -> Self {
        Edge { part, from, to, arc: None }
    }

    pub(crate) fn arc(part: Part, from: PanelPoint, to: PanelPoint, centre: PanelPoint, radius: f64) -> Self {
        Edge { part, from, to, arc: Some(Arc { centre, radius }) }
    }

    /// Angle of the arc, radians; 0 of a straight edge.
    fn turn(&self) -> f64 {
        self.arc.map_or(0.0, |arc| {
            let (a, b) = (self.from - arc.centre, self.to - arc.centre);
            a.cross(b).atan2(a.dot(b)).max(0.0)
        })
    }

    pub(crate) fn length(&self) -> f64 {
        self.arc.map_or((self.to - self.from).length(), |arc| arc.radius * self.turn())
    }

    /// The point at a share of the length.
    pub(crate) fn at(&self, share: f64) -> PanelPoint {
        match self.arc {
            None => self.from + (self.to - self.from) * share,
            Some(arc) => {
                let (sin, cos) = (self.turn() * share).sin_cos();
                let along = self.from - arc.centre;
                arc.centre + along * cos + along.left() * sin
            }
        }
    }

    /// The nearest point of the whole line or circle.
    pub(crate) fn project(&self, p: PanelPoint) -> PanelPoint {
        match self.arc {
            None => {
                let along = self.to - self.from;
                let square = along.dot(along);
                if square > 0.0 {
                    self.from + along * ((p - self.from).dot(along) / square)
                } else {
                    self.from
                }
            }
            Some(arc) => {
                let away = p - arc.centre;
                let length = away.length();
                if length > 0.0 { arc.centre + away * (arc.radius / length) } else { self.from }
            }
        }
    }

    /// Whether a point of the whole line or circle lies between the ends, give or take `margin` mm.
    fn spans(&self, p: PanelPoint, margin: f64) -> bool {
        match self.arc {
            None => {
                let along = self.to - self.from;
                let length = along.length();
                let past = (p - self.from).dot(along);
                (-margin * length..=(length + margin) * length).contains(&past)
            }
            Some(arc) => {
                let (a, b, to_p) = (self.from - arc.centre, self.to - arc.centre, p - arc.centre);
                let least = -margin * arc.radius;
                a.cross(to_p) >= least && to_p.cross(b) >= least && to_p.dot(a + b) > 0.0
            }
        }
    }

    /// Whether a point of the edge is at least `margin` mm from both ends, measured straight.
    pub(crate) fn holds(&self, p: PanelPoint, margin: f64) -> bool {
        self.spans(p, 0.0) && (p - self.from).length() >= margin && (p - self.to).length() >= margin
    }

    /// The nearest point of the edge.
    fn nearest(&self, p: PanelPoint) -> PanelPoint {
        let foot = self.project(p);
        if self.spans(foot, 0.0) {
            return foot;
        }
        if (p - self.from).length() <= (p - self.to).length() { self.from } else { self.to }
    }

    /// Where the line `start + s · along` meets the edge: values of s.
    fn crossings(&self, start: PanelPoint, along: PanelVector) -> Vec<f64> {
        let candidates = match self.arc {
            None => {
                let side = self.to - self.from;
                let denominator = along.cross(side);
                if denominator.abs() <= 1e-12 * along.length() * side.length() {
                    return Vec::new();
                }
                vec![(self.from - start).cross(side) / denominator]
            }
            Some(arc) => {
                let out = start - arc.centre;
                let (a, half_b) = (along.dot(along), out.dot(along));
                let c = (out.length() - arc.radius) * (out.length() + arc.radius);
                let under_root = half_b * half_b - a * c;
                if under_root < 0.0 {
                    return Vec::new();
                }
                let root = under_root.sqrt();
                vec![(-half_b - root) / a, (-half_b + root) / a]
            }
        };
        candidates.into_iter().filter(|&s| self.spans(start + along * s, ON_EDGE_MM)).collect()
    }
}

/// A closed convex ring, anticlockwise.
#[derive(Clone, Debug)]
pub(crate) struct Ring {
    pub(crate) edges: Vec<Edge>,
}

/// A point on a ring.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OnRing {
    pub(crate) edge: usize,
    /// Distance from the edge's start along the chord's direction or the arc, as a key for sorting.
    pub(crate) along: f64,
    pub(crate) at: PanelPoint,
}

impl Ring {
    pub(crate) fn edge(&self, part: Part) -> Option<&Edge> {
        self.edges.iter().find(|edge| edge.part == part)
    }

    pub(crate) fn corners(&self) -> impl Iterator<Item = PanelPoint> + '_ {
        self.edges.iter().map(|edge| edge.from)
    }

    /// The nearest point of the ring.
    pub(crate) fn nearest(&self, p: PanelPoint) -> OnRing {
        let mut best = OnRing { edge: 0, along: 0.0, at: self.edges[0].from };
        let mut least = f64::INFINITY;
        for (edge, e) in self.edges.iter().enumerate() {
            let at = e.nearest(p);
            let away = (p - at).length();
            if away < least {
                least = away;
                best = OnRing { edge, along: (at - e.from).length(), at };
            }
        }
        best
    }

    /// The stretch of the line `start + s · along` inside the ring: the least and the greatest s.
    pub(crate) fn stretch(&self, start: PanelPoint, along: PanelVector) -> Option<[f64; 2]> {
        let all = self.edges.iter().flat_map(|edge| edge.crossings(start, along));
        let range = all.fold(None, |range: Option<[f64; 2]>, s| {
            Some(range.map_or([s, s], |[low, high]| [low.min(s), high.max(s)]))
        });
        range.filter(|[low, high]| (high - low) * along.length() > ON_EDGE_MM)
    }

    /// As a polygon whose corners lie on the ring.
    pub(crate) fn polygon(&self) -> Vec<PanelPoint> {
        let mut points = Vec::new();
        for edge in &self.edges {
            let pieces = edge.arc.map_or(1, |arc| {
                let step = 2.0 * (1.0 - FLATTENING_MM / arc.radius.max(1.0)).acos();
                (edge.turn() / step).ceil().clamp(1.0, 1e4) as usize
            });
            points.extend(
                (0..pieces).map(|i| if i == 0 { edge.from } else { edge.at(i as f64 / pieces as f64) }),
            );
        }
        points
    }

    /// As path data. Arcs are divided at `stops`, so that lines which end there end on a point of the path.
    pub(crate) fn path(&self, stops: &[OnRing]) -> String {
        let mut path = Path::from(self.edges[0].from);
        for (index, edge) in self.edges.iter().enumerate() {
            let Some(arc) = edge.arc else {
                if index + 1 < self.edges.len() {
                    path.line_to(edge.to);
                }
                continue;
            };
            let mut on: Vec<&OnRing> = stops.iter().filter(|stop| stop.edge == index).collect();
            on.sort_by(|a, b| a.along.total_cmp(&b.along));
            let points = on.iter().map(|stop| stop.at).chain([edge.to]);
            let mut last = printed(edge.from);
            for p in points.filter(|&p| printed(p) == printed(edge.to) || printed(p) != printed(edge.from)) {
                if printed(p) != last {
                    path.arc_to(arc.radius, p);
                    last = printed(p);
                }
            }
        }
        path.close()
    }
}
