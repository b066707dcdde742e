//! Windows in a wall with depth by the direct method: on finer patches, ray by ray, for one instant.

use std::f64::consts::FRAC_1_PI;
use std::sync::Arc;

use daylight::Outside;
use plane::{RoomPoint, RoomVector, WallPoint, signed_area};
use reveal::{Face, InnerSides, Opening, OuterSides, Patches, Way};
use spectra::Spectrum;

use crate::direct_lobe::{Falling, PieceLobes};
use crate::geometry::{PieceShape, WindowWall};
use crate::glazing::Glazing;
use crate::landing::{PieceSample, piece_samples};
use crate::mesh::RoomMesh;
use crate::outdoors::fine_cells;
use crate::prepared::world;
use crate::room_response::{RECEIVERS, Receiver};
use crate::view_edges::ViewEdges;
use crate::walled::{Walled, outer_reflectance};
use crate::walled_room::inner_forms;

/// Approximate number of samples over a window for the light on its inner reveal.
const SAMPLES: f64 = 400.0;

/// A window in a wall with depth, on fine patches.
#[derive(Clone, Debug)]
pub(crate) struct DirectWall {
    pub(crate) opening: Opening,
    outer: OuterSides,
    pub(crate) inner: InnerSides,
    pub(crate) walled: Arc<Walled>,
}

/// Such a window at an instant.
#[derive(Clone, Debug, Default)]
pub(crate) struct LitWall {
    /// What each patch outside sends.
    pub(crate) outer: Vec<Spectrum>,
    /// What each patch of the inner reveal sends.
    pub(crate) inner: Vec<Spectrum>,
}

/// The sun of an instant, as the room has it.
pub(crate) struct Sun {
    pub(crate) toward: RoomVector,
    pub(crate) beam: Spectrum,
    /// Whether it is up, and in front of the window wall.
    pub(crate) shines: bool,
}

/// The walls of all windows.
pub(crate) fn walls(wall: &WindowWall) -> Vec<Option<DirectWall>> {
    let of = |walled: &Arc<Walled>| {
        let opening = Opening::new(walled.wall.outline.clone(), &walled.wall.depths, Patches::Fine).ok()?;
        let (outer, inner) = (opening.outer_sides(), opening.inner_sides());
        Some(DirectWall { opening, outer, inner, walled: walled.clone() })
    };
    wall.walled.iter().map(|walled| walled.as_ref().and_then(of)).collect()
}

impl DirectWall {
    /// What each patch outside sends.
    pub(crate) fn outer_exitance(&self, outside: &Outside, sun: &Sun, facing_deg: f64) -> Vec<Spectrum> {
        let radiance = |d: RoomVector| outside.radiance(world(d, facing_deg)) * self.walled.openness(d);
        let mut received = self.outer.received(radiance);
        if (0..self.outer.len()).any(|patch| self.outer.face(patch) == Face::Overhang)
            && !self.walled.wall.guards.is_empty()
        {
            // Bars and mesh hang before the reveal, but not before the overhang.
            let free = self.outer.received(|d| outside.radiance(world(d, facing_deg)));
            for (patch, free) in free.into_iter().enumerate() {
                if self.outer.face(patch) == Face::Overhang {
                    received[patch] = free;
                }
            }
        }
        if let (true, Some(beam)) = (sun.shines, self.opening.beam(sun.toward)) {
            let normal = sun.beam * self.walled.openness(sun.toward);
            for (sum, share) in received.iter_mut().zip(beam.on_outer()) {
                sum.add_scaled(share, &normal);
            }
        }
        self.outer.exitance(&received, |face| outer_reflectance(&self.walled.wall, face))
    }

    /// Share of the light of a patch outside that bars and mesh let by in a direction.
    pub(crate) fn openness_to(&self, patch: usize, toward: RoomVector) -> f64 {
        if self.outer.face(patch) == Face::Overhang { self.walled.openness(toward) } else { 1.0 }
    }

    /// Radiance that arrives at a point of the glass from a direction, which is that of the outside unless stone is before
    /// it.
    pub(crate) fn radiance(
        &self,
        lit: &[Spectrum],
        at: RoomPoint,
        toward: RoomVector,
        outside: impl Fn() -> Spectrum,
    ) -> Spectrum {
        match self.opening.outward(WallPoint::new(at[0], at[1]), toward) {
            Way::Open => outside() * self.walled.openness(toward),
            Way::Patch(patch) => lit[patch] * (FRAC_1_PI * self.openness_to(patch, toward)),
        }
    }

    /// The light of sky, ground and stone outside on a piece, in the mean of the piece, or of what is seen of it from a point
    /// before the glass.
    pub(crate) fn falling(
        &self,
        shape: &PieceShape,
        eye: Option<RoomPoint>,
        lit: &[Spectrum],
        outside: &Outside,
        (edges, facing_deg): (&ViewEdges, f64),
    ) -> Vec<Falling> {
        let step = (shape.area_m2 / 12.0).sqrt();
        let mut samples: Vec<PieceSample> = shape.light.iter().flat_map(|l| piece_samples(l, step)).collect();
        if let Some(eye) = eye {
            let seen = self.walled.seen_from(&samples, eye);
            samples.iter_mut().zip(seen).for_each(|(sample, seen)| sample.area_m2 = seen);
        }
        let area: f64 = samples.iter().map(|s| s.area_m2).sum::<f64>().max(1e-300);
        let mut falling = Vec::new();
        for cell in fine_cells() {
            for (direction, share) in cell.seen(edges) {
                let beyond = outside.radiance(world(direction, facing_deg));
                let mut light = Spectrum::ZERO;
                for sample in &samples {
                    let radiance = self.radiance(lit, sample.point_m, direction, || beyond);
                    light.add_scaled(sample.area_m2 / area, &radiance);
                }
                falling.push((direction, cell.projected_sr * share, light));
            }
        }
        falling
    }

