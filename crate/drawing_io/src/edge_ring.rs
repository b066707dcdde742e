//! The layer whose open lines make the window's edge, perhaps with gaps.

use plane::PanelPoint;

use crate::bars::could_be_bars;
use crate::chain::is_ring;
use crate::layer::{Layer, LeftOut, Reading};
use crate::meeting::{MEETING_MM, ends_of, is_met};
use crate::near::Near;
use crate::outline::{OVERRUN_MM, edge_among};
use crate::part::{Part, bounds};
use crate::role::{Hint, Role};

/// Of a layer's ends that meet nothing else, this share lies on the edge if any of its lines end there.
const ON_EDGE_SHARE: f64 = 0.5;

/// Lines of which at most this share of ends meet nothing else are a whole window by themselves, with a slip or two.
const FREE_SHARE: f64 = 0.1;

/// Layers that are considered, the largest first.
const MOST_CANDIDATES: usize = 32;

/// With fewer free ends than this share, all on one side of a ring, they are those beside a gap in the edge.
const SILL_SHARE: f64 = 0.5;

/// Finds the layer whose lines make one ring around all others that may hold leads.
///
/// Leads end on a window's edge. A ring on which none does, or on which ends only what already ends on another line, is
/// drawn around the window: the opening in the masonry, a rebate, a reveal, a frame. Once an edge is named, no other layer's
/// lines are one.
pub(crate) fn find_edge_ring(layers: &mut [Layer]) {
    let is_named = |layer: &Layer| {
        layer.group.hint == Some(Hint::Role(Role::Outline)) || layer.group.edge_role == Some(Role::Outline)
    };
    let some_named = layers.iter().any(|layer| may_hold_leads(layer) && is_named(layer));
    let rings = rings_around(layers);
    if rings.is_empty() {
        return;
    }
    let rest: Vec<&Layer> = (0..layers.len())
        .filter(|k| !rings.contains(k) && may_hold_leads(&layers[*k]))
        .map(|k| &layers[k])
        .collect();
    let has_ends = |layer: &&Layer| layer.parts.iter().any(|part| !part.closed);
    // Without an end of a line, nothing can end on a ring; unless something closed is the edge, the ring may be.
    if !rest.iter().any(has_ends) {
        let parts: Vec<&Part> = rest.iter().flat_map(|layer| &layer.parts).collect();
        let ring = rings.into_iter().find(|&k| !some_named || is_named(&layers[k]));
        if let Some(k) = ring.filter(|_| edge_among(&parts, &parts, None).is_none()) {
            layers[k].is_edge_ring = true;
        }
        return;
    }
    // Bars run on into the masonry.
    let is_lead = |layer: &&&Layer| has_ends(layer) && !could_be_bars(layer);
    let some_lead = rest.iter().any(|layer| is_lead(&layer));
    let all = Near::new(rest.iter().flat_map(|layer| &layer.parts));
    let leads = rest.iter().filter(|layer| is_lead(layer) || !some_lead);
    let mut count_of_ends = 0;
    let mut free: Vec<(&Layer, Vec<(PanelPoint, &Part)>)> = Vec::new();
    for layer in leads {
        let mut ends = ends_of(&layer.parts);
        count_of_ends += ends.len();
        ends.retain(|(end, part)| !is_met(layer, *end, part, &all));
        free.push((layer, ends));
    }
    let free_share =
        free.iter().map(|(_, ends)| ends.len()).sum::<usize>() as f64 / f64::max(count_of_ends as f64, 1.0);
    let best = rings
        .iter()
        .filter(|&&k| !some_named || is_named(&layers[k]))
        .filter_map(|&k| {
            let on = ends_on(&layers[k], &free);
            // A sill along the edge closes a gap in that, too.
            let is_sill = free_share < SILL_SHARE && lie_on_one_side(&on);
            let apart = |end: &PanelPoint| {
                let distances = layers[k].parts.iter().map(|part| part.distance_mm(*end));
                distances.fold(f64::INFINITY, f64::min)
            };
            (!on.is_empty() && !is_sill).then(|| (k, on.len(), on.iter().map(apart).sum::<f64>()))
        })
        // Of two beside one another, that on which more ends, and nearer.
        .max_by(|a, b| a.1.cmp(&b.1).then(b.2.total_cmp(&a.2)));
    let edge = best.map(|(k, ..)| k);
    let is_whole = edge.is_some() || free_share <= FREE_SHARE;
    let around: Vec<usize> = rings
        .into_iter()
        .filter(|&k| is_whole && !is_named(&layers[k]) && ends_on(&layers[k], &free).is_empty())
        .collect();
    if let Some(k) = edge {
        layers[k].is_edge_ring = true;
    }
    for k in around {
        layers[k].is_around = true;
    }
}

/// The layers that each make a ring around all others that may hold leads, but for larger rings.
fn rings_around(layers: &[Layer]) -> Vec<usize> {
    let size = |k: usize| {
        let [low, high] = bounds(&layers[k].parts)?;
        Some((k, low, high))
    };
    let area = |(_, low, high): &(usize, PanelPoint, PanelPoint)| (high[0] - low[0]) * (high[1] - low[1]);
    let all: Vec<_> = (0..layers.len()).filter(|&k| may_hold_leads(&layers[k])).filter_map(size).collect();
    let mut largest: Vec<_> =
        all.iter().copied().filter(|(k, ..)| layers[*k].reading == Reading::Lines).collect();
    largest.sort_by(|a, b| area(b).total_cmp(&area(a)));
    largest.truncate(MOST_CANDIDATES);
    largest.retain(|(k, ..)| is_ring(&layers[*k].parts));
    let mut rings = Vec::new();
    for ring @ (k, low, high) in &largest {
        let larger =
            |other: &usize| largest.iter().any(|found| found.0 == *other && area(found) > area(ring));
        let mut others = all.iter().filter(|(other, ..)| other != k && !larger(other)).peekable();
        let is_one = others.peek().is_some()
            && others.all(|(_, from, to)| {
                (0..2).all(|axis| low[axis] <= from[axis] + OVERRUN_MM && high[axis] >= to[axis] - OVERRUN_MM)
            });
        if is_one {
            rings.push(*k);
        }
    }
    rings
}

/// The free ends of lead layers that meet a ring's lines; of layers that end elsewhere, none.
fn ends_on(ring: &Layer, free: &[(&Layer, Vec<(PanelPoint, &Part)>)]) -> Vec<PanelPoint> {
    let near = Near::new(ring.parts.iter());
    let mut found = Vec::new();
    for (layer, ends) in free {
        let on = ends.iter().filter(|(end, part)| is_met(layer, *end, part, &near));
        let on: Vec<PanelPoint> = on.map(|(end, _)| *end).collect();
        if on.len() as f64 >= ON_EDGE_SHARE * ends.len() as f64 {
            found.extend(on);
        }
    }
    found
}

/// Whether points lie on one level or upright line.
fn lie_on_one_side(points: &[PanelPoint]) -> bool {
    plane::bounds(points).is_some_and(|[low, high]| (0..2).any(|axis| high[axis] - low[axis] <= MEETING_MM))
}

fn may_hold_leads(layer: &Layer) -> bool {
    layer.reading != Reading::None || layer.left_out == Some(LeftOut::Hatching)
}
