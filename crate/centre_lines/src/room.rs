//! Makes room for joints between runs: where a lead ends on the middle of a wide one, or at a sharp angle, it does so between
//! the ends of runs only after these have been shortened. A run too short for that is no lead but part of the joint.

use crate::cycle::{Contraction, Sets};
use crate::joint::shortenings;
use crate::ray::{Ray, ray};
use crate::run::{EdgeEnd, Run, Runs};
use crate::station::length;
use glam::DVec2;

/// A run longer than this, in widths, is never part of a joint.
const LONGEST_IN_JOINT_WIDTHS: f64 = 4.0;
/// A shortened run keeps at least this share of its length.
const KEPT_SHARE: f64 = 0.2;
/// Joints grow into each other no more often than this.
const MOST_ROUNDS: usize = 8;

/// The ends of runs around each cluster.
pub(crate) fn around(runs: &[Run], cluster_count: usize) -> Vec<Vec<EdgeEnd>> {
    let mut around: Vec<Vec<EdgeEnd>> = vec![Vec::new(); cluster_count];
    for (i, run) in runs.iter().enumerate() {
        for (end, cluster) in run.clusters.into_iter().flatten().enumerate() {
            around[cluster].push((i, end));
        }
    }
    around
}

pub(crate) fn ray_of(runs: &[Run], (run, end): EdgeEnd) -> Ray {
    ray(&runs[run].stations, runs[run].width, end == 0)
}

/// Shortens runs, and unites clusters with no room for a run between them.
pub(crate) fn make_room(mut all: Runs) -> Runs {
    for _ in 0..MOST_ROUNDS {
        let mut needed = vec![[(0.0, DVec2::ZERO); 2]; all.runs.len()];
        for ends in around(&all.runs, all.clusters.len()).iter().filter(|ends| ends.len() > 2) {
            let rays: Vec<Ray> = ends.iter().map(|&end| ray_of(&all.runs, end)).collect();
            for (k, by) in shortenings(&rays) {
                let needed = &mut needed[ends[k].0][ends[k].1];
                if by > needed.0 {
                    *needed = (by, rays[k].at);
                }
            }
        }
        let links = all.runs.iter().map(|run| run.clusters);
        let mut graph = Contraction::new(all.clusters.len(), links);
        let mut stays = vec![true; all.runs.len()];
        for (i, run) in all.runs.iter().enumerate() {
            let Some([a, b]) = run.clusters else { continue };
            let needs = needed[i][0].0 + needed[i][1].0;
            let has = length(&run.stations);
            if needs > has && has <= LONGEST_IN_JOINT_WIDTHS * run.width {
                stays[i] = !graph.unite([a, b], Some(i));
            }
        }
        if stays.iter().all(|stays| *stays) {
            for (run, [start, end]) in all.runs.iter_mut().zip(needed) {
                shorten(run, true, start);
                shorten(run, false, end);
            }
            return all;
        }
        all = united(all, graph.into_sets(), &stays);
    }
    all
}

/// The runs that stay, between united clusters.
fn united(all: Runs, mut sets: Sets, stays: &[bool]) -> Runs {
    let mut sums = vec![(DVec2::ZERO, 0.0); all.clusters.len()];
    for (i, &place) in all.clusters.iter().enumerate() {
        let sum = &mut sums[sets.of(i)];
        sum.0 += place;
        sum.1 += 1.0;
    }
    let clusters = sums.iter().map(|(sum, count)| if *count > 0.0 { *sum / *count } else { *sum }).collect();
    let runs = all.runs.into_iter().zip(stays).filter(|(_, stays)| **stays).map(|(mut run, _)| {
        run.clusters = run.clusters.map(|ends| ends.map(|cluster| sets.of(cluster)));
        run
    });
    Runs { runs: runs.collect(), clusters }
}

/// Takes stations off one end of a run as far as a distance from its end, but never nearly all.
fn shorten(run: &mut Run, at_start: bool, (by, end): (f64, DVec2)) {
    let most = (1.0 - KEPT_SHARE) * length(&run.stations);
    let last = run.stations.len() - 1;
    let station = |k: usize| &run.stations[if at_start { k } else { last - k }];
    let (mut taken, mut count) = (0.0, 0);
    while count + 2 < run.stations.len() && station(count).at.distance(end) < by {
        taken += station(count).at.distance(station(count + 1).at);
        if taken > most {
            break;
        }
        count += 1;
    }
    if at_start {
        run.stations.drain(..count);
    } else {
        run.stations.truncate(last + 1 - count);
    }
}