    /// Share of a piece in the sun.
    pub(crate) fn in_sun(&self, shape: &PieceShape, toward: RoomVector) -> f64 {
        let Some(beam) = self.opening.beam(toward) else { return 0.0 };
        let whole: f64 = shape.light.iter().map(|l| signed_area(l).abs()).sum();
        let lit: f64 = shape.light.iter().flat_map(|l| beam.lit(l)).map(|r| signed_area(&r).abs()).sum();
        lit / whole.max(1e-300)
    }

    /// What each patch of the inner reveal sends, from the light that the pieces pass and scatter.
    pub(crate) fn inner_exitance(
        &self,
        window: usize,
        (wall, glazing): (&WindowWall, &Glazing),
        (outside, edges, sun): (&Outside, &ViewEdges, &Sun),
        (outer, scattered, lobes): (&[Spectrum], &[[Spectrum; 2]], &PieceLobes),
    ) -> Vec<Spectrum> {
        let mut received = vec![Spectrum::ZERO; self.inner.len()];
        if self.inner.is_empty() {
            return received;
        }
        let step = (self.walled.wall.outline.area_m2() / SAMPLES).sqrt();
        let cells = fine_cells();
        let beyond: Vec<Spectrum> = cells
            .iter()
            .map(|cell| {
                let seen = cell.seen(edges).into_iter();
                seen.map(|(d, share)| outside.radiance(world(d, wall.facing_deg)) * share).sum()
            })
            .collect();
        let mut number = 0;
        let sunlit = if sun.shines { self.opening.beam(sun.toward) } else { None };
        for (p, shape) in wall.pieces.iter().enumerate().filter(|(_, shape)| shape.window == window) {
            let pane = &glazing.panes[glazing.of_piece[p]];
            let [sky, glow] = scattered[p];
            let even = (sky + glow) * FRAC_1_PI;
            for sample in shape.light.iter().flat_map(|l| piece_samples(l, step)) {
                let at = WallPoint::new(sample.point_m[0], sample.point_m[1]);
                number += 1;
                for (k, (cell, light)) in cells.iter().zip(&beyond).enumerate() {
                    // Samples beside one another look to different places in a cell.
                    let (direction, _) = cell.spread_direction(number + 5 * k);
                    let Way::Patch(patch) = self.opening.inward(at, -direction) else { continue };
                    let [past, one_side] = wall.past_leads(p, direction);
                    let radiance = self.radiance(outer, sample.point_m, direction, || *light)
                        * (pane.optics.regular(-direction[2]) * past)
                        + lobes[p].as_ref().map_or(Spectrum::ZERO, |lobe| lobe.whole(direction)) * one_side
                        + even * one_side;
                    let flux = sample.area_m2 * cell.projected_sr;
                    received[patch].add_scaled(flux / self.inner.area_m2(patch), &radiance);
                }
            }
            if let Some(beam) = &sunlit {
                let cosine = -sun.toward[2];
                let [past, _] = wall.past_leads(p, sun.toward);
                let across = pane.optics.regular(cosine)
                    * sun.beam
                    * (past * cosine * self.walled.openness(sun.toward));
                for lit in shape.light.iter().flat_map(|l| beam.lit(l)) {
                    for (patch, ring) in beam.inside(&lit).patches {
                        received[patch]
                            .add_scaled(signed_area(&ring).abs() / self.inner.area_m2(patch), &across);
                    }
                }
            }
        }
        self.inner.exitance(&received, |face| self.walled.inner_reflectance(face))
    }

    /// The patches of the inner reveal as receivers in the room see them.
    pub(crate) fn inner_forms(&self, receivers: &[Receiver; RECEIVERS]) -> Vec<[f64; RECEIVERS]> {
        let eye = self.walled.before_glass(receivers[0].point_m);
        inner_forms(&self.opening, self.inner.len(), eye, receivers)
    }

    /// Adds the light of the inner reveal to the fine patches of the room that it reaches.
    pub(crate) fn land(&self, mesh: &RoomMesh, inner: &[Spectrum], landed: &mut [Spectrum]) {
        for (patch, sent) in inner.iter().enumerate() {
            for ray in self.inner.leaving(patch) {
                let from = self.walled.in_room(ray.from);
                let Some((surface, point)) = mesh.room.hit(from, ray.along) else { continue };
                if surface == crate::box_room::Surface::WindowWall {
                    continue;
                }
                let fine = mesh.fine_at(surface, point);
                let flux = ray.share * self.inner.area_m2(patch);
                landed[fine].add_scaled(flux / mesh.fine[fine].area, sent);
            }
        }
    }
}
