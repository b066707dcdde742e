//! What the light through a window with depth does on its way into the room.

use std::f64::consts::PI;

use plane::{RoomPoint, WallPoint};
use reveal::{Face, Leaving, Opening, Way};
use spectra::Spectrum;

use crate::contour::form_factor_to_polygon;
use crate::landing::{PieceSample, piece_samples};
use crate::outdoors::{OutsideCell, outside_cells};
use crate::room_response::{COLUMNS, RECEIVERS, Receiver, RoomResponse};
use crate::walled::Walled;

/// Where the light of one of the room's directions lands that comes through a piece.
#[derive(Clone, Debug, Default)]
pub(crate) struct Landed {
    /// Area of the glass that sees the outside in that direction, m², and area · response of its light.
    pub(crate) open_m2: f64,
    pub(crate) open: [Spectrum; COLUMNS],
    /// The same of the glass that sees a patch of the outer reveal or the overhang there.
    pub(crate) patches: Vec<LandedByPatch>,
    /// Weights of the samples that see the outside.
    pub(crate) open_weight: f64,
    /// Area · response of all the glass, with light spread evenly.
    pub(crate) own: [Spectrum; COLUMNS],
}

impl Landed {
    /// Takes what leads with depth take: of light that goes straight on, and of light that is scattered in the glass.
    pub(crate) fn pass_leads(&mut self, straight: f64, scattered: f64) {
        self.open_m2 *= scattered;
        self.open.iter_mut().for_each(|light| *light *= straight);
        for by_patch in &mut self.patches {
            by_patch.area_m2 *= scattered;
            by_patch.light.iter_mut().for_each(|light| *light *= straight);
        }
        self.own.iter_mut().for_each(|light| *light *= scattered);
    }
}

/// Light of a patch of the outer reveal or the overhang.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LandedByPatch {
    pub(crate) patch: usize,
    pub(crate) area_m2: f64,
    pub(crate) weight: f64,
    pub(crate) light: [Spectrum; COLUMNS],
}

impl Walled {
    /// How much of each sample is seen from a point of the room: solid angle, sr, in the frame of the glass. If none is
    /// seen, their areas.
    pub(crate) fn seen_from(&self, samples: &[PieceSample], eye: RoomPoint) -> Vec<f64> {
        let weight = |sample: &PieceSample| {
            let to = eye - sample.point_m;
            let on_glass = WallPoint::new(sample.point_m[0], sample.point_m[1]);
            match self.opening.inward(on_glass, to.unit()) {
                Way::Open => sample.area_m2 * to.unit()[2].max(0.0) / (to.length() * to.length()),
                Way::Patch(_) => 0.0,
            }
        };
        let weights: Vec<f64> = samples.iter().map(weight).collect();
        if weights.iter().any(|weight| *weight > 0.0) {
            return weights;
        }
        samples.iter().map(|sample| sample.area_m2).collect()
    }

    /// The patches of the inner reveal as seen by receivers at one point of the room: irradiance for each that a patch sends
    /// per area.
    pub(crate) fn inner_forms(&self, receivers: &[Receiver; RECEIVERS]) -> Vec<[f64; RECEIVERS]> {
        inner_forms(&self.opening, self.inner.len(), self.before_glass(receivers[0].point_m), receivers)
    }

    /// Response to flux that patches of the inner reveal send: of receivers that see them, and by way of the room.
    fn response_to_sent<'a>(
        &self,
        forms: &[[f64; RECEIVERS]],
        patches: impl Iterator<Item = (f64, &'a [Leaving])>,
        response: &RoomResponse,
    ) -> Vec<Vec<Spectrum>> {
        let mut to_sent = vec![vec![Spectrum::ZERO; forms.len()]; COLUMNS];
        for (patch, ((area_m2, rays), form)) in patches.zip(forms).enumerate() {
            for (column, form) in to_sent.iter_mut().zip(form) {
                column[patch] += Spectrum::splat(form / area_m2);
            }
            for ray in rays {
                if let Some(fine) = response.landing(self.in_room(ray.from), ray.along) {
                    for (column, h) in to_sent.iter_mut().zip(response.response(fine)) {
                        column[patch].add_scaled(ray.share, h);
                    }
                }
            }
        }
        to_sent
    }

    /// Response to flux that lands on each patch of the inner reveal, one entry per column, as
    /// [`RoomResponse::response`] gives it for the room's own surfaces, with sides of these reflectances.
    pub(crate) fn inner_response(
        &self,
        response: &RoomResponse,
        receivers: &[Receiver; RECEIVERS],
        reflectance: &dyn Fn(Face) -> Spectrum,
    ) -> Vec<[Spectrum; COLUMNS]> {
        let eye = self.before_glass(receivers[0].point_m);
        let few = &self.few_inner;
        let few_forms = inner_forms(&self.few, few.len(), eye, receivers);
        let few_patches = (0..few.len()).map(|patch| (few.area_m2(patch), few.leaving(patch)));
        let few_landed: Vec<Vec<Spectrum>> = self
            .response_to_sent(&few_forms, few_patches, response)
            .iter()
            .map(|sent| few.response(sent, reflectance))
            .collect();
        let patches = self.inner.iter().map(|(area, _)| *area).zip(self.leaving.iter().map(Vec::as_slice));
        let to_sent = self.response_to_sent(&self.inner_forms(receivers), patches, response);
        let n = few.len();
        let of = |patch: usize, c: usize| {
            let mut sum = to_sent[c][patch];
            for (landed, factor) in few_landed[c].iter().zip(&self.inner_factors[patch * n..]) {
                sum.add_scaled(*factor, landed);
            }
            sum * reflectance(self.inner[patch].1)
        };
        (0..self.inner.len()).map(|patch| std::array::from_fn(|c| of(patch, c))).collect()
    }

