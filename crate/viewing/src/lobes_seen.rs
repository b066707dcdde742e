//! What forward lobes send toward a place, and into the room around it.

use spectra::Spectrum;

use crate::beam::Beam;
use crate::glazing::Pane;
use crate::lobes::{Bell, LobeOn, LobesNow, STEPS, at, entering};
use crate::outdoors::OutsideCell;
use crate::prepared::{COLUMNS, PieceView, RECEIVERS, RoomCell, ViewCell};
use crate::sums::add_product;

/// What a piece sends toward a place by its lobe.
#[derive(Default)]
pub(crate) struct LobeSeen {
    /// At each receiver: by sky and ground, by the sun.
    pub(crate) received: [[Spectrum; 2]; RECEIVERS],
    /// Radiance · solid angle, by sky and ground, by the sun.
    pub(crate) seen: [Spectrum; 2],
}

impl LobesNow<'_> {
    /// What a piece sends toward the place.
    pub(crate) fn seen(&self, on: &LobeOn, pane: &Pane, piece: &PieceView, view: &[ViewCell]) -> LobeSeen {
        let mut out = LobeSeen::default();
        let mut sky = [Spectrum::ZERO; RECEIVERS + 1];
        let mut sun = [0.0; RECEIVERS + 1];
        let mut cosine = 0.0;
        for entry in &piece.entries {
            let direction = view[entry.cell].direction;
            let toward = on.bell.map_or(0.0, |bell| bell.toward(direction));
            cosine += entry.solid_angle * at(&self.lobes.widths[on.width].incidence, direction);
            let radiance = at(&self.blurred[on.width], direction);
            for (k, weight) in [entry.form[0], entry.form[1], entry.solid_angle].into_iter().enumerate() {
                sky[k].add_scaled(weight, &radiance);
                sun[k] += weight * toward;
            }
        }
        let solid: f64 = piece.entries.iter().map(|e| e.solid_angle).sum();
        let through = pane.forward_transmittance(cosine / solid.max(1e-300)) * on.scale;
        for r in 0..RECEIVERS {
            out.received[r] = [through * sky[r], on.sun * sun[r]];
        }
        out.seen = [through * sky[RECEIVERS], on.sun * sun[RECEIVERS]];
        out
    }

    /// Adds what the room makes of all lobes to the sums by sky and ground and by the sun.
    pub(crate) fn add_room(
        &self,
        room: &[RoomCell],
        beam: Option<&Beam>,
        sums: [&mut [Spectrum; COLUMNS]; 2],
    ) {
        let [by_sky, by_sun] = sums;
        for (k, width) in self.lobes.widths.iter().enumerate() {
            let bell = beam.map(|beam| Bell {
                middle: [beam.toward[0], beam.toward[1]],
                variance: 2f64.powf(2.0 * f64::from(width.step) / STEPS),
            });
            let sun = beam.map_or(Spectrum::ZERO, |beam| beam.normal * (beam.cosine * entering(beam.cosine)));
            // The bell, mean over each of the room's directions; together, what it keeps within the hemisphere.
            let mut toward: Vec<f64> = room
                .iter()
                .map(|row| {
                    let directions = 0..OutsideCell::DIRECTIONS;
                    bell.map_or(0.0, |bell| {
                        directions.map(|d| bell.toward(row.cell.spread_direction(d).0)).sum::<f64>()
                    })
                })
                .collect();
            let whole: f64 = room.iter().zip(&toward).map(|(row, t)| row.cell.projected_sr * t).sum();
            let scale = if whole > 0.0 { bell.map_or(0.0, |bell| bell.kept()) / whole } else { 0.0 };
            toward.iter_mut().for_each(|t| *t *= scale);
            for ((row, rows), toward) in room.iter().zip(&width.rows).zip(toward) {
                let sky = at(&self.blurred[k], row.cell.direction);
                for ((h, by_sky), by_sun) in rows.iter().zip(by_sky.iter_mut()).zip(by_sun.iter_mut()) {
                    add_product(by_sky, h, &sky);
                    if toward > 0.0 {
                        add_product(by_sun, h, &(sun * toward));
                    }
                }
            }
        }
    }
}

/// The spot that the sun makes on a scattering piece: its radiance in every part of the view, less the mean over the piece.
pub(crate) fn sun_spot(
    pane: &Pane,
    piece: &PieceView,
    view: &[ViewCell],
    beam: &Beam,
) -> Option<Vec<Spectrum>> {
    let bell = Bell::new(pane.forward()?, beam);
    let light = pane.optics.diffuse(beam.cosine) * beam.normal * (pane.lobe.share * beam.cosine);
    let toward: Vec<f64> = piece.entries.iter().map(|e| bell.toward(view[e.cell].direction)).collect();
    let solid: f64 = piece.entries.iter().map(|e| e.solid_angle).sum();
    let mean =
        piece.entries.iter().zip(&toward).map(|(e, t)| e.solid_angle * t).sum::<f64>() / solid.max(1e-300);
    Some(toward.into_iter().map(|t| light * (t - mean)).collect())
}
