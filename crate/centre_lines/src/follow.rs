//! Joints along the middle of the lead, as it is. They are less smooth than others, but their lines never cross: each lies
//! in triangles of its own.

use crate::joint::{Joint, LineEnd, Link, SAME_LINE_TURN, best_pairs};
use crate::run::{EdgeEnd, Run};
use crate::sample::Sample;
use crate::skeleton::{Crossing, Skeleton};
use glam::DVec2;
use std::collections::{HashMap, HashSet};

/// A crossing of the skeleton: its chain, and its number there.
type Place = (usize, usize);

/// The skeleton, with what is needed to walk along it from run to run.
pub(crate) struct Middle<'a> {
    samples: &'a [Sample],
    skeleton: &'a Skeleton,
    places: HashMap<(u32, u32), Place>,
    /// The runs that start (0) and end (1) at a place.
    runs_at: [HashMap<Place, usize>; 2],
    /// The chains that start (0) or end (1) at each node.
    chains_at: Vec<Vec<(usize, usize)>>,
}

/// Where a way leads.
#[derive(Clone, Copy)]
enum Stop {
    Node(usize),
    Run(EdgeEnd),
}

impl<'a> Middle<'a> {
    pub(crate) fn new(samples: &'a [Sample], skeleton: &'a Skeleton, runs: &[Run]) -> Self {
        let mut middle = Self {
            samples,
            skeleton,
            places: HashMap::new(),
            runs_at: [HashMap::new(), HashMap::new()],
            chains_at: vec![Vec::new(); skeleton.nodes.len()],
        };
        for (index, chain) in skeleton.chains.iter().enumerate() {
            for (k, crossing) in chain.crossings.iter().enumerate() {
                middle.places.insert((crossing.left, crossing.right), (index, k));
            }
            for (end, node) in chain.nodes.into_iter().flatten().enumerate() {
                middle.chains_at[node].push((index, end));
            }
        }
        for (index, run) in runs.iter().enumerate().filter(|(_, run)| run.clusters.is_some()) {
            for end in 0..2 {
                if let Some(&place) = middle.places.get(&key(run, end)) {
                    middle.runs_at[end].insert(place, index);
                }
            }
        }
        middle
    }

    /// The joint of a cluster with two ends of runs at least; `None` if these do not hang together.
    pub(crate) fn joint(&self, runs: &[Run], ends: &[EdgeEnd]) -> Option<Joint> {
        let number: HashMap<EdgeEnd, usize> = ends.iter().enumerate().map(|(k, &end)| (end, k)).collect();
        let mut joint = Joint { endings: vec![(0, Vec::new()); ends.len()], ..Joint::default() };
        let mut local: HashMap<usize, usize> = HashMap::new();
        let mut nodes: Vec<usize> = Vec::new();
        let mut reach = |node: usize, nodes: &mut Vec<usize>| {
            *local.entry(node).or_insert_with(|| {
                nodes.push(node);
                nodes.len() - 1
            })
        };
        for (k, &(run, end)) in ends.iter().enumerate() {
            let &(chain, at) = self.places.get(&key(&runs[run], end))?;
            match self.walk(chain, Some(at), end == 1) {
                (way, Stop::Node(node)) => joint.endings[k] = (reach(node, &mut nodes), way),
                (way, Stop::Run(other)) => {
                    return (ends.len() == 2).then(|| self.link(k, way, number.get(&other))).flatten();
                }
            }
        }
        let width = ends.iter().map(|(run, _)| runs[*run].width).sum::<f64>() / ends.len() as f64;
        let (mut known, mut next) = (HashSet::new(), 0);
        while let Some(&node) = nodes.get(next) {
            for &(chain, end) in &self.chains_at[node] {
                match self.walk(chain, None, end == 0) {
                    (_, Stop::Run(other)) => _ = number.get(&other)?,
                    (_, Stop::Node(_)) if !known.insert(chain) => {}
                    (mut points, Stop::Node(other)) => {
                        points.insert(0, self.skeleton.nodes[node]);
                        let nodes = [next, reach(other, &mut nodes)];
                        joint.links.push(Link { nodes, points, width });
                    }
                }
            }
            next += 1;
        }
        joint.nodes = nodes.iter().map(|&node| self.skeleton.nodes[node]).collect();
        // A loop would be a pane, which no joint holds.
        if joint.links.len() + 1 != joint.nodes.len() {
            return None;
        }
        drop_spurs(&mut joint);
        joint.continuing = continuing_ways(&joint);
        Some(joint)
    }

