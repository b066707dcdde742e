//! The boundary of the lead as samples.

use crate::fault::CentreLinesFault;
use crate::region::Region;
use crate::spacing::{Spacing, bends};
use glam::DVec2;

/// Most samples of one boundary: about a million fit the memory of a browser's tab with their triangulation.
const SAMPLE_LIMIT: usize = 1_000_000;

/// A boundary that turns by more has a corner, radians (26°). By experiment.
const CORNER_TURN: f64 = 0.45;

/// A place on the boundary of the lead.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sample {
    pub(crate) at: DVec2,
    /// Unit tangent, the lead on its left.
    pub(crate) along: DVec2,
    /// Whether the boundary has a corner here, so that its tangent says little.
    pub(crate) is_corner: bool,
    /// The sample after this one on the ring.
    pub(crate) next: u32,
    /// The ring.
    pub(crate) ring: u32,
}

/// Samples of all rings, their corners included.
///
/// # Errors
/// `TooLong`
pub(crate) fn samples(region: &Region) -> Result<Vec<Sample>, CentreLinesFault> {
    let (length_mm, width_mm) = (region.perimeter, region.mean_width());
    let spacing = Spacing::new(&region.rings, width_mm);
    let mut samples = Vec::new();
    for (index, ring) in region.rings.iter().enumerate() {
        sample_ring(ring, index as u32, &spacing, &mut samples);
        if samples.len() > SAMPLE_LIMIT {
            return Err(CentreLinesFault::TooLong { length_mm, width_mm });
        }
    }
    Ok(samples)
}

fn edges(ring: &[DVec2]) -> impl Iterator<Item = (DVec2, DVec2)> {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

fn sample_ring(ring: &[DVec2], index: u32, spacing: &Spacing, samples: &mut Vec<Sample>) {
    let mut arc = vec![0.0];
    for (a, b) in edges(ring) {
        arc.push(arc[arc.len() - 1] + a.distance(b));
    }
    let length = arc[ring.len()];
    let place = |s: f64| {
        let s = if s < 0.0 {
            s + length
        } else if s >= length {
            s - length
        } else {
            s
        };
        let i = arc.partition_point(|&a| a <= s).clamp(1, ring.len()) - 1;
        let share = (s - arc[i]) / (arc[i + 1] - arc[i]).max(1e-12);
        ring[i].lerp(ring[(i + 1) % ring.len()], share.clamp(0.0, 1.0))
    };
    // Tangents are taken across more than half a step, so that facets of curves and rounded coordinates even out.
    let reach = (0.6 * spacing.least).max(0.4).min(length / 8.0);
    let first = samples.len() as u32;
    for (i, ((a, b), bend)) in edges(ring).zip(bends(ring)).enumerate() {
        for share in spacing.along(a, b, bend) {
            if samples.len() > SAMPLE_LIMIT {
                return;
            }
            let s = arc[i] + share * (arc[i + 1] - arc[i]);
            let at = a.lerp(b, share);
            let (before, after) = (place(s - reach), place(s + reach));
            let along = (after - before).normalize_or(DVec2::X);
            let (arriving, leaving) = (at - before, after - at);
            let turn = arriving.perp_dot(leaving).atan2(arriving.dot(leaving));
            let (next, is_corner) = (samples.len() as u32 + 1, turn.abs() > CORNER_TURN);
            samples.push(Sample { at, along, is_corner, next, ring: index });
        }
    }
    if let Some(last) = samples.last_mut() {
        last.next = first;
    }
}
