//! Runs: stretches of lead whose sides run alongside each other. Between them are joints, bends and ends, which are
//! *gaps* in the chains; gaps that hang together are one cluster.

use crate::cycle::{Contraction, on_cycle};
use crate::sample::Sample;
use crate::skeleton::{Crossing, Skeleton};
use crate::station::{Station, length, median_width, station};
use glam::DVec2;
use std::ops::Range;

/// An end of an edge: its index, and 0 for the start or 1 for the end.
pub(crate) type EdgeEnd = (usize, usize);

/// A run is at least this long, in its width. By experiment.
const SHORTEST_RUN_WIDTHS: f64 = 0.5;
/// Shorter ones count where the joints at both ends of a lead are this far apart, in widths. By experiment.
const SHORTEST_SPAN_WIDTHS: f64 = 0.8;
/// A chain of this length, in its widths, from joint to joint is a lead, however little of it is clear.
const LONGEST_BARE_WIDTHS: f64 = 4.0;
/// A gap without a joint is part of the run if it is no longer than this, in widths,
const SHORT_GAP_WIDTHS: f64 = 1.5;
/// turns no farther (radians, 25°: the middle of a mitred bend is then off by 0.006 widths),
const SLIGHT_TURN: f64 = 0.436;
/// and bulges no more than by this factor.
const SLIGHT_BULGE: f64 = 1.1;
/// A bend is rounded if its inner side has at least this radius, in widths; a corner with a round join has none,
const ROUNDED_FROM_WIDTHS: f64 = 0.15;
/// and if its outer side is round, for turns from here on (radians, 45°),
const MODERATE_TURN: f64 = 0.785;
/// and if it is no longer than this, in widths.
const LONGEST_BEND_WIDTHS: f64 = 6.0;
/// A run is shortened at each end by this, in widths, if it stays long enough: joints often have rounded corners.
const TRIM_WIDTHS: f64 = 0.35;
/// Long enough, in widths, to be trimmed.
const TRIMMED_FROM_WIDTHS: f64 = 2.5;

/// A stretch of lead.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) stations: Vec<Station>,
    /// Median width, mm.
    pub(crate) width: f64,
    /// The clusters at its start and end; `None` where it closes on itself.
    pub(crate) clusters: Option<[usize; 2]>,
}

/// The runs and the middles of the clusters between them.
#[derive(Debug, Clone, Default)]
pub(crate) struct Runs {
    pub(crate) runs: Vec<Run>,
    pub(crate) clusters: Vec<DVec2>,
}

/// Splits chains into runs. `least`: the least width of a lead, mm.
pub(crate) fn runs(samples: &[Sample], skeleton: &Skeleton, least: f64) -> Runs {
    let mut gaps = Gaps { places: skeleton.nodes.clone(), runs: Vec::new() };
    // Chains without a run, and the nodes they link.
    let (mut bare, mut links) = (Vec::new(), Vec::new());
    let mut degree = vec![0; skeleton.nodes.len()];
    skeleton.chains.iter().flat_map(|chain| chain.nodes).flatten().for_each(|node| degree[node] += 1);
    for chain in &skeleton.chains {
        let stations: Vec<Station> = chain.crossings.iter().map(|&c| station(samples, c)).collect();
        let Some(nodes) = chain.nodes else {
            gaps.add_closed(samples, stations, least);
            continue;
        };
        let stretches = stretches(samples, &stations, least);
        let span = skeleton.nodes[nodes[0]].distance(skeleton.nodes[nodes[1]]);
        let clearest = clearest(&stations);
        let best = &stations[clearest.start];
        let is_long = || length(&stations) >= LONGEST_BARE_WIDTHS * median_width(stations.iter());
        let joins = nodes.iter().all(|&node| degree[node] > 1) && is_long();
        if !stretches.is_empty() {
            gaps.add(&stations, &stretches, nodes);
        } else if joins || best.is_clear(least) && span >= SHORTEST_SPAN_WIDTHS * best.width {
            gaps.add(&stations, &[clearest], nodes);
        } else {
            bare.push(stations);
            links.push(nodes);
        }
    }
    // A chain without a run belongs to the joint, unless it goes round a pane: then it is a lead, however short.
    let around_pane = on_cycle(skeleton.nodes.len(), &links);
    let joined = gaps.runs.iter().map(|run| run.clusters);
    let mut graph = Contraction::new(gaps.places.len(), joined);
    for ((stations, nodes), around_pane) in bare.into_iter().zip(links).zip(around_pane) {
        if around_pane || !graph.unite(nodes, None) {
            gaps.add(&stations, &[clearest(&stations)], nodes);
            graph.add(nodes);
        }
    }
    let mut sets = graph.into_sets();
    let (mut index_of, mut clusters, mut counts) =
        (vec![usize::MAX; gaps.places.len()], Vec::new(), Vec::new());
    for (i, &place) in gaps.places.iter().enumerate() {
        let set = sets.of(i);
        if index_of[set] == usize::MAX {
            index_of[set] = clusters.len();
            clusters.push(DVec2::ZERO);
            counts.push(0.0);
        }
        clusters[index_of[set]] += place;
        counts[index_of[set]] += 1.0;
    }
    for (cluster, count) in clusters.iter_mut().zip(counts) {
        *cluster /= count;
    }
    for run in &mut gaps.runs {
        run.clusters = run.clusters.map(|ends| ends.map(|gap| index_of[sets.of(gap)]));
    }
    Runs { runs: gaps.runs, clusters }
}

