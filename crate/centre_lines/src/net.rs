//! The net of centre lines: nodes, and edges from node to node.

use crate::cap::free_end;
use crate::follow::Middle;
use crate::joint::{Joint, LineEnd, joint};
use crate::planar::planar;
use crate::ray::Ray;
use crate::room::{around, make_room, ray_of};
use crate::run::{EdgeEnd, Run, Runs};
use crate::sample::Sample;
use crate::skeleton::{Crossing, Skeleton};
use crate::station::length;
use crate::tangle::Lines;
use glam::DVec2;
use std::collections::BTreeSet;
use std::iter;

/// Joints are replaced in no more rounds than this. A joint that was replaced may cross another for the first time, which
/// is then replaced in the next round.
const MOST_ROUNDS: usize = 32;

/// Where an edge ends in a joint: the node, and the points on the way to it.
type Ending = (usize, Vec<DVec2>);

/// A line from node to node.
#[derive(Debug, Clone)]
pub(crate) struct Edge {
    pub(crate) nodes: [usize; 2],
    /// The nodes' places included.
    pub(crate) points: Vec<DVec2>,
    pub(crate) width: f64,
    /// Length over which the width was measured, mm.
    pub(crate) measured: f64,
}

/// The net.
#[derive(Debug, Clone, Default)]
pub(crate) struct Net {
    pub(crate) nodes: Vec<DVec2>,
    pub(crate) edges: Vec<Edge>,
    /// For each end of each edge, the end of the edge that continues it.
    pub(crate) continued: Vec<[Option<EdgeEnd>; 2]>,
}

/// Joins the runs into a net. `grown`: by how much (mm) the region was grown before.
pub(crate) fn net(samples: &[Sample], skeleton: &Skeleton, runs: Runs, grown: f64) -> Net {
    let Runs { runs, clusters } = make_room(runs);
    let around = around(&runs, clusters.len());
    let mut joints = Vec::with_capacity(clusters.len());
    for (index, ends) in around.iter().enumerate() {
        let rays: Vec<Ray> = ends.iter().map(|&end| ray_of(&runs, end)).collect();
        let joint = match rays.as_slice() {
            [] => Joint::default(),
            [only] => end_of(samples, &runs, ends[0], only, grown),
            several => planar(several, joint(several, clusters[index]), clusters[index]),
        };
        joints.push((joint, rays.iter().map(|ray| ray.at).collect::<Vec<_>>()));
    }
    untangle(samples, skeleton, &runs, &around, &mut joints);
    assembled(runs, &around, joints, grown)
}

/// A joint, and where the way from each of its runs starts.
type Started = (Joint, Vec<DVec2>);

/// Replaces joints whose lines cross others by such that follow the middle of the lead.
fn untangle(
    samples: &[Sample],
    skeleton: &Skeleton,
    runs: &[Run],
    around: &[Vec<EdgeEnd>],
    joints: &mut [Started],
) {
    let mut middle = None;
    let mut followed = BTreeSet::new();
    for _ in 0..MOST_ROUNDS {
        let mut lines = Lines::default();
        let mut starts: Vec<[Option<DVec2>; 2]> = vec![[None; 2]; runs.len()];
        for (index, ((joint, from), ends)) in joints.iter().zip(around).enumerate() {
            for ((&(run, end), &start), ending) in ends.iter().zip(from).zip(&joint.endings) {
                starts[run][end] = Some(start);
                lines.add(iter::once(start).chain(ending.1.iter().copied()), Some(index));
            }
            for link in &joint.links {
                lines.add(link.points.iter().copied(), Some(index));
            }
        }
        for (run, [start, end]) in runs.iter().zip(starts) {
            let mut points: Vec<DVec2> = start.into_iter().chain(middles(run)).chain(end).collect();
            // The steps to where a joint's ways start belong to it.
            if let Some([from, to]) = run.clusters {
                let last = points.split_off(points.len() - 1);
                lines.add(points.iter().copied().take(2), Some(from));
                lines.add(points.iter().skip(1).copied(), None);
                lines.add(points.last().copied().into_iter().chain(last), Some(to));
            } else {
                lines.add(points.drain(..), None);
            }
        }
        let mut tangled = lines.tangled();
        tangled.retain(|cluster| around[*cluster].len() > 1 && followed.insert(*cluster));
        if tangled.is_empty() {
            return;
        }
        let middle = middle.get_or_insert_with(|| Middle::new(samples, skeleton, runs));
        for cluster in tangled {
            let ends = &around[cluster];
            if let Some(joint) = middle.joint(runs, ends) {
                let start = |&(run, end): &EdgeEnd| {
                    let stations = &runs[run].stations;
                    stations[if end == 0 { 0 } else { stations.len() - 1 }].at
                };
                joints[cluster] = (joint, ends.iter().map(start).collect());
            }
        }
    }
}

