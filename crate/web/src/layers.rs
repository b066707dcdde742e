//! The layers of a section, each with what its controls show.

use glass::{Glass, Makeup, Paint, Provenance};
use scene::{
    Deposit, DepositKind, Deposits, EnamelColour, Face, Gap, Layer as LayerKey, LayerAt, PaintKind, Resolved,
    StainTone, can_move,
};
use spectra::Spectrum;
use viewing::SwatchLight;

use crate::contract::{Agreed, Layer, LayerKind, LayerValues};
use crate::glasses::kind_in_words;
use crate::scattering::{self, OfPiece};

/// More bands than this in one layer could not be told apart.
const MOST_SWATCHES: usize = 12;

/// One of the pieces of a section.
pub(crate) struct SectionPiece<'a> {
    /// Its make-up in the document.
    pub(crate) makeup: &'a scene::Makeup,
    /// Its make-up in the physics; plates in the same order.
    pub(crate) glazed: &'a Makeup,
    pub(crate) shape: &'a panel::Piece,
    /// What lies on its faces, its own or its window's.
    pub(crate) deposits: Deposits,
    pub(crate) layers: Vec<LayerAt>,
}

/// Pieces that have a layer, each with the layer's place in it.
type Having<'a> = [(&'a SectionPiece<'a>, LayerAt)];

