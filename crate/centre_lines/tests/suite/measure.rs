//! Compares lines found with lines drawn: distances, pieces, areas.

use crate::stroked::{Lead, polylines};
use centre_lines::CentreLines;

type Point = [f64; 2];

fn sub(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: Point, b: Point) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

pub(crate) fn distance(a: Point, b: Point) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn distance_to_segment(p: Point, (a, b): (Point, Point)) -> f64 {
    let d = sub(b, a);
    let square = d[0] * d[0] + d[1] * d[1];
    let e = sub(p, a);
    let t = if square > 0.0 { ((e[0] * d[0] + e[1] * d[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
    distance(p, [a[0] + t * d[0], a[1] + t * d[1]])
}

/// The lines found, the border among them, closed ones with their first point repeated.
pub(crate) fn found_lines(found: &CentreLines) -> Vec<Vec<Point>> {
    let all = found.lines.iter().chain(&found.border);
    all.map(|line| {
        let mut points: Vec<Point> = line.points.iter().map(|p| p.to_array()).collect();
        if line.closed {
            points.push(points[0]);
        }
        points
    })
    .collect()
}

/// The lines drawn.
pub(crate) fn drawn_lines(leads: &[Lead]) -> Vec<Vec<Point>> {
    leads.iter().flat_map(|lead| polylines(&lead.path, 0.001)).collect()
}

fn segments(lines: &[Vec<Point>]) -> Vec<(Point, Point)> {
    lines.iter().flat_map(|line| line.windows(2).map(|pair| (pair[0], pair[1]))).collect()
}

fn nearest(p: Point, segments: &[(Point, Point)]) -> f64 {
    segments.iter().map(|&s| distance_to_segment(p, s)).fold(f64::INFINITY, f64::min)
}

/// Points along lines, half a millimetre apart.
fn dense(lines: &[Vec<Point>]) -> Vec<Point> {
    let mut points = Vec::new();
    for (a, b) in segments(lines) {
        let count = (distance(a, b) / 0.5).ceil().max(1.0);
        points.extend((0..=count as usize).map(|i| {
            let t = i as f64 / count;
            [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
        }));
    }
    points
}

/// Lines cut wherever they meet: vertices and the edges between them.
pub(crate) struct Arrangement {
    vertices: Vec<Point>,
    edges: Vec<[usize; 2]>,
}

impl Arrangement {
    /// Ends as near to another line as `apart` (mm) meet it.
    pub(crate) fn of(lines: &[Vec<Point>], apart: f64) -> Self {
        let segments = segments(lines);
        let boxes: Vec<[f64; 4]> = segments
            .iter()
            .map(|(a, b)| [a[0].min(b[0]), a[1].min(b[1]), a[0].max(b[0]), a[1].max(b[1])])
            .collect();
        let mut arrangement = Arrangement { vertices: Vec::new(), edges: Vec::new() };
        for (i, &(a, b)) in segments.iter().enumerate() {
            let mut cuts = vec![0.0, 1.0];
            for (j, &(c, d)) in segments.iter().enumerate() {
                let (p, q) = (boxes[i], boxes[j]);
                if i == j
                    || p[0] > q[2] + apart
                    || q[0] > p[2] + apart
                    || p[1] > q[3] + apart
                    || q[1] > p[3] + apart
                {
                    continue;
                }
                let (u, v) = (sub(b, a), sub(d, c));
                let det = cross(u, v);
                for end in [c, d] {
                    if distance_to_segment(end, (a, b)) < apart {
                        let e = sub(end, a);
                        cuts.push((e[0] * u[0] + e[1] * u[1]) / (u[0] * u[0] + u[1] * u[1]));
                    }
                }
                if det.abs() > 1e-12 {
                    let (s, t) = (cross(sub(c, a), v) / det, cross(sub(c, a), u) / det);
                    if (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t) {
                        cuts.push(s);
                    }
                }
            }
            cuts.sort_by(f64::total_cmp);
            let at = |t: f64| [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
            let places: Vec<usize> =
                cuts.iter().map(|&t| arrangement.vertex(at(t.clamp(0.0, 1.0)), apart)).collect();
            for pair in places.windows(2) {
                let edge = [pair[0].min(pair[1]), pair[0].max(pair[1])];
                if edge[0] != edge[1] && !arrangement.edges.contains(&edge) {
                    arrangement.edges.push(edge);
                }
            }
        }
        arrangement
    }

    fn vertex(&mut self, p: Point, apart: f64) -> usize {
        self.vertices.iter().position(|&v| distance(p, v) < 2.0 * apart).unwrap_or_else(|| {
            self.vertices.push(p);
            self.vertices.len() - 1
        })
    }

    /// Where three or more edges meet, and corners of more than 10°.
    pub(crate) fn junctions(&self) -> Vec<Point> {
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); self.vertices.len()];
        for &[a, b] in &self.edges {
            around[a].push(b);
            around[b].push(a);
        }
        let is_corner = |i: usize, others: &[usize]| {
            let [a, b] = [others[0], others[1]].map(|j| sub(self.vertices[j], self.vertices[i]));
            cross(a, b).atan2(-(a[0] * b[0] + a[1] * b[1])).abs() > 0.175
        };
        let kept = around.iter().enumerate().filter(|(i, others)| match others.len() {
            0 | 1 => false,
            2 => is_corner(*i, others),
            _ => true,
        });
        kept.map(|(i, _)| self.vertices[i]).collect()
    }

    /// Ends of lines.
    pub(crate) fn free_ends(&self) -> Vec<Point> {
        let mut degree = vec![0; self.vertices.len()];
        self.edges.iter().flatten().for_each(|&v| degree[v] += 1);
        (0..degree.len()).filter(|&i| degree[i] == 1).map(|i| self.vertices[i]).collect()
    }

    /// Areas of the bounded faces, ascending.
    pub(crate) fn areas(&self) -> Vec<f64> {
        let mut leaving: Vec<Vec<(f64, usize)>> = vec![Vec::new(); self.vertices.len()];
        let ends = |half: usize| {
            let [a, b] = self.edges[half / 2];
            if half.is_multiple_of(2) { [a, b] } else { [b, a] }
        };
        for half in 0..2 * self.edges.len() {
            let [from, to] = ends(half);
            let d = sub(self.vertices[to], self.vertices[from]);
            leaving[from].push((d[1].atan2(d[0]), half));
        }
        let mut next = vec![0; 2 * self.edges.len()];
        for fan in &mut leaving {
            fan.sort_by(|a, b| a.0.total_cmp(&b.0));
            for k in 0..fan.len() {
                next[fan[k].1 ^ 1] = fan[(k + fan.len() - 1) % fan.len()].1;
            }
        }
        let mut seen = vec![false; next.len()];
        let mut areas = Vec::new();
        for first in 0..next.len() {
            let (mut half, mut twice) = (first, 0.0);
            while !seen[half] {
                seen[half] = true;
                let [a, b] = ends(half).map(|v| self.vertices[v]);
                twice += cross(a, b);
                half = next[half];
            }
            if twice > 1e-6 {
                areas.push(twice / 2.0);
            }
        }
        areas.sort_by(f64::total_cmp);
        areas
    }
}

/// What a comparison allows.
pub(crate) struct Allowed {
    /// Beside joints, mm.
    pub(crate) beside: f64,
    /// At joints, mm.
    pub(crate) at_joints: f64,
    /// How far a joint reaches, in widths of the widest lead.
    pub(crate) joint_widths: f64,
}

impl Default for Allowed {
    fn default() -> Self {
        Self { beside: 0.1, at_joints: 0.3, joint_widths: 1.5 }
    }
}

/// Fails unless the lines found are those drawn.
pub(crate) fn check(name: &str, found: &CentreLines, leads: &[Lead], allowed: &Allowed) {
    let (found, drawn) = (found_lines(found), drawn_lines(leads));
    let truth = Arrangement::of(&drawn, 0.003);
    let result = Arrangement::of(&found, 1e-6);
    let widest = leads.iter().map(|lead| lead.width).fold(0.0, f64::max);
    let joints = truth.junctions();
    let mut worst: [(f64, Point); 2] = [(0.0, [0.0; 2]); 2];
    for (points, segments) in [(dense(&found), segments(&drawn)), (dense(&drawn), segments(&found))] {
        for p in points {
            let off = nearest(p, &segments);
            let at_joint = joints.iter().any(|&j| distance(j, p) < allowed.joint_widths * widest);
            let worst = &mut worst[usize::from(at_joint)];
            if off > worst.0 {
                *worst = (off, p);
            }
        }
    }
    let [beside, at_joints] = worst;
    assert!(beside.0 <= allowed.beside, "{name}: {:.3} mm off beside joints, at {:?}", beside.0, beside.1);
    assert!(
        at_joints.0 <= allowed.at_joints,
        "{name}: {:.3} mm off at a joint, at {:?}",
        at_joints.0,
        at_joints.1
    );
    let (areas, wanted) = (result.areas(), truth.areas());
    assert_eq!(areas.len(), wanted.len(), "{name}: number of pieces");
    for (area, wanted) in areas.iter().zip(&wanted) {
        let off = (area - wanted).abs();
        assert!(off <= (0.002 * wanted).max(5.0), "{name}: {area:.1} mm² instead of {wanted:.1}");
    }
    assert_eq!(result.free_ends().len(), truth.free_ends().len(), "{name}: number of free ends");
}
