//! Where leads meet: the ends of several runs become lines that meet in common points.
//!
//! Leads that continue one another are joined by a smooth line, as one came runs past the others. The rest end on the first
//! line they come to, as a came butts against another. Where no lead continues another, all go to the point nearest to
//! all of them.

use crate::curve::{Curve, smooth};
use crate::ray::Ray;
use glam::DVec2;

/// Two leads continue each other if they turn by no more (radians, 10°) than their bends account for
const UNEXPECTED_TURN: f64 = 0.175;
/// and pass each other by no more, in widths. By experiment.
const SIDESTEP_WIDTHS: f64 = 0.2;
/// Farthest turn across a joint, radians.
const FARTHEST_TURN: f64 = 1.0;
/// Leads that reach another no farther apart than this, in widths, meet there in one point.
const ONE_POINT_WIDTHS: f64 = 0.12;
/// Leads meeting in a point are drawn as one line through it if they turn by no more, radians (25°).
pub(crate) const SAME_LINE_TURN: f64 = 0.436;

/// Through lines are sought among no more leads than this: shapes with more in one joint are no net.
const MOST_RAYS: usize = 64;

/// An end of a line at a joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LineEnd {
    /// The run of a ray.
    Ray(usize),
    /// A link of the joint: at its start (0) or end (1).
    Link(usize, usize),
}

/// A piece of line within a joint.
#[derive(Debug, Clone)]
pub(crate) struct Link {
    pub(crate) nodes: [usize; 2],
    /// From node to node.
    pub(crate) points: Vec<DVec2>,
    pub(crate) width: f64,
}

/// How the runs around a joint meet.
#[derive(Debug, Clone, Default)]
pub(crate) struct Joint {
    pub(crate) nodes: Vec<DVec2>,
    /// For each ray, the node it goes to and the points from its run to there, the node last.
    pub(crate) endings: Vec<(usize, Vec<DVec2>)>,
    pub(crate) links: Vec<Link>,
    /// Ends at a common node that continue each other.
    pub(crate) continuing: Vec<[LineEnd; 2]>,
}

/// Pairs of rays that continue each other, the best first, each ray in one pair at most.
pub(crate) fn through_pairs(rays: &[Ray]) -> Vec<[usize; 2]> {
    let mut pairs: Vec<(f64, [usize; 2])> = Vec::new();
    if rays.len() > MOST_RAYS {
        return Vec::new();
    }
    for i in 0..rays.len() {
        for j in i + 1..rays.len() {
            pairs.extend(mismatch(&rays[i], &rays[j]).map(|mismatch| (mismatch, [i, j])));
        }
    }
    best_pairs(pairs)
}

/// Of pairs with how badly they fit (0 best), the best first, none with a member of one before.
pub(crate) fn best_pairs(mut pairs: Vec<(f64, [usize; 2])>) -> Vec<[usize; 2]> {
    pairs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut chosen: Vec<[usize; 2]> = Vec::new();
    for (_, pair) in pairs {
        if !chosen.iter().flatten().any(|ray| pair.contains(ray)) {
            chosen.push(pair);
        }
    }
    chosen
}

/// How badly two rays continue each other; `None` if they do not.
fn mismatch(a: &Ray, b: &Ray) -> Option<f64> {
    let chord = b.at - a.at;
    let (length, width) = (chord.length(), a.width.max(b.width));
    let angle = |from: DVec2, to: DVec2| from.perp_dot(to).atan2(from.dot(to));
    let turn = angle(a.along, -b.along);
    let expected = length * (a.bend - b.bend) / 2.0;
    let unexpected = (turn - expected).abs();
    if turn.abs() > FARTHEST_TURN || unexpected > UNEXPECTED_TURN {
        return None;
    }
    if length < 0.1 * width {
        return Some(unexpected);
    }
    let (leaving, arriving) = (angle(a.along, chord), angle(chord, -b.along));
    let sidestep = (leaving - arriving).abs();
    (sidestep * length / 2.0 <= SIDESTEP_WIDTHS * width && chord.dot(a.along) > 0.0)
        .then_some(unexpected + sidestep / 2.0)
}