/// The points along a run but its ends, evened out.
fn middles(run: &Run) -> impl DoubleEndedIterator<Item = DVec2> {
    run.stations.windows(3).map(|three| (three[0].at + three[1].at * 2.0 + three[2].at) / 4.0)
}

fn assembled(runs: Vec<Run>, around: &[Vec<EdgeEnd>], joints: Vec<Started>, grown: f64) -> Net {
    let mut net = Net { continued: vec![[None; 2]; runs.len()], ..Net::default() };
    let mut endings: Vec<[Option<Ending>; 2]> = vec![[None, None]; runs.len()];
    let mut starts = vec![[DVec2::ZERO; 2]; runs.len()];
    let mut links = Vec::new();
    for (ends, (joint, from)) in around.iter().zip(joints) {
        let first_node = net.nodes.len();
        net.nodes.extend(joint.nodes);
        for ((&(run, end), ending), from) in ends.iter().zip(joint.endings).zip(from) {
            endings[run][end] = Some((ending.0 + first_node, ending.1));
            starts[run][end] = from;
        }
        let first_link = runs.len() + links.len();
        for mut link in joint.links {
            link.nodes = link.nodes.map(|node| node + first_node);
            links.push(link);
            net.continued.push([None; 2]);
        }
        for pair in joint.continuing {
            let [a, b] = pair.map(|end| match end {
                LineEnd::Ray(k) => ends[k],
                LineEnd::Link(link, end) => (first_link + link, end),
            });
            net.continued[a.0][a.1] = Some(b);
            net.continued[b.0][b.1] = Some(a);
        }
    }
    for (i, (run, (endings, starts))) in runs.iter().zip(endings.into_iter().zip(starts)).enumerate() {
        let edge = match endings {
            [Some(start), Some(end)] => between(run, start, end, starts),
            _ => {
                net.continued[i] = [Some((i, 1)), Some((i, 0))];
                closed(run, &mut net.nodes)
            }
        };
        net.edges.push(edge);
    }
    net.edges.extend(links.into_iter().map(|link| Edge {
        nodes: link.nodes,
        points: link.points,
        width: link.width,
        measured: 0.0,
    }));
    for edge in &mut net.edges {
        edge.width = (edge.width - 2.0 * grown).max(0.0);
    }
    net
}

/// The joint of a single ray: a free end.
fn end_of(samples: &[Sample], runs: &[Run], (run, end): EdgeEnd, ray: &Ray, grown: f64) -> Joint {
    let stations = &runs[run].stations;
    let crossing = if end == 0 {
        let Crossing { left, right } = stations[0].crossing;
        Crossing { left: right, right: left }
    } else {
        stations[stations.len() - 1].crossing
    };
    let place = match free_end(samples, crossing, ray) {
        Some(place) => {
            let far = (place - ray.at).dot(ray.along);
            ray.place((far - grown).max(0.0), 0.0)
        }
        None => ray.at,
    };
    Joint { nodes: vec![place], endings: vec![(0, ray.way_to(place))], ..Joint::default() }
}

fn between(
    run: &Run,
    (start_node, start_way): (usize, Vec<DVec2>),
    (end_node, end_way): (usize, Vec<DVec2>),
    [start, end]: [DVec2; 2],
) -> Edge {
    let mut points: Vec<DVec2> = start_way.into_iter().rev().collect();
    points.push(start);
    points.extend(middles(run));
    points.push(end);
    points.extend(end_way);
    points.dedup();
    Edge { nodes: [start_node, end_node], points, width: run.width, measured: length(&run.stations) }
}

/// An edge from a new node round to itself.
fn closed(run: &Run, nodes: &mut Vec<DVec2>) -> Edge {
    let count = run.stations.len();
    let at = |i: usize| run.stations[i % count].at;
    let mut points: Vec<DVec2> =
        (0..count).map(|i| (at(i + count - 1) + at(i) * 2.0 + at(i + 1)) / 4.0).collect();
    points.push(points[0]);
    points.dedup();
    nodes.push(points[0]);
    Edge { nodes: [nodes.len() - 1; 2], points, width: run.width, measured: length(&run.stations) }
}
