//! Pieces from outside to inside.

use scene::{LayerAt, Resolved, deposits_of, layers};
use spectra::Spectrum;
use viewing::{SwatchLight, TransmittedColour};

use crate::contract::Section;
use crate::glasses::total_transmittance;
pub(crate) use crate::glasses::{glasses, glasses_at};
use crate::json::Json;
use crate::layers::{SectionPiece, drawn_share, layer_rows};

/// The section of pieces: their layers from outside to inside, each with its own colour. The last piece names it.
/// `None` if a piece does not exist or none is requested.
pub(crate) fn section(
    resolved: &Resolved,
    light: &SwatchLight,
    window: &str,
    pieces: &[u32],
) -> Option<Json<Section>> {
    let window = resolved.windows.iter().find(|w| w.id == window)?;
    let in_document = resolved.scene.windows.iter().find(|w| w.id == window.id)?;
    let of: Vec<SectionPiece<'_>> = pieces
        .iter()
        .map(|id| {
            let index = window.pieces.iter().position(|p| p.id == *id)?;
            let glazed = &window.pieces[index];
            let makeup = &in_document.pieces.get(glazed.entry)?.makeup;
            let layers: Vec<LayerAt> = layers(&resolved.scene, makeup);
            let shape = &window.panel.pieces[index];
            let deposits = deposits_of(in_document, makeup);
            Some(SectionPiece { makeup, glazed: &glazed.makeup, shape, deposits, layers })
        })
        .collect::<Option<_>>()?;
    let (primary, id) = (of.last()?, *pieces.last()?);
    let through: Vec<Spectrum> = of.iter().map(|of| total_transmittance(of.glazed)).collect();
    let shares: Vec<f64> = through.iter().map(|t| light.luminous_transmittance(t)).collect();
    let area: f64 = of.iter().map(|of| of.shape.light_area_mm2).sum();
    let weighted: f64 = of.iter().zip(&shares).map(|(of, share)| of.shape.light_area_mm2 * share).sum();
    let size = |axis: usize| {
        let along = primary.shape.cut.iter().flat_map(|p| p.outer.iter().map(move |point| point[axis]));
        let (least, most) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(v), m.max(v)));
        if most > least { most - least } else { 0.0 }
    };
    let plates = |of: &SectionPiece<'_>| of.makeup.plates.len();
    Some(Json(Section {
        piece: id,
        pieces: pieces.to_vec(),
        title: primary.glazed.plates.last().map(|plate| plate.glass.name.clone()).unwrap_or_default(),
        light_area_mm2: area,
        cut_size_mm: [size(0), size(1)],
        neighbours: primary.shape.neighbours.iter().map(|n| window.pieces[n.piece].id).collect(),
        makeup: primary.makeup.clone(),
        drawn_share: drawn_share(primary),
        deposits: in_document.deposits.clone(),
        layers: layer_rows(resolved, light, &of),
        gap: agreed(of.iter().filter(|of| plates(of) > 1).map(|of| of.makeup.gap)),
        plates: agreed(of.iter().map(plates)),
        most_plates: of.iter().map(plates).max().unwrap_or_default(),
        swatch: light.css(through.last()?),
        colour: agreed(through.iter()).and_then(|_| {
            let optics = primary.glazed.optics(0.0);
            TransmittedColour::of(&optics.regular_transmittance, &optics.diffuse_transmittance)
        }),
        transmittance_y: if area > 0.0 { weighted / area } else { 0.0 },
        transmittance_range: [
            shares.iter().copied().fold(1.0, f64::min),
            shares.iter().copied().fold(0.0, f64::max),
        ],
    }))
}

/// The value shared by all; `None` if they differ or there is none.
fn agreed<T: PartialEq>(mut values: impl Iterator<Item = T>) -> Option<T> {
    let first = values.next()?;
    values.all(|other| other == first).then_some(first)
}