    /// Light of a cell of the outside through samples of the glass, as for windows without depth
    /// ([`RoomResponse::for_landed`]). `inner`: as [`Self::inner_response`]. `passed` weights each of the cell's directions,
    /// `weights` the samples where only that is asked for.
    pub(crate) fn landed(
        &self,
        (samples, weights): (&[PieceSample], &[f64]),
        first: usize,
        (number, cell): (usize, &OutsideCell),
        response: &RoomResponse,
        inner: &[[Spectrum; COLUMNS]],
        passed: Option<&[f64; OutsideCell::DIRECTIONS]>,
    ) -> Landed {
        let mut landed = Landed::default();
        for ((k, sample), weight) in (first..).zip(samples).zip(weights) {
            // Another part of every cell, so that no place on the glass always has the same one.
            let (direction, at) = cell.spread_direction(k + 5 * number);
            let on_glass = WallPoint::new(sample.point_m[0], sample.point_m[1]);
            let hits = match self.opening.inward(on_glass, -direction) {
                Way::Patch(patch) => Some(&inner[patch][..]),
                Way::Open => {
                    let fine = response.landing(self.in_room(sample.point_m), -direction);
                    fine.map(|fine| response.response(fine))
                }
            };
            let factor = sample.area_m2 * passed.map_or(1.0, |passed| passed[at]);
            let sums = match self.opening.outward(on_glass, direction) {
                Way::Open => {
                    landed.open_m2 += sample.area_m2;
                    landed.open_weight += weight;
                    &mut landed.open
                }
                Way::Patch(patch) => {
                    let known = landed.patches.iter().position(|known| known.patch == patch);
                    let index = known.unwrap_or_else(|| {
                        let light = [Spectrum::ZERO; COLUMNS];
                        landed.patches.push(LandedByPatch { patch, area_m2: 0.0, weight: 0.0, light });
                        landed.patches.len() - 1
                    });
                    let by_patch = &mut landed.patches[index];
                    by_patch.area_m2 += sample.area_m2;
                    by_patch.weight += weight;
                    &mut by_patch.light
                }
            };
            for (c, h) in hits.into_iter().flatten().enumerate() {
                sums[c].add_scaled(factor, h);
                landed.own[c].add_scaled(sample.area_m2, h);
            }
        }
        landed
    }

    /// Share of the overcast light on the outside of the glass that wall, overhang, bars and mesh take, 0–1: a CIE standard
    /// overcast sky over a ground that reflects 0.2, nothing else outside.
    pub(crate) fn overcast_taken(&self) -> f64 {
        *self.overcast_taken.get_or_init(|| self.find_overcast_taken())
    }

    fn find_overcast_taken(&self) -> f64 {
        let cells = outside_cells(1);
        let Ok(sky) = reveal::SkyAndGround::new(1, 90.0, 0.0, 10_000.0, 0.2) else { return 0.0 };
        let around: Vec<Spectrum> =
            cells.iter().map(|cell| Spectrum::splat(sky.luminance(cell.direction))).collect();
        let exitance = self.exitance(&around, None);
        let step = (self.wall.outline.area_m2() / 800.0).sqrt();
        let (mut light, mut bare) = (0.0, 0.0);
        let samples = piece_samples(self.wall.outline.corners(), step);
        for (number, cell) in cells.iter().enumerate() {
            for (k, sample) in samples.iter().enumerate() {
                let (direction, _) = cell.spread_direction(k + 5 * number);
                let weight = sample.area_m2 * cell.projected_sr;
                bare += weight * around[number][0];
                let on_glass = WallPoint::new(sample.point_m[0], sample.point_m[1]);
                light += weight
                    * match self.opening.outward(on_glass, direction) {
                        Way::Open => around[number][0] * self.openness[number],
                        Way::Patch(patch) => exitance[patch][0] * self.openness_to(patch, direction) / PI,
                    };
            }
        }
        (1.0 - light / bare).clamp(0.0, 1.0)
    }
}

/// The patches of an inner reveal as seen by receivers at one point in the frame of the glass: irradiance for each that a
/// patch sends per area.
pub(crate) fn inner_forms(
    opening: &Opening,
    patches: usize,
    eye: RoomPoint,
    receivers: &[Receiver; RECEIVERS],
) -> Vec<[f64; RECEIVERS]> {
    let mut forms = vec![[0.0; RECEIVERS]; patches];
    let Ok(view) = opening.from_eye(eye) else { return forms };
    for (patch, corners) in view.inner() {
        for (form, receiver) in forms[patch].iter_mut().zip(receivers) {
            *form += form_factor_to_polygon(eye, receiver.normal, &corners);
        }
    }
    forms
}