struct Gaps {
    places: Vec<DVec2>,
    runs: Vec<Run>,
}

impl Gaps {
    /// Adds the runs of a chain between two gaps.
    fn add(&mut self, stations: &[Station], stretches: &[Range<usize>], ends: [usize; 2]) {
        let mut from = ends[0];
        for (i, stretch) in stretches.iter().enumerate() {
            let to = match stretches.get(i + 1) {
                None => ends[1],
                Some(next) => {
                    self.places.push(stations[usize::midpoint(stretch.end, next.start)].at);
                    self.places.len() - 1
                }
            };
            let stations = trimmed(&stations[stretch.clone()]);
            let width = median_width(stations.iter());
            self.runs.push(Run { stations: stations.to_vec(), width, clusters: Some([from, to]) });
            from = to;
        }
    }

    /// Adds the runs of a chain without nodes.
    fn add_closed(&mut self, samples: &[Sample], mut stations: Vec<Station>, least: f64) {
        let worst =
            (0..stations.len()).max_by(|&i, &j| stations[i].mismatch.total_cmp(&stations[j].mismatch));
        stations.rotate_left(worst.unwrap_or(0));
        let stretches = stretches(samples, &stations, least);
        let closes = match stretches.as_slice() {
            [] => true,
            [only] => {
                let outside = stations[only.end..].iter().chain(&stations[..only.start]).copied();
                let gap: Vec<Station> = outside.collect();
                is_part_of_run(samples, &stations[only.clone()], &gap, &stations[only.clone()])
            }
            _ => false,
        };
        if closes {
            let width = median_width(stations.iter());
            self.runs.push(Run { stations, width, clusters: None });
            return;
        }
        self.places.push(stations[0].at);
        let gap = self.places.len() - 1;
        self.add(&stations, &stretches, [gap, gap]);
    }
}

/// The stretches of stations where the sides run alongside, in order.
fn stretches(samples: &[Sample], stations: &[Station], least: f64) -> Vec<Range<usize>> {
    let mut clear: Vec<Range<usize>> = Vec::new();
    for (i, station) in stations.iter().enumerate() {
        if !station.is_clear(least) {
            continue;
        }
        match clear.last_mut() {
            Some(last) if last.end == i => last.end += 1,
            _ => clear.push(i..i + 1),
        }
    }
    let mut joined = join_stretches(samples, stations, clear);
    joined.retain(|stretch| {
        let stations = &stations[stretch.clone()];
        stations.len() > 1 && length(stations) >= SHORTEST_RUN_WIDTHS * median_width(stations.iter())
    });
    // Without the short ones, others may fit together.
    join_stretches(samples, stations, joined)
}

fn join_stretches(
    samples: &[Sample],
    stations: &[Station],
    stretches: Vec<Range<usize>>,
) -> Vec<Range<usize>> {
    let mut joined: Vec<Range<usize>> = Vec::new();
    for next in stretches {
        if let Some(last) = joined.last_mut() {
            let gap = &stations[last.end..next.start];
            if is_part_of_run(samples, &stations[last.clone()], gap, &stations[next.clone()]) {
                last.end = next.end;
                continue;
            }
        }
        joined.push(next);
    }
    joined
}

