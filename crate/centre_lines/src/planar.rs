//! Joints whose lines would cross one another where they do not meet.

use crate::curve::crossing;
use crate::joint::{Joint, common_point, star};
use crate::ray::Ray;
use glam::DVec2;

/// Lines that cross this near to a node meet there, mm.
const AT_NODE_MM: f64 = 1e-6;

/// Joints with more segments are not checked.
const MOST_SEGMENTS: usize = 2_000;

/// A joint whose lines do not cross one another except in its nodes, which would make a pane of nothing. Where leads are so
/// wide and short that those of the usual joint do, they go straight to one point.
pub(crate) fn planar(rays: &[Ray], usual: Joint, centre: DVec2) -> Joint {
    if is_planar(rays, &usual) {
        return usual;
    }
    let mean = rays.iter().map(|ray| ray.at).sum::<DVec2>() / rays.len() as f64;
    let points = [common_point(rays, centre), centre, mean];
    let mut stars = points.into_iter().map(|point| star(rays, point));
    stars.find(|star| is_planar(rays, star)).unwrap_or(usual)
}

fn is_planar(rays: &[Ray], joint: &Joint) -> bool {
    let endings = rays.iter().zip(&joint.endings).map(|(ray, (_, way))| {
        let mut points = vec![ray.at];
        points.extend(way);
        points
    });
    let links = joint.links.iter().map(|link| link.points.clone());
    let lines: Vec<Vec<DVec2>> = endings.chain(links).collect();
    let segments = segments_of(&lines);
    if segments.len() > MOST_SEGMENTS {
        return true;
    }
    let is_free = |&(line, p, q): &Segment, others: &[Segment]| {
        others.iter().filter(|other| other.0 != line).all(|&(_, a, b)| {
            crossing(p, q, a, b).is_none_or(|(s, _)| {
                let point = p.lerp(q, s);
                joint.nodes.iter().any(|node| node.distance(point) <= AT_NODE_MM)
            })
        })
    };
    (0..segments.len()).all(|k| is_free(&segments[k], &segments[k + 1..]))
}

/// The number of a line, and the ends of a segment of it.
type Segment = (usize, DVec2, DVec2);

fn segments_of(lines: &[Vec<DVec2>]) -> Vec<Segment> {
    let numbered = lines.iter().enumerate();
    numbered.flat_map(|(k, points)| points.windows(2).map(move |pair| (k, pair[0], pair[1]))).collect()
}
