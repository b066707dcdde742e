//! What is left of the triangles when everything that leads nowhere is taken away: chains of edges across the lead,
//! which meet where leads meet.
//!
//! The midpoints of these edges form the *chordal axis* of the lead (Prasad 1997, "Morphological analysis of shapes";
//! source from memory): between parallel sides it is exactly the centre line, whatever the spacing of the samples.

use crate::mesh::{Face, NONE};
use crate::sample::Sample;
use glam::DVec2;

/// A part of the lead beyond an edge across it is a corner or a cap, not a lead of its own, if its boundary is shorter
/// than this many times the edge. A square cap is taken away up to 0.75 widths from its end. By experiment.
const CORNER_RATIO: f64 = 2.5;

/// An edge across the lead, from one side to the other.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Crossing {
    /// Sample on the left of the way along the chain.
    pub(crate) left: u32,
    /// Sample on its right.
    pub(crate) right: u32,
}

/// Crossings one after another along a lead; at least one.
#[derive(Debug, Clone)]
pub(crate) struct Chain {
    pub(crate) crossings: Vec<Crossing>,
    /// The nodes where it starts and ends; `None` for a closed chain without any.
    pub(crate) nodes: Option<[usize; 2]>,
}

/// Chains and the nodes between them.
#[derive(Debug, Clone, Default)]
pub(crate) struct Skeleton {
    pub(crate) chains: Vec<Chain>,
    /// Where leads meet (triangles with three neighbours) or end: the middles of the triangles.
    pub(crate) nodes: Vec<DVec2>,
}

/// The skeleton of the triangles.
pub(crate) fn skeleton(samples: &[Sample], faces: &[Face]) -> Skeleton {
    let live = pruned(samples, faces);
    let is_live = |g: u32| g != NONE && live[g as usize];
    let links = |f: u32| (0..3).filter(move |&i| is_live(faces[f as usize].beside[i]));
    let mut node_of = vec![NONE; faces.len()];
    let mut skeleton = Skeleton::default();
    for f in 0..faces.len() as u32 {
        if live[f as usize] && links(f).count() != 2 {
            node_of[f as usize] = skeleton.nodes.len() as u32;
            let corners = faces[f as usize].corners.map(|c| samples[c as usize].at);
            skeleton.nodes.push((corners[0] + corners[1] + corners[2]) / 3.0);
        }
    }
    let mut walked = vec![[false; 3]; faces.len()];
    let walk = |start: u32, edge: usize, walked: &mut Vec<[bool; 3]>| {
        let (mut crossings, mut f, mut i) = (Vec::new(), start, edge);
        loop {
            // Leaving an anticlockwise triangle by an edge, the edge's first corner is on the right.
            let [right, left] = faces[f as usize].edge(i);
            crossings.push(Crossing { left, right });
            walked[f as usize][i] = true;
            let g = faces[f as usize].beside[i];
            let back = (0..3).find(|&j| faces[g as usize].edge(j) == [left, right]);
            let Some(back) = back else { break None };
            walked[g as usize][back] = true;
            if node_of[g as usize] != NONE || g == start {
                break Some((crossings, g));
            }
            let Some(on) = links(g).find(|&j| j != back) else { break None };
            (f, i) = (g, on);
        }
    };
    for f in 0..faces.len() as u32 {
        if node_of[f as usize] == NONE {
            continue;
        }
        for i in links(f) {
            if walked[f as usize][i] {
                continue;
            }
            if let Some((crossings, end)) = walk(f, i, &mut walked) {
                let nodes = [node_of[f as usize] as usize, node_of[end as usize] as usize];
                skeleton.chains.push(Chain { crossings, nodes: Some(nodes) });
            }
        }
    }
    for f in 0..faces.len() as u32 {
        if !live[f as usize] || node_of[f as usize] != NONE {
            continue;
        }
        let Some(i) = links(f).next() else { continue };
        if !walked[f as usize][i]
            && let Some((crossings, _)) = walk(f, i, &mut walked)
        {
            skeleton.chains.push(Chain { crossings, nodes: None });
        }
    }
    skeleton
}

/// Which triangles stay when corners and caps are taken away, from their tips on.
fn pruned(samples: &[Sample], faces: &[Face]) -> Vec<bool> {
    let length = |[a, b]: [u32; 2]| samples[a as usize].at.distance(samples[b as usize].at);
    let mut live = vec![true; faces.len()];
    // Length of boundary beyond each edge whose far side is gone.
    let mut beyond: Vec<[f64; 3]> = faces
        .iter()
        .map(|face| [0, 1, 2].map(|i| if face.beside[i] == NONE { length(face.edge(i)) } else { 0.0 }))
        .collect();
    let mut degree: Vec<usize> =
        faces.iter().map(|face| face.beside.iter().filter(|&&g| g != NONE).count()).collect();
    let mut tips: Vec<u32> = (0..faces.len() as u32).filter(|&f| degree[f as usize] <= 1).collect();
    while let Some(f) = tips.pop() {
        let face = &faces[f as usize];
        if !live[f as usize] || degree[f as usize] > 1 {
            continue;
        }
        let last = (0..3).find(|&i| face.beside[i] != NONE && live[face.beside[i] as usize]);
        let Some(last) = last else {
            live[f as usize] = false;
            continue;
        };
        let outline: f64 = (0..3).filter(|&i| i != last).map(|i| beyond[f as usize][i]).sum();
        let edge = face.edge(last);
        if outline >= CORNER_RATIO * length(edge) {
            continue;
        }
        live[f as usize] = false;
        let g = face.beside[last] as usize;
        if let Some(back) = (0..3).find(|&j| faces[g].edge(j) == [edge[1], edge[0]]) {
            beyond[g][back] = outline;
        }
        degree[g] -= 1;
        if degree[g] <= 1 {
            tips.push(g as u32);
        }
    }
    live
}
