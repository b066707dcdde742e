//! Whether lines meet one another as leads do, or end anywhere as painted strokes do.

use plane::PanelPoint;

use crate::layer::{Layer, Reading};
use crate::near::Near;
use crate::part::Part;
use crate::role::Role;

/// An end farther than this from every other line is a free end, mm: half the face of a wide lead.
pub(crate) const MEETING_MM: f64 = 6.0;

/// Thinner strokes show only where a lead runs, mm: they are drawn from heart to heart, not from face to face.
const FACE_MM: f64 = 1.5;

/// Ends of thin strokes reach a line from no farther than this and a share of their length, mm.
const THIN_MM: f64 = 0.5;
const THIN_SHARE: f64 = 0.05;

/// An end this near to a line is on it, and a line along all its length the same, mm.
const ON_MM: f64 = 0.3;

/// Nearer to one another than this, there is no glass between lines, mm.
const CROWDED_MM: f64 = 3.0;

/// Fewer strokes are no hatching.
const LEAST_STROKES: usize = 8;

/// The share of a group's ends that meet its own or other leads; 1 where nothing ends.
pub(crate) fn share_of_meeting_ends(layer: &Layer, layers: &[Layer], own: usize) -> f64 {
    let leads = layers.iter().enumerate().filter(|(k, other)| {
        *k == own || (other.reading == Reading::Lines && other.group.role != Role::Ignored) || has_edge(other)
    });
    let near = Near::new(leads.flat_map(|(_, other)| &other.parts));
    let ends = ends_of(&layer.parts);
    let meeting = ends.iter().filter(|(end, part)| is_met(layer, *end, part, &near));
    if ends.is_empty() { 1.0 } else { meeting.count() as f64 / ends.len() as f64 }
}

/// Whether an end of a layer's part meets other parts of an index, as far as its lines reach.
pub(crate) fn is_met(layer: &Layer, end: PanelPoint, part: &Part, near: &Near<'_>) -> bool {
    let is_thin = layer.width_mm.is_none_or(|width| width < FACE_MM);
    let reach = if is_thin { MEETING_MM.min(THIN_MM + THIN_SHARE * part.length_mm()) } else { MEETING_MM };
    meets(end, part, reach, near)
}

/// Whether an end lies on another line, or the line would cross another if it went on, or stopped sooner, by `reach` mm:
/// one that only passes beside it is not met.
fn meets(end: PanelPoint, part: &Part, reach: f64, near: &Near<'_>) -> bool {
    if !near.within_of_others(end, reach, part) {
        return false;
    }
    if near.within_of_others(end, ON_MM, part) {
        return true;
    }
    let last = part.points.len() - 1;
    let inner = if end == part.points[0] { part.points[1] } else { part.points[last - 1] };
    let step = (end - inner) * (1.5 * reach / (end - inner).length().max(1e-9));
    near.crossed_by_others(end + step * -1.0, end + step, part)
}

/// Whether most of a group's lines run so close beside others that no glass fits between: painted hatching.
pub(crate) fn is_hatching(parts: &[Part]) -> bool {
    if parts.len() < LEAST_STROKES || parts.iter().any(|part| part.closed) {
        return false;
    }
    let near = Near::new(parts.iter());
    let crowded = parts.iter().filter(|part| {
        // Two places out of three, since lines may cross in one.
        let places = [0.27, 0.5, 0.73].map(|share| part.place(share));
        let gaps = places.map(|place| near.distance_to_others(place, CROWDED_MM, part));
        gaps.into_iter().flatten().filter(|gap| *gap > ON_MM).count() > 1
    });
    2 * crowded.count() > parts.len()
}

/// Whether a group may hold the window's edge.
fn has_edge(layer: &Layer) -> bool {
    layer.reading == Reading::Lines && (layer.is_edge_ring || layer.parts.iter().any(|part| part.closed))
}

/// The free ends of the parts.
pub(crate) fn ends_of(parts: &[Part]) -> Vec<(PanelPoint, &Part)> {
    let open = parts.iter().filter(|part| !part.closed);
    open.flat_map(|part| [(part.points[0], part), (part.points[part.points.len() - 1], part)]).collect()
}