    /// The joint of two runs on one chain.
    fn link(&self, first: usize, way: Vec<DVec2>, second: Option<&usize>) -> Option<Joint> {
        let second = *second.filter(|second| **second != first)?;
        let middle = way.len() / 2;
        let node = *way.get(middle)?;
        let mut back: Vec<DVec2> = way[middle..way.len() - 1].iter().rev().copied().collect();
        if back.is_empty() {
            back.push(node);
        }
        let mut endings = vec![(0, Vec::new()); 2];
        endings[first].1 = way[..=middle].to_vec();
        endings[second].1 = back;
        let continuing = vec![[LineEnd::Ray(0), LineEnd::Ray(1)]];
        Some(Joint { nodes: vec![node], endings, links: Vec::new(), continuing })
    }

    /// The middles of the crossings from one of a chain (or before its first, or after its last) on, as far as the next run
    /// or node, and that.
    fn walk(&self, chain: usize, from: Option<usize>, forwards: bool) -> (Vec<DVec2>, Stop) {
        let crossings = &self.skeleton.chains[chain].crossings;
        let (count, nodes) = (crossings.len(), self.skeleton.chains[chain].nodes);
        let mut points = Vec::new();
        let mut at = from;
        loop {
            let next = match (at, forwards) {
                (None, true) => Some(0),
                (None, false) => Some(count - 1),
                (Some(k), true) => Some(k + 1).filter(|k| *k < count),
                (Some(k), false) => k.checked_sub(1),
            };
            let k = match (next, nodes) {
                (Some(k), _) => k,
                (None, Some(nodes)) => {
                    let node = nodes[usize::from(forwards)];
                    points.push(self.skeleton.nodes[node]);
                    return (points, Stop::Node(node));
                }
                // A closed chain goes on at its other end.
                (None, None) => {
                    if forwards {
                        0
                    } else {
                        count - 1
                    }
                }
            };
            let Crossing { left, right } = crossings[k];
            points.push(self.samples[left as usize].at.midpoint(self.samples[right as usize].at));
            let end = usize::from(!forwards);
            if let Some(&run) = self.runs_at[end].get(&(chain, k)) {
                return (points, Stop::Run((run, end)));
            }
            at = Some(k);
        }
    }
}

fn key(run: &Run, end: usize) -> (u32, u32) {
    let crossing = run.stations[if end == 0 { 0 } else { run.stations.len() - 1 }].crossing;
    (crossing.left, crossing.right)
}

/// Takes away links that lead nowhere, from their tips on.
fn drop_spurs(joint: &mut Joint) {
    let mut degree = vec![0; joint.nodes.len()];
    let mut links_at: Vec<Vec<usize>> = vec![Vec::new(); joint.nodes.len()];
    joint.endings.iter().for_each(|ending| degree[ending.0] += 1);
    for (index, link) in joint.links.iter().enumerate() {
        for node in link.nodes {
            degree[node] += 1;
            links_at[node].push(index);
        }
    }
    let mut stays = vec![true; joint.links.len()];
    let mut tips: Vec<usize> = (0..degree.len()).filter(|&node| degree[node] == 1).collect();
    while let Some(tip) = tips.pop() {
        let Some(&last) = links_at[tip].iter().find(|&&link| stays[link]) else { continue };
        stays[last] = false;
        for node in joint.links[last].nodes {
            degree[node] -= 1;
            if degree[node] == 1 {
                tips.push(node);
            }
        }
    }
    let mut stays = stays.into_iter();
    joint.links.retain(|_| stays.next() == Some(true));
}

/// The lines of a joint that go on as one through a node.
fn continuing_ways(joint: &Joint) -> Vec<[LineEnd; 2]> {
    // For each node, the ends there and the directions in which they leave.
    let mut leaving: Vec<Vec<(LineEnd, DVec2)>> = vec![Vec::new(); joint.nodes.len()];
    for (k, (node, way)) in joint.endings.iter().enumerate() {
        leaving[*node].push((LineEnd::Ray(k), way[0] - joint.nodes[*node]));
    }
    for (k, link) in joint.links.iter().enumerate() {
        for (end, node) in link.nodes.into_iter().enumerate() {
            leaving[node].push((LineEnd::Link(k, end), joint.nodes[link.nodes[1 - end]] - joint.nodes[node]));
        }
    }
    let at_node = |ends: Vec<(LineEnd, DVec2)>| {
        let turn = |i: usize, j: usize| ends[i].1.angle_to(-ends[j].1).abs();
        let pairs = pairs_of(ends.len()).map(|pair| (turn(pair[0], pair[1]), pair));
        let pairs = pairs.filter(|(turn, _)| *turn <= SAME_LINE_TURN || ends.len() == 2).collect();
        best_pairs(pairs).into_iter().map(|pair| pair.map(|k| ends[k].0)).collect::<Vec<_>>()
    };
    leaving.into_iter().flat_map(at_node).collect()
}

fn pairs_of(count: usize) -> impl Iterator<Item = [usize; 2]> {
    (0..count).flat_map(move |i| (i + 1..count).map(move |j| [i, j]))
}