/// By how much the runs beside through lines must be shortened, so that the leads that end on these lines end between
/// the runs: rays and distances (mm).
pub(crate) fn shortenings(rays: &[Ray]) -> Vec<(usize, f64)> {
    let pairs = through_pairs(rays);
    let through = |i: usize| pairs.iter().any(|pair| pair.contains(&i));
    let mut needed = Vec::new();
    for (_, stem) in rays.iter().enumerate().filter(|(i, _)| !through(*i)) {
        for &i in pairs.iter().flatten() {
            let ray = &rays[i];
            // Where the stem's line crosses that of the run, behind the run's end.
            let det = stem.along.perp_dot(ray.along);
            if det.abs() < 0.1 {
                continue;
            }
            let between = ray.at - stem.at;
            let (on_stem, on_ray) = (between.perp_dot(ray.along) / det, between.perp_dot(stem.along) / det);
            let margin = 0.3 * ray.width;
            if on_stem > 0.0 && on_ray < margin && on_ray > -8.0 * ray.width.max(stem.width) {
                needed.push((i, margin - on_ray));
            }
        }
    }
    needed
}

/// Joins two or more rays. `centre`: about the middle of the joint.
pub(crate) fn joint(rays: &[Ray], centre: DVec2) -> Joint {
    let mut joint = Joint { endings: vec![(0, Vec::new()); rays.len()], ..Joint::default() };
    let pairs = through_pairs(rays);
    if pairs.is_empty() {
        meet_in_point(rays, centre, &mut joint);
        return joint;
    }
    let mut curves: Vec<Curve> = pairs
        .iter()
        .map(|&[i, j]| Curve::new(smooth(rays[i].at, rays[i].along, rays[j].at, -rays[j].along)))
        .collect();
    cross(&mut curves, &mut joint.nodes, rays, &pairs);
    let stems = (0..rays.len()).filter(|i| !pairs.iter().flatten().any(|j| j == i)).collect::<Vec<_>>();
    let stems = end_stems(rays, stems, &mut curves, &mut joint.nodes);
    connect(&mut curves, centre, rays[pairs[0][0]].width, &mut joint);
    for (curve, &[i, j]) in curves.iter_mut().zip(&pairs) {
        if curve.stops.is_empty() {
            let middle = (curve.points.len() - 1) / 2;
            curve.stops.push((middle as f64, joint.nodes.len()));
            joint.nodes.push(curve.points[middle]);
        }
        let width = f64::midpoint(rays[i].width, rays[j].width);
        let line = curve.clone();
        add_line(line, LineEnd::Ray(i), Some(j), width, &mut joint);
    }
    for (&i, curve) in stems.iter().zip(&curves[pairs.len()..]) {
        add_line(curve.clone(), LineEnd::Ray(i), None, rays[i].width, &mut joint);
    }
    joint
}

/// Joins rays straight in one point.
pub(crate) fn star(rays: &[Ray], point: DVec2) -> Joint {
    Joint {
        nodes: vec![point],
        endings: vec![(0, vec![point]); rays.len()],
        continuing: continuing(rays),
        ..Joint::default()
    }
}

/// All rays to the point nearest to them.
fn meet_in_point(rays: &[Ray], centre: DVec2, joint: &mut Joint) {
    let point = common_point(rays, centre);
    joint.nodes.push(point);
    joint.endings = rays.iter().map(|ray| (0, ray.way_to(point))).collect();
    joint.continuing = continuing(rays);
}

/// The rays that are drawn as one line through the point in which all meet.
fn continuing(rays: &[Ray]) -> Vec<[LineEnd; 2]> {
    let mut pairs = Vec::new();
    if rays.len() > MOST_RAYS {
        return Vec::new();
    }
    for (i, a) in rays.iter().enumerate() {
        for (j, b) in rays.iter().enumerate().skip(i + 1) {
            let turn = a.along.perp_dot(-b.along).atan2(a.along.dot(-b.along)).abs();
            if turn <= SAME_LINE_TURN || rays.len() == 2 {
                pairs.push((turn, [i, j]));
            }
        }
    }
    best_pairs(pairs).into_iter().map(|pair| pair.map(LineEnd::Ray)).collect()
}

