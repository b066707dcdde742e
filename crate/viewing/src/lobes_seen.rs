//! What forward lobes send toward a place, and into the room around it.

use spectra::Spectrum;

use crate::beam::Beam;
use crate::bell::Bell;
use crate::glazing::Pane;
use crate::lobes::{Bands, Light, LobeOn, LobesNow, at, entering};
use crate::outdoors::OutsideCell;
use crate::prepared::{COLUMNS, PieceView, RECEIVERS, RoomCell, ViewCell};
use crate::sums::add_product;

/// Variance of a bell above which few of a cell's directions stand for it: a half width of 10°.
const WIDE: f64 = 0.02;
const FEW: usize = 4;
/// A bell's part in a direction that is left out, per sr; at its middle it is 1 to some hundreds.
const FAINTEST: f64 = 1e-5;

/// What a piece sends toward a place by its lobe.
#[derive(Default)]
pub(crate) struct LobeSeen {
    /// At each receiver: by sky and ground, by the sun.
    pub(crate) received: [[Spectrum; 2]; RECEIVERS],
    /// Radiance · solid angle, by sky and ground, by the sun.
    pub(crate) seen: [Spectrum; 2],
}

/// What stone does to the lobe of a piece.
pub(crate) struct Shading {
    /// Factors of the light of sky and ground for each entry of the piece.
    pub(crate) sky: Vec<f64>,
    /// The sun's bell over what of the piece is lit and seen: by form factor to each receiver, by solid angle.
    pub(crate) sun: [f64; RECEIVERS + 1],
}

impl LobesNow<'_> {
    /// What a piece sends toward the place.
    pub(crate) fn seen(
        &self,
        on: &LobeOn,
        pane: &Pane,
        piece: &PieceView,
        view: &[ViewCell],
        shading: Option<&Shading>,
    ) -> LobeSeen {
        let mut out = LobeSeen::default();
        let mut sky = [Bands::NONE; RECEIVERS + 1];
        let mut sun = [0.0; RECEIVERS + 1];
        let mut cosine = 0.0;
        for (e, entry) in piece.entries.iter().enumerate() {
            let direction = view[entry.cell].direction;
            let toward = on.bell.map_or(0.0, |bell| bell.toward(direction));
            cosine += entry.solid_angle * at(&self.lobes.widths[on.width].incidence, direction);
            let shaded = shading.map_or(1.0, |shading| shading.sky[e]);
            let radiance = self.blurred(on.width, direction);
            for (k, weight) in [entry.form[0], entry.form[1], entry.solid_angle].into_iter().enumerate() {
                sky[k].add(weight * shaded, &radiance);
                sun[k] += weight * toward;
            }
        }
        if let Some(shading) = shading {
            sun = shading.sun;
        }
        let solid: f64 = piece.entries.iter().map(|e| e.solid_angle).sum();
        let through = pane.forward_transmittance(cosine / solid.max(1e-300)) * on.scale;
        for r in 0..RECEIVERS {
            out.received[r] = [through * self.by_wavelength(&sky[r]), on.sun * sun[r]];
        }
        out.seen = [through * self.by_wavelength(&sky[RECEIVERS]), on.sun * sun[RECEIVERS]];
        out
    }

    /// Adds what the room makes of all lobes to the sums by sky and ground and by the sun, each times a factor.
    pub(crate) fn add_room(
        &self,
        room: &[RoomCell],
        beam: Option<&Beam>,
        [of_sky, of_sun]: [f64; 2],
        sums: [&mut [Spectrum; COLUMNS]; 2],
    ) {
        let [by_sky, by_sun] = sums;
        for (k, width) in self.lobes.widths.iter().enumerate() {
            let sun = beam
                .map_or(Spectrum::ZERO, |beam| beam.normal * (of_sun * beam.cosine * entering(beam.cosine)));
            // The bell, mean over each of the room's directions; together, what it keeps within the hemisphere.
            let mut toward = Vec::new();
            if let Some((bell, kept)) = self.suns[k] {
                let few = if bell.variance > WIDE { FEW } else { OutsideCell::DIRECTIONS };
                let mean = |row: &RoomCell| {
                    (0..few).map(|d| bell.toward(row.cell.spread_direction(d).0)).sum::<f64>()
                };
                toward.extend(room.iter().map(mean));
                let whole: f64 = room.iter().zip(&toward).map(|(row, t)| row.cell.projected_sr * t).sum();
                toward.iter_mut().for_each(|t| *t *= if whole > 0.0 { kept / whole } else { 0.0 });
            }
            let mut of_bell = [Spectrum::ZERO; COLUMNS];
            for (r, (row, rows)) in room.iter().zip(&width.rows).enumerate() {
                let sky =
                    self.by_wavelength(&self.blurred(k, row.cell.direction).map(|light| of_sky * light));
                for (h, by_sky) in rows.iter().zip(by_sky.iter_mut()) {
                    add_product(by_sky, h, &sky);
                }
                if let Some(toward) = toward.get(r).filter(|toward| **toward > FAINTEST) {
                    for (h, sum) in rows.iter().zip(&mut of_bell) {
                        sum.add_scaled(*toward, h);
                    }
                }
            }
            for (sum, h) in by_sun.iter_mut().zip(&of_bell) {
                add_product(sum, h, &sun);
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
