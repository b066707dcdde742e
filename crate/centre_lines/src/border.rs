//! The border lead: the loop of centre lines around all others.

use crate::net::Net;
use glam::DVec2;
use plane::{PanelPoint, contains};

/// Ends that stick out of a border no farther than this, in its widths, do not matter.
const STICKING_OUT_WIDTHS: f64 = 1.5;

/// An edge walked forwards (even) or backwards (odd): twice its index, plus one backwards.
type Half = usize;

/// The edges of the border in order, anticlockwise, with whether each is walked backwards; `None` if there is no loop
/// around everything.
pub(crate) fn border(net: &Net) -> Option<Vec<(usize, bool)>> {
    let walk = outer_walk(net)?;
    // An edge walked there and back sticks out (or leads to another loop, which leaves a walk that is not simple).
    let mut stack: Vec<Half> = Vec::new();
    let mut sticking_out: f64 = 0.0;
    for half in walk {
        if stack.last() == Some(&(half ^ 1)) {
            stack.pop();
            sticking_out = sticking_out.max(way(net, half));
        } else {
            stack.push(half);
        }
    }
    let (mut first, mut last) = (0, stack.len());
    while last - first > 1 && stack[first] == stack[last - 1] ^ 1 {
        sticking_out = sticking_out.max(way(net, stack[first]));
        first += 1;
        last -= 1;
    }
    let walk = &stack[first..last];
    let mut starts: Vec<usize> = walk.iter().map(|&half| start(net, half)).collect();
    starts.sort_unstable();
    if walk.is_empty() || starts.windows(2).any(|pair| pair[0] == pair[1]) {
        return None;
    }
    let widths = walk.iter().map(|&half| net.edges[half / 2].width);
    if sticking_out > STICKING_OUT_WIDTHS * widths.fold(f64::INFINITY, f64::min) {
        return None;
    }
    // The outer face lies on the left of its walk: the other way round is anticlockwise.
    let border: Vec<(usize, bool)> = walk.iter().rev().map(|&half| (half / 2, half % 2 == 0)).collect();
    let ring: Vec<PanelPoint> = border
        .iter()
        .flat_map(|&(edge, back)| {
            let points = &net.edges[edge].points;
            let n = points.len();
            (0..n - 1).map(move |i| PanelPoint::from(points[if back { n - 1 - i } else { i }]))
        })
        .collect();
    surrounds_all(net, &border, &ring).then_some(border)
}

/// Whether a point of every part of the net that does not touch the border lies in it.
fn surrounds_all(net: &Net, border: &[(usize, bool)], ring: &[PanelPoint]) -> bool {
    let mut sets = crate::cycle::Sets::new(net.nodes.len());
    for edge in &net.edges {
        sets.unite(edge.nodes[0], edge.nodes[1]);
    }
    let own = sets.of(net.edges[border[0].0].nodes[0]);
    let mut tested = vec![false; net.nodes.len()];
    net.edges.iter().all(|edge| {
        let set = sets.of(edge.nodes[0]);
        set == own
            || std::mem::replace(&mut tested[set], true)
            || contains([ring], PanelPoint::from(edge.points[0]))
    })
}

fn way(net: &Net, half: Half) -> f64 {
    net.edges[half / 2].points.windows(2).map(|pair| pair[0].distance(pair[1])).sum()
}

fn start(net: &Net, half: Half) -> usize {
    net.edges[half / 2].nodes[half % 2]
}

/// The walk around the outer face of the part of the net that reaches around most.
fn outer_walk(net: &Net) -> Option<Vec<Half>> {
    let halves = 2 * net.edges.len();
    let mut leaving: Vec<Vec<(f64, Half)>> = vec![Vec::new(); net.nodes.len()];
    for half in 0..halves {
        leaving[start(net, half)].push((angle(net, half), half));
    }
    // After arriving at a node, a walk with the face on its left leaves by the next edge clockwise.
    let mut next = vec![0; halves];
    for fan in &mut leaving {
        fan.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (k, &(_, half)) in fan.iter().enumerate() {
            next[half ^ 1] = fan[(k + fan.len() - 1) % fan.len()].1;
        }
    }
    let mut seen = vec![false; halves];
    let mut best = (-1e-6, None);
    for first in 0..halves {
        if seen[first] {
            continue;
        }
        let (mut area, mut half) = (0.0, first);
        loop {
            seen[half] = true;
            area += swept(net, half);
            half = next[half];
            if half == first {
                break;
            }
        }
        if area < best.0 {
            best = (area, Some(first));
        }
    }
    let first = best.1?;
    let mut walk = vec![first];
    while next[walk[walk.len() - 1]] != first {
        walk.push(next[walk[walk.len() - 1]]);
    }
    Some(walk)
}

/// Twice the area between the origin and a half edge.
fn swept(net: &Net, half: Half) -> f64 {
    let sum: f64 = net.edges[half / 2].points.windows(2).map(|pair| pair[0].perp_dot(pair[1])).sum();
    if half.is_multiple_of(2) { sum } else { -sum }
}

/// Direction in which a half edge leaves its node.
fn angle(net: &Net, half: Half) -> f64 {
    let points = &net.edges[half / 2].points;
    let from = if half.is_multiple_of(2) { points[0] } else { points[points.len() - 1] };
    let apart = |p: &&DVec2| p.distance(from) > 0.3;
    let to = if half.is_multiple_of(2) {
        points.iter().find(apart).or(points.last())
    } else {
        points.iter().rev().find(apart).or(points.first())
    };
    let step = to.copied().unwrap_or(from) - from;
    step.y.atan2(step.x)
}