/// The point with the least squares of distances to the rays; the centre where that is not near.
pub(crate) fn common_point(rays: &[Ray], centre: DVec2) -> DVec2 {
    let mut point = centre;
    for _ in 0..4 {
        // A little weight on the centre decides between nearly parallel rays.
        let pull = 1e-5;
        let (mut xx, mut xy, mut yy) = (pull, 0.0, pull);
        let mut right = centre * pull;
        for ray in rays {
            let distance = (point - ray.at).dot(ray.along).max(0.0);
            let (on, normal) = (ray.place(distance, 0.0), ray.direction(distance).perp());
            let offset = on.dot(normal);
            xx += normal.x * normal.x;
            xy += normal.x * normal.y;
            yy += normal.y * normal.y;
            right += normal * offset;
        }
        let det = xx * yy - xy * xy;
        point = DVec2::new(yy * right.x - xy * right.y, xx * right.y - xy * right.x) / det;
    }
    let is_near = |ray: &Ray| {
        let ahead = (point - ray.at).dot(ray.along);
        ahead > -0.5 * ray.width && point.distance(ray.at) < 2.0 * (centre.distance(ray.at) + ray.width)
    };
    if point.is_finite() && rays.iter().all(is_near) { point } else { centre }
}

/// Nodes where through lines cross; one for all where more than two do.
fn cross(curves: &mut [Curve], nodes: &mut Vec<DVec2>, rays: &[Ray], pairs: &[[usize; 2]]) {
    let mut met: Vec<DVec2> = Vec::new();
    let mut crossed = vec![false; curves.len()];
    for i in 0..curves.len() {
        for j in i + 1..curves.len() {
            let hit = curves[i].first_hit(&curves[j].points).map(|(_, _, point)| point).or_else(|| {
                // Leads that only touch each other.
                let touch = curves[j].points.iter().map(|&p| (p, curves[i].nearest(p).1));
                let near = touch.min_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
                let width = rays[pairs[i][0]].width;
                (near.0.distance(near.1) < ONE_POINT_WIDTHS * width).then(|| near.0.midpoint(near.1))
            });
            if let Some(point) = hit {
                met.push(point);
                crossed[i] = true;
                crossed[j] = true;
            }
        }
    }
    if met.is_empty() {
        return;
    }
    let point = met.iter().sum::<DVec2>() / met.len() as f64;
    let node = nodes.len();
    nodes.push(point);
    for (curve, _) in curves.iter_mut().zip(crossed).filter(|(_, crossed)| *crossed) {
        curve.pass_through(point, node);
    }
}

/// Lets the other rays, the nearest first, end on the first curve they meet, and adds their own ways to the curves. The
/// order in which they were added.
fn end_stems(
    rays: &[Ray],
    mut stems: Vec<usize>,
    curves: &mut Vec<Curve>,
    nodes: &mut Vec<DVec2>,
) -> Vec<usize> {
    let mut placed = Vec::new();
    while !stems.is_empty() {
        let found = stems.iter().enumerate().map(|(k, &i)| (k, first_curve(&rays[i], curves)));
        let Some((k, (_, curve, place, point))) = found.min_by(|a, b| a.1.0.total_cmp(&b.1.0)) else { break };
        let i = stems.swap_remove(k);
        let node =
            curves[curve].stop_near(nodes, point, ONE_POINT_WIDTHS * rays[i].width).unwrap_or_else(|| {
                nodes.push(point);
                curves[curve].stops.push((place, nodes.len() - 1));
                nodes.len() - 1
            });
        let mut points = vec![rays[i].at];
        points.extend(rays[i].way_to(nodes[node]));
        let mut way = Curve::new(points);
        way.stops.push(((way.points.len() - 1) as f64, node));
        curves.push(way);
        placed.push(i);
    }
    placed
}