/// Every layer that any of the pieces has, from outside to inside.
pub(crate) fn layer_rows(resolved: &Resolved, light: &SwatchLight, of: &[SectionPiece<'_>]) -> Vec<Layer> {
    let mut rows = Vec::new();
    let Some(protective) = of.first().map(|of| &of.glazed.protective) else { return rows };
    if let Some(pane) = protective {
        let swatch = light.css(&(pane.glass.internal(pane.thickness_mm) * (1.0 - pane.dirt.loss)));
        rows.push(Layer {
            thickness_mm: Some(pane.thickness_mm),
            swatch: Some(swatch.clone()),
            swatches: vec![swatch],
            estimate: (pane.dirt.loss > 0.0).then_some("dirt estimated"),
            values: LayerValues {
                thickness_mm: Some(Agreed(Some(pane.thickness_mm))),
                dirt: Some(pane.dirt.loss),
                ..LayerValues::default()
            },
            relative_height: 2.0,
            ..plain(LayerKey::Protective, LayerKind::Protective, "Protective glazing", of.len())
        });
        rows.push(air(LayerKey::OuterAir, of.len()));
    }
    rows.extend(deposit_row(light, Face::Outside, of));
    for key in order(of) {
        let at = |of: &SectionPiece<'_>| of.layers.iter().find(|at| at.layer == key).copied();
        let having: Vec<(&SectionPiece<'_>, LayerAt)> =
            of.iter().filter_map(|of| Some((of, at(of)?))).collect();
        rows.extend(row(resolved, key, &having).map(|row| {
            let swatches = swatches(light, &having);
            let can_move = can_move_any(resolved, key, &having);
            Layer { swatch: swatches.last().cloned(), swatches, can_move, ..row }
        }));
    }
    rows.extend(deposit_row(light, Face::Inside, of));
    rows
}

/// Dirt or corrosion on a face of the pieces; `None` if none of them has any.
fn deposit_row(light: &SwatchLight, face: Face, of: &[SectionPiece<'_>]) -> Option<Layer> {
    let found: Vec<&Deposit> = of.iter().filter_map(|of| of.deposits.on(face)).collect();
    let last = *found.last()?;
    let same = found.len() == of.len() && found.iter().all(|deposit| *deposit == last);
    let scattered: Vec<OfPiece<'_>> = of
        .iter()
        .filter_map(|of| {
            let (deposit, on) = (of.deposits.on(face)?, &of.glazed.deposits);
            let dirt = if face == Face::Outside { on.outside } else { on.inside };
            let stated = (deposit.scatters.is_some(), deposit.lobe.as_deref());
            Some(OfPiece { scatters: dirt.diffuse_share, lobe: dirt.lobe, stated })
        })
        .collect();
    let name = match last.kind {
        DepositKind::Dirt => "Dirt",
        DepositKind::Corrosion => "Corrosion",
    };
    let swatch = light.css(&(Spectrum::ONE * (1.0 - last.loss)));
    Some(Layer {
        detail: if last.loss > 0.0 { "" } else { "clean" },
        swatch: Some(swatch.clone()),
        swatches: vec![swatch],
        estimate: last.source.is_empty().then_some("assumption"),
        values: LayerValues {
            deposit: Some(Agreed(same.then(|| last.clone()))),
            deposit_kind: Some(one(&found, |deposit| deposit.kind)),
            loss: Some(one(&found, |deposit| deposit.loss)),
            scattering: scattering::agreed(&scattered),
            source: Some(one(&found, |deposit| deposit.source.clone())),
            face: Some(Agreed(Some(face))),
            ..LayerValues::default()
        },
        relative_height: 0.3,
        ..plain(LayerKey::Deposit { face }, LayerKind::Deposit, name, found.len())
    })
}

/// A value that all deposits share.
fn one<T: PartialEq>(found: &[&Deposit], value: impl Fn(&Deposit) -> T) -> Agreed<T> {
    let mut values = found.iter().map(|deposit| value(deposit));
    let first = values.next();
    Agreed(first.filter(|first| values.all(|other| other == *first)))
}

/// Every layer of any of the pieces, outside to inside: those of the last piece, with the others inserted at their
/// places.
fn order(of: &[SectionPiece<'_>]) -> Vec<LayerKey> {
    let mut all: Vec<LayerKey> = Vec::new();
    for of in of.iter().rev() {
        let mut place = 0;
        for at in &of.layers {
            match all.iter().position(|layer| *layer == at.layer) {
                Some(found) => place = found + 1,
                None => {
                    // A flash belongs to the glass: paint lies on it, not beneath.
                    let beneath = matches!(all.get(place), Some(LayerKey::Flash { plate }) if on_plate(at.layer) == Some(*plate));
                    place += usize::from(beneath && matches!(at.layer, LayerKey::Paint { .. }));
                    all.insert(place, at.layer);
                    place += 1;
                }
            }
        }
    }
    all
}

/// The plate that a layer belongs to, from the inside.
fn on_plate(layer: LayerKey) -> Option<usize> {
    match layer {
        LayerKey::Protective | LayerKey::OuterAir | LayerKey::Deposit { .. } => None,
        LayerKey::Gap { plate }
        | LayerKey::Plate { plate }
        | LayerKey::Flash { plate }
        | LayerKey::Paint { plate, .. } => Some(plate),
    }
}

/// A layer with only a name.
fn plain(key: LayerKey, kind: LayerKind, name: &str, pieces: usize) -> Layer {
    Layer {
        key,
        kind,
        name: name.to_owned(),
        detail: "",
        thickness_mm: None,
        swatch: None,
        swatches: Vec::new(),
        estimate: None,
        values: LayerValues::default(),
        pieces,
        can_move: [false, false],
        sheet_range_mm: None,
        relative_height: 0.6,
    }
}

fn air(key: LayerKey, pieces: usize) -> Layer {
    plain(key, LayerKind::Air, "air", pieces)
}

/// One layer of its pieces, without colours; the last of the pieces names it.
fn row(resolved: &Resolved, key: LayerKey, having: &Having<'_>) -> Option<Layer> {
    let (primary, at) = having.last()?;
    let plate = primary.glazed.plates.get(at.plate)?;
    let of_plate = |of: &SectionPiece<'_>, at: LayerAt| of.makeup.plates.get(at.plate).cloned();
    let pieces = having.len();
    Some(match key {
        LayerKey::Protective | LayerKey::OuterAir | LayerKey::Deposit { .. } => return None,
        LayerKey::Gap { .. } => {
            let gap = primary.makeup.gap;
            let values = LayerValues { gap: Some(gap), ..LayerValues::default() };
            match gap {
                Gap::Air => Layer { values, ..air(key, pieces) },
                Gap::Contact => Layer {
                    detail: "cemented or fused",
                    relative_height: 0.2,
                    values,
                    ..plain(key, LayerKind::Contact, "In contact", pieces)
                },
            }
        }
        LayerKey::Plate { .. } => {
            let glass = agreed(having, |of, at| of_plate(of, at).map(|plate| plate.glass));
            let thickness_mm = agreed(having, |of, at| of_plate(of, at).map(|plate| plate.thickness_mm));
            let sheet = agreed(having, |of, at| of_plate(of, at).map(|plate| plate.sheet));
            let one = glass.0.is_some();
            let scattered: Option<Vec<OfPiece<'_>>> = having
                .iter()
                .map(|(of, at)| {
                    let id = &of.makeup.plates.get(at.plate)?.glass;
                    let own = scene::scattering_of_own(&resolved.scene, id)?;
                    let diffuse = of.glazed.plates.get(at.plate)?.glass.diffuse;
                    let stated = (true, own.lobe.as_deref());
                    Some(OfPiece { scatters: diffuse.share, lobe: diffuse.lobe, stated })
                })
                .collect();
            Layer {
                detail: if one { kind_in_words(&plate.glass) } else { "" },
                thickness_mm: thickness_mm.0,
                estimate: if one { estimate(&plate.glass) } else { None },
                sheet_range_mm: Some([plate.glass.thickness.min_mm, plate.glass.thickness.max_mm]),
                relative_height: plate.thickness_mm,
                values: LayerValues {
                    glass: Some(glass),
                    thickness_mm: Some(thickness_mm),
                    sheet: Some(sheet),
                    scattering: scattered.and_then(|scattered| scattering::agreed(&scattered)),
                    ..LayerValues::default()
                },
                ..plain(
                    key,
                    LayerKind::Glass,
                    if one { &plate.glass.name } else { "Different glasses" },
                    pieces,
                )
            }
        }
        LayerKey::Flash { .. } => Layer {
            thickness_mm: plate.glass.flash.map(|flash| flash.thickness_mm * plate.flash_left),
            estimate: estimate(&plate.glass),
            relative_height: 0.8,
            values: LayerValues {
                flash_left: Some(agreed(having, |of, at| of_plate(of, at).map(|plate| plate.flash_left))),
                flash_face: Some(agreed(having, |of, at| of_plate(of, at).map(|plate| plate.flash_face))),
                ..LayerValues::default()
            },
            ..plain(key, LayerKind::Flash, "Flash", pieces)
        },
        LayerKey::Paint { .. } => paint_row(key, having)?,
    })
}

/// The value that all pieces that have a layer agree on.
fn agreed<T: PartialEq>(
    having: &Having<'_>,
    value: impl Fn(&SectionPiece<'_>, LayerAt) -> Option<T>,
) -> Agreed<T> {
    let mut values = having.iter().map(|(of, at)| value(of, *at));
    let first = values.next().flatten();
    Agreed(first.filter(|first| values.all(|other| other.as_ref() == Some(first))))
}

/// Whether any of the pieces can have the layer moved outward, inward.
fn can_move_any(resolved: &Resolved, layer: LayerKey, having: &Having<'_>) -> [bool; 2] {
    let each = having.iter().map(|(of, _)| can_move(&resolved.scene, of.makeup, layer));
    each.fold([false, false], |any, can| [any[0] || can[0], any[1] || can[1]])
}

fn paint_row(key: LayerKey, having: &Having<'_>) -> Option<Layer> {
    let (primary, at) = having.last()?;
    let paint = in_document(primary, *at)?;
    let kind = agreed(having, |of, at| in_document(of, at).map(|paint| paint.kind));
    let one = kind.0.is_some();
    let scattered: Vec<OfPiece<'_>> = having
        .iter()
        .filter_map(|(of, at)| {
            let (paint, glazed) = (in_document(of, *at)?, glazed_paint(of, *at)?);
            let stated = (paint.scatters.is_some(), paint.lobe.as_deref());
            Some(OfPiece { scatters: glazed.diffuse_share, lobe: glazed.lobe, stated })
        })
        .collect();
    let values = LayerValues {
        kind: Some(kind),
        scattering: scattering::agreed(&scattered),
        density: Some(agreed(having, |of, at| in_document(of, at).map(|paint| paint.density))),
        // For strokes, the share that they cover.
        coverage: Some(agreed(having, |of, at| {
            in_document(of, at)?.coverage.or_else(|| glazed_paint(of, at).map(|paint| paint.coverage))
        })),
        pigment: Some(agreed(having, |of, at| in_document(of, at).map(|paint| paint.pigment))),
        firing: Some(agreed(having, |of, at| in_document(of, at).map(|paint| paint.firing))),
        face: Some(agreed(having, |of, at| in_document(of, at).map(|paint| paint.face))),
        plate: Some(agreed(having, |of, at| {
            of.makeup.plates.len().checked_sub(in_document(of, at)?.plate + 1)
        })),
        ..LayerValues::default()
    };
    Some(Layer {
        estimate: Some("estimated"),
        relative_height: 0.7,
        values,
        ..plain(key, LayerKind::Paint, &paint_in_words(paint.kind, one), having.len())
    })
}

fn in_document<'a>(of: &'a SectionPiece<'_>, at: LayerAt) -> Option<&'a scene::Paint> {
    of.makeup.paint.get(at.paint?)
}

/// Name of a kind of paint; `one` if all pieces have the same tone or colour of it.
fn paint_in_words(kind: PaintKind, one: bool) -> String {
    match kind {
        PaintKind::Trace => "Trace line".to_owned(),
        PaintKind::Matting => "Matting".to_owned(),
        PaintKind::Enamel(colour) if one => format!("{} enamel", enamel_in_words(colour)),
        PaintKind::Enamel(_) => "Enamel".to_owned(),
        PaintKind::Stain(tone) if one => format!("Silver stain, {}", stain_in_words(tone)),
        PaintKind::Stain(_) => "Silver stain".to_owned(),
    }
}

fn enamel_in_words(colour: EnamelColour) -> &'static str {
    match colour {
        EnamelColour::Blue => "Blue",
        EnamelColour::Turquoise => "Turquoise",
        EnamelColour::Green => "Green",
        EnamelColour::Purple => "Purple",
        EnamelColour::Rose => "Rose",
        EnamelColour::Yellow => "Yellow",
    }
}

fn stain_in_words(tone: StainTone) -> &'static str {
    match tone {
        StainTone::Lemon => "lemon",
        StainTone::Gold => "gold",
        StainTone::Amber => "amber",
    }
}

/// The colours of a layer in its pieces, each once, that of the naming piece last.
fn swatches(light: &SwatchLight, having: &Having<'_>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for (of, at) in having.iter().rev() {
        let Some(through) = through(of, *at) else { continue };
        let css = light.css(&through);
        if !all.contains(&css) && all.len() < MOST_SWATCHES {
            all.push(css);
        }
    }
    all.reverse();
    all
}

/// The transmittance of one layer alone; `None` for air.
fn through(of: &SectionPiece<'_>, at: LayerAt) -> Option<Spectrum> {
    let plate = of.glazed.plates.get(at.plate)?;
    match at.layer {
        LayerKey::Protective | LayerKey::OuterAir | LayerKey::Deposit { .. } | LayerKey::Gap { .. } => None,
        LayerKey::Plate { .. } => {
            Some(glass::Glass { flash: None, ..(*plate.glass).clone() }.internal(plate.thickness_mm))
        }
        LayerKey::Flash { .. } => {
            plate.glass.flash.map(|flash| flash.absorbance.internal(flash.thickness_mm * plate.flash_left))
        }
        LayerKey::Paint { .. } => {
            // Where there is paint; its share of the piece is shown by its drawn width.
            let paint = glazed_paint(of, at)?;
            Some(paint.shape().map(|shape| glass::murray_davies(paint.density * shape, 1.0)))
        }
    }
}

/// For each paint in the document's order, the share of the piece that its strokes cover; `None` without strokes.
pub(crate) fn drawn_share(of: &SectionPiece<'_>) -> Vec<Option<f64>> {
    let mut shares = vec![None; of.makeup.paint.len()];
    for at in &of.layers {
        let Some(index) = at.paint.filter(|&index| !of.makeup.paint[index].strokes.is_empty()) else {
            continue;
        };
        shares[index] = glazed_paint(of, *at).map(|paint| paint.coverage);
    }
    shares
}

/// The paint in the physics, where the list is in firing order.
fn glazed_paint<'a>(of: &'a SectionPiece<'_>, at: LayerAt) -> Option<&'a Paint> {
    let index = at.paint?;
    let firing = of.makeup.paint.get(index)?.firing;
    let before = of.makeup.paint.iter().enumerate().filter(|(i, p)| (p.firing, *i) < (firing, index)).count();
    of.glazed.paints.get(before)
}

/// The word that marks a spectrum that was not measured.
fn estimate(glass: &Glass) -> Option<&'static str> {
    (glass.provenance != Provenance::Measured).then(|| glass.provenance.name())
}
