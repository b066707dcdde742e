//! Light from one direction through a piece, distributed over the room and gathered at the receivers.

use plane::{RoomPoint, RoomVector, WallPoint, area_and_centroid, bounds, clip_to_rectangle, room_from_wall};
use spectra::Spectrum;

use crate::outdoors::OutsideCell;
use crate::room_response::RoomResponse;

/// A small part of a piece, represented by one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PieceSample {
    /// Centre of gravity of the part, on the window plane.
    pub point_m: RoomPoint,
    /// Area of the part, m².
    pub area_m2: f64,
}

/// Cuts a piece along a square grid of `step_m` into parts; a piece of less than two squares stays whole.
pub fn piece_samples(polygon: &[WallPoint], step_m: f64) -> Vec<PieceSample> {
    let Some([low, high]) = bounds(polygon) else { return Vec::new() };
    match area_and_centroid(polygon) {
        None => return Vec::new(),
        // A small piece is one sample.
        Some((area_m2, middle)) if area_m2 <= 2.0 * step_m * step_m => {
            return vec![PieceSample { point_m: room_from_wall(middle), area_m2 }];
        }
        Some(_) => {}
    }
    let count = |k: usize| ((high[k] - low[k]) / step_m.max(1e-3) - 1e-9).ceil().clamp(1.0, 200.0) as usize;
    let (columns, rows) = (count(0), count(1));
    let mut samples = Vec::new();
    for i in 0..columns {
        for j in 0..rows {
            let side = |k: usize, m: usize, n: usize| {
                let at = |m: usize| low[k] + (high[k] - low[k]) * m as f64 / n as f64;
                [at(m), at(m + 1)]
            };
            let part = clip_to_rectangle(polygon, side(0, i, columns), side(1, j, rows));
            if let Some((area_m2, middle)) = area_and_centroid(&part) {
                samples.push(PieceSample { point_m: room_from_wall(middle), area_m2 });
            }
        }
    }
    samples
}

impl RoomResponse {
    /// Light from a whole cell of the outside through the samples. For every sample whose light lands in the room, `add`
    /// receives the number of its direction in the cell's spread, its area and the response to it, one spectrum per
    /// receiver, the opening's last. Σ area · response, multiplied by the irradiance across the glass behind it, is what
    /// the receivers get by way of the room.
    ///
    /// Every sample takes the next of the cell's spread of directions, so that together they cover the cell. `first`: the
    /// number of samples of earlier pieces.
    pub(crate) fn for_landed(
        &self,
        samples: &[PieceSample],
        first: usize,
        cell: &OutsideCell,
        mut add: impl FnMut(usize, f64, &[Spectrum]),
    ) {
        for (k, sample) in (first..).zip(samples) {
            let (direction, at) = cell.spread_direction(k);
            if let Some(fine) = self.landing(sample.point_m, -direction) {
                add(at, sample.area_m2, self.response(fine));
            }
        }
    }

    /// Adds Σ area · response for parallel light from the unit direction `toward_source` whose first reflection toward
    /// the receivers is computed separately: later reflections only for the receivers, all of them for the opening.
    pub fn add_beam(&self, samples: &[PieceSample], toward_source: RoomVector, into: &mut [Spectrum]) {
        let inward = -toward_source;
        for sample in samples {
            if let Some(fine) = self.landing(sample.point_m, inward) {
                let (all, later) = (self.response(fine), self.later_response(fine));
                let opening = into.len().min(all.len()) - 1;
                for (c, sum) in into.iter_mut().enumerate() {
                    sum.add_scaled(sample.area_m2, if c < opening { &later[c] } else { &all[opening] });
                }
            }
        }
    }
}