/// Whether a gap between two stretches is only a slight bend or unevenness, or a rounded bend: then its own middle is better
/// than any guess.
fn is_part_of_run(samples: &[Sample], before: &[Station], gap: &[Station], after: &[Station]) -> bool {
    let (Some(last), Some(first)) = (before.last(), after.first()) else { return false };
    let (narrow, wide) = (last.width.min(first.width), last.width.max(first.width));
    let way = last.at.distance(first.at).max(length(gap));
    let turn = last.along.perp_dot(first.along).atan2(last.along.dot(first.along)).abs();
    if wide > SLIGHT_BULGE * SLIGHT_BULGE * narrow {
        return false;
    }
    if turn > SLIGHT_TURN {
        return way <= LONGEST_BEND_WIDTHS * wide
            && !gap.is_empty()
            && is_rounded(samples, last, gap, first, turn);
    }
    way <= SHORT_GAP_WIDTHS * wide
        && gap.iter().all(|s| s.width <= SLIGHT_BULGE * wide && s.width * SLIGHT_BULGE >= narrow)
}

/// Whether both sides of a bend are round about a common centre. A lead with a corner has a sharp inner side, whatever the
/// join of its outer side; a border with a corner around rounded panes has a sharp outer side.
fn is_rounded(samples: &[Sample], last: &Station, gap: &[Station], first: &Station, turn: f64) -> bool {
    // Where the middle would have its corner.
    let det = last.along.perp_dot(first.along);
    let ahead = (first.at - last.at).perp_dot(first.along) / det;
    let corner = last.at + last.along * ahead;
    // To the inner side, and to the tangents of the outer one, none of which passes a sharp corner nearer than half a width.
    let (mut to_inner, mut to_tangent) = (f64::INFINITY, f64::INFINITY);
    for Crossing { left, right } in gap.iter().map(|s| s.crossing) {
        let (inner, outer) = if det > 0.0 { (left, right) } else { (right, left) };
        let (inner, outer) = (&samples[inner as usize], &samples[outer as usize]);
        to_inner = to_inner.min(inner.at.distance(corner));
        to_tangent = to_tangent.min(outer.along.perp_dot(corner - outer.at).abs());
    }
    let width = f64::midpoint(last.width, first.width);
    // Distances from there to the sides of a lead bent round with the least inner radius.
    let (radius, secant) = (ROUNDED_FROM_WIDTHS * width, 1.0 / (turn / 2.0).cos());
    let to_centre = (radius + width / 2.0) * secant;
    let to_outer = f64::midpoint(radius + width - to_centre, width / 2.0);
    // Where it turns little, its outer side tells little, and matters little.
    let is_round_outside = turn < MODERATE_TURN || to_tangent < to_outer;
    ahead > 0.0 && to_inner > to_centre - radius && is_round_outside
}

/// Where a chain without a clear stretch is clearest.
fn clearest(stations: &[Station]) -> Range<usize> {
    let best = (0..stations.len()).min_by(|&i, &j| stations[i].mismatch.total_cmp(&stations[j].mismatch));
    let best = best.unwrap_or(0);
    let mut stretch = best..best + 1;
    let fits = |i: usize| {
        stations
            .get(i)
            .is_some_and(|s| s.mismatch <= 0.35 && s.width <= SLIGHT_BULGE * stations[best].width.max(1e-6))
    };
    while fits(stretch.end) {
        stretch.end += 1;
    }
    while stretch.start > 0 && fits(stretch.start - 1) {
        stretch.start -= 1;
    }
    stretch
}

/// A stretch without its ends, if it is long.
fn trimmed(stations: &[Station]) -> &[Station] {
    let width = median_width(stations.iter());
    if length(stations) < TRIMMED_FROM_WIDTHS * width {
        return stations;
    }
    let (mut start, mut end) = (0, stations.len());
    while end - start > 2 && length(&stations[..=start + 1]) < TRIM_WIDTHS * width {
        start += 1;
    }
    while end - start > 2 && length(&stations[end - 2..]) < TRIM_WIDTHS * width {
        end -= 1;
    }
    &stations[start..end]
}
