//! What inner reveals give to the room, and how it depends on what they reflect, to first order.

use std::f64::consts::FRAC_1_PI;

use reveal::Way;
use spectra::{Spectrum, luminous};

use super::other_wall::Walls;
use crate::prepared::{COLUMNS, Prepared, RECEIVERS};
use crate::walled_rows::WalledRows;

/// Rays that are followed from the glass of a window inward, about.
const RAYS: usize = 12_000;
/// Step in the logarithm of the reflectances for the slope of the response.
const STEP: f64 = 0.05;

/// By receiver, as glazed and with clear glass: by how much all light there grows with the logarithm of what the sides of the
/// inner reveals reflect; as glazed in proportion to what comes by way of the room.
pub(super) fn slopes(walls: &Walls<'_>) -> [[f64; RECEIVERS]; 2] {
    let prepared = walls.prepared;
    let mut sums = [[0.0; COLUMNS]; 2];
    for (window, rows) in prepared.walled.iter().enumerate() {
        let Some(rows) = rows.as_ref().filter(|rows| !rows.walled.inner.is_empty()) else { continue };
        let slope = rows.inner_slope.get_or_init(|| slope(prepared, rows));
        for (sums, flux) in sums.iter_mut().zip(landed(walls, window, rows)) {
            for (flux, slope) in flux.iter().zip(slope) {
                for (sum, slope) in sums.iter_mut().zip(slope) {
                    *sum += flux * slope;
                }
            }
        }
    }
    let white = luminous(&Spectrum::ONE);
    let of = |k: usize, r: usize, whole: &Spectrum| {
        let opening = luminous(&prepared.opening[k][r]) / white;
        let whole = luminous(whole);
        if whole > 0.0 { (sums[k][r] + opening * sums[k][RECEIVERS]) / whole } else { 0.0 }
    };
    [
        std::array::from_fn(|r| of(0, r, &walls.light.on(r).room)),
        std::array::from_fn(|r| of(1, r, &walls.light.clear[r])),
    ]
}

/// By how much the response to flux on each patch grows with the logarithm of all reflectances.
fn slope(prepared: &Prepared, rows: &WalledRows) -> Vec<[f64; COLUMNS]> {
    let darker = rows.walled.inner_response(&prepared.response, &prepared.receivers, &|face| {
        rows.walled.inner_reflectance(face) * (-STEP).exp()
    });
    let white = STEP * luminous(&Spectrum::ONE);
    let of = |(now, then): (&[Spectrum; COLUMNS], &[Spectrum; COLUMNS])| {
        std::array::from_fn(|c| luminous(&(now[c] - then[c])) / white)
    };
    rows.inner.iter().zip(&darker).map(of).collect()
}

/// Luminous flux that lands on each patch of an inner reveal through the glass, lm: as glazed, and with clear glass.
fn landed(walls: &Walls<'_>, window: usize, rows: &WalledRows) -> [Vec<f64>; 2] {
    let Walls { prepared, light, .. } = walls;
    let walled = &rows.walled;
    let mut flux = [vec![0.0; walled.inner.len()], vec![0.0; walled.inner.len()]];
    let Some(lit) = &walls.lit[window] else { return flux };
    let around: Vec<f64> = walls.around.iter().map(luminous).collect();
    let of_window = |p: &usize| prepared.wall.pieces[*p].window == window;
    let pieces: Vec<usize> = (0..prepared.pieces.len()).filter(of_window).collect();
    let samples: usize = pieces.iter().map(|&p| prepared.pieces[p].samples.len()).sum();
    // Each sample takes some of the directions; neighbours take others.
    let stride = (samples * prepared.room.len()).div_ceil(RAYS).max(1);
    // As much as clear glass passes in each direction, over what it does in the mean.
    let slanting = |row: &crate::prepared::RoomCell| {
        let cosine = -row.cell.direction[2];
        luminous(&prepared.clear.optics.regular(cosine)) / luminous(&Spectrum::ONE)
    };
    let slanting: Vec<f64> = prepared.room.iter().map(slanting).collect();
    for &p in &pieces {
        let piece = &prepared.pieces[p];
        let pane = &prepared.glazing.panes[prepared.glazing.of_piece[p]];
        let regular = luminous(&pane.optics.regular(0.6)) / luminous(&prepared.clear.optics.regular(0.6));
        let glow = luminous(&light.pieces[p].ways.emitted) * FRAC_1_PI;
        for (k, sample) in (piece.samples_before..).zip(&piece.samples) {
            let on_glass = plane::WallPoint::new(sample.point_m[0], sample.point_m[1]);
            for number in ((7 * k) % stride..prepared.room.len()).step_by(stride) {
                let cell = &prepared.room[number].cell;
                let (direction, _) = cell.spread_direction(k + 5 * number);
                let Way::Patch(inner) = walled.opening.inward(on_glass, -direction) else { continue };
                let seen = match walled.opening.outward(on_glass, direction) {
                    Way::Open => around[number] * walled.openness[number],
                    Way::Patch(patch) => {
                        FRAC_1_PI * lit.of_patch[patch] * walled.openness_to(patch, direction)
                    }
                };
                let weight = stride as f64 * sample.area_m2 * cell.projected_sr;
                let passed = weight * seen * slanting[number];
                flux[0][inner] += passed * regular + weight * glow;
                flux[1][inner] += passed;
            }
        }
        let (Some(beam), Some(on)) = (&lit.beam, &lit.on_opening) else { continue };
        let [past, _] = prepared.wall.past_leads(p, beam.toward);
        let passed = [pane, &prepared.clear]
            .map(|pane| past * beam.cosine * luminous(&(pane.optics.regular(beam.cosine) * beam.normal)));
        for part in prepared.wall.pieces[p].light.iter().flat_map(|light| on.lit(light)) {
            for (patch, ring) in on.inside(&part).patches {
                let area = plane::signed_area(&ring).abs();
                for (flux, passed) in flux.iter_mut().zip(passed) {
                    flux[patch] += area * passed;
                }
            }
        }
    }
    flux
}