/// Distance to, number of, place on, and point of the first curve that a ray meets, or comes nearest to.
fn first_curve(ray: &Ray, curves: &[Curve]) -> (f64, usize, f64, DVec2) {
    let points = curves.iter().flat_map(|curve| &curve.points);
    let reach = points.map(|p| p.distance(ray.at)).fold(0.0, f64::max) + ray.width;
    let steps = if ray.bend.abs() * reach * reach < 0.01 { 1 } else { 24 };
    let way: Vec<DVec2> =
        (0..=steps).map(|i| ray.place(reach * f64::from(i) / f64::from(steps), 0.0)).collect();
    let hits = curves.iter().enumerate().filter_map(|(i, curve)| {
        curve.first_hit(&way).map(|(distance, place, point)| (distance, i, place, point))
    });
    let hit = hits.min_by(|a, b| a.0.total_cmp(&b.0));
    hit.unwrap_or_else(|| {
        // It passes by: to the place nearest to its way, after all others.
        let way = Curve::new(way);
        let points = curves
            .iter()
            .enumerate()
            .flat_map(|(i, curve)| curve.points.iter().enumerate().map(move |(k, &p)| (i, k as f64, p)));
        let nearest = points.map(|(i, place, p)| (way.nearest(p).1.distance(p), i, place, p));
        let (miss, curve, place, point) =
            nearest.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0, 0.0, ray.at));
        (1e6 + miss, curve, place, point)
    })
}

/// Links curves that have nothing in common, where they are nearest to the centre: the leads there overlap.
fn connect(curves: &mut [Curve], centre: DVec2, width: f64, joint: &mut Joint) {
    let mut sets = crate::cycle::Sets::new(curves.len());
    for i in 0..curves.len() {
        for j in i + 1..curves.len() {
            let shared = |(_, node): &(f64, usize)| curves[j].stops.iter().any(|stop| stop.1 == *node);
            if curves[i].stops.iter().any(shared) {
                sets.unite(i, j);
            }
        }
    }
    for j in 1..curves.len() {
        if sets.of(j) == sets.of(0) {
            continue;
        }
        sets.unite(0, j);
        let ends = [0, j].map(|k| {
            let (place, point) = curves[k].nearest(centre);
            curves[k].stop_near(&joint.nodes, point, ONE_POINT_WIDTHS * width).unwrap_or_else(|| {
                joint.nodes.push(point);
                curves[k].stops.push((place, joint.nodes.len() - 1));
                joint.nodes.len() - 1
            })
        });
        let points = ends.map(|node| joint.nodes[node]).to_vec();
        joint.links.push(Link { nodes: ends, points, width });
    }
}

/// Adds a curve from a ray, to another ray or to its last stop, cut at its stops.
fn add_line(curve: Curve, from: LineEnd, to: Option<usize>, width: f64, joint: &mut Joint) {
    let (mut parts, nodes) = curve.cut(&joint.nodes);
    let (Some(&first), Some(&last), Some(rest)) = (nodes.first(), nodes.last(), parts.pop()) else { return };
    let mut before = from;
    for (k, part) in parts.into_iter().enumerate() {
        if k == 0 {
            if let LineEnd::Ray(i) = from {
                joint.endings[i] = (first, part.into_iter().skip(1).collect());
            }
        } else {
            let link = joint.links.len();
            joint.links.push(Link { nodes: [nodes[k - 1], nodes[k]], points: part, width });
            joint.continuing.push([before, LineEnd::Link(link, 0)]);
            before = LineEnd::Link(link, 1);
        }
    }
    if let Some(j) = to {
        let mut way: Vec<DVec2> = rest.into_iter().rev().skip(1).collect();
        if way.is_empty() {
            way.push(joint.nodes[last]);
        }
        joint.endings[j] = (last, way);
        joint.continuing.push([before, LineEnd::Ray(j)]);
    }
}
