//! Pieces from outside to inside, and the glasses they could be made of.

use std::sync::Arc;

use glass::{Family, Glass, Kind, Makeup, Paint, Provenance};
use scene::{EnamelColour, Layer, LayerAt, PaintKind, Resolved, StainTone, can_move, layers};
use serde_json::{Value, json};
use spectra::Spectrum;
use viewing::SwatchLight;

/// More bands than this in one layer could not be told apart.
const MOST_SWATCHES: usize = 12;

/// One of the pieces that a section is of.
struct Of<'a> {
    /// As the document has it.
    makeup: &'a scene::Makeup,
    /// As the physics has it; plates in the same order.
    glazed: &'a Makeup,
    shape: &'a panel::Piece,
    layers: Vec<LayerAt>,
}

/// The section of pieces: their layers from outside to inside, each with its own colour. The last piece is the one it
/// is named by. What is not the same in all of them is `null` and listed as differing. `None` where a piece is not
/// there, or none is asked for.
pub(crate) fn section(
    resolved: &Resolved,
    light: &SwatchLight,
    window: &str,
    pieces: &[u32],
) -> Option<Value> {
    let window = resolved.windows.iter().find(|w| w.id == window)?;
    let in_document = resolved.scene.windows.iter().find(|w| w.id == window.id)?;
    let of: Vec<Of<'_>> = pieces
        .iter()
        .map(|id| {
            let index = window.pieces.iter().position(|p| p.id == *id)?;
            let glazed = &window.pieces[index];
            let makeup = &in_document.pieces.get(glazed.entry)?.makeup;
            let layers = layers(&resolved.scene, makeup);
            Some(Of { makeup, glazed: &glazed.makeup, shape: &window.panel.pieces[index], layers })
        })
        .collect::<Option<_>>()?;
    let (primary, id) = (of.last()?, *pieces.last()?);
    let through: Vec<Spectrum> = of.iter().map(|of| total(of.glazed)).collect();
    let shares: Vec<f64> = through.iter().map(|t| light.luminous_transmittance(t)).collect();
    let area: f64 = of.iter().map(|of| of.shape.light_area_mm2).sum();
    let weighted: f64 = of.iter().zip(&shares).map(|(of, share)| of.shape.light_area_mm2 * share).sum();
    let size = |axis: usize| {
        let along = primary.shape.cut.iter().flat_map(|p| p.outer.iter().map(move |point| point[axis]));
        let (least, most) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(v), m.max(v)));
        if most > least { most - least } else { 0.0 }
    };
    let neighbours: Vec<u32> = primary.shape.neighbours.iter().map(|n| window.pieces[n.piece].id).collect();
    Some(json!({
        "piece": id,
        "pieces": pieces,
        "title": primary.glazed.plates.last().map(|plate| &plate.glass.name),
        "light_area_mm2": area,
        "cut_size_mm": [size(0), size(1)],
        "neighbours": neighbours,
        "makeup": primary.makeup,
        "layers": all_layers(resolved, light, &of),
        "gap": same(&of, |of| (of.makeup.plates.len() > 1).then(|| json!(of.makeup.gap))),
        "plates": same(&of, |of| Some(json!(of.makeup.plates.len()))),
        "most_plates": of.iter().map(|of| of.makeup.plates.len()).max(),
        "swatch": through.last().map(|t| light.css(t)),
        "transmittance_y": if area > 0.0 { weighted / area } else { 0.0 },
        "transmittance_range": [
            shares.iter().copied().fold(1.0, f64::min),
            shares.iter().copied().fold(0.0, f64::max),
        ],
    }))
}

/// What all pieces that have it agree on; `null` where they differ.
fn same<'a>(of: &[Of<'a>], value: impl Fn(&Of<'a>) -> Option<Value>) -> Value {
    let mut values = of.iter().filter_map(value);
    match values.next() {
        Some(first) if values.all(|other| other == first) => first,
        _ => Value::Null,
    }
}

fn all_layers(resolved: &Resolved, light: &SwatchLight, of: &[Of<'_>]) -> Vec<Value> {
    let mut rows = Vec::new();
    let Some(protective) = of.first().map(|of| &of.glazed.protective) else { return rows };
    if let Some(pane) = protective {
        let swatch = light.css(&(pane.glass.internal(pane.thickness_mm) * (1.0 - pane.dirt.loss)));
        rows.push(json!({
            "key": { "layer": "protective" },
            "kind": "protective",
            "name": "Protective glazing",
            "detail": "",
            "thickness_mm": pane.thickness_mm,
            "swatch": swatch,
            "swatches": [swatch],
            "estimate": if pane.dirt.loss > 0.0 { Some("dirt estimated") } else { None },
            "values": { "thickness_mm": pane.thickness_mm, "dirt": pane.dirt.loss },
            "in": of.len(),
            "can_move": [false, false],
            "relative_height": 2.0,
        }));
        rows.push(air(json!({ "layer": "outer_air" }), of.len(), false));
    }
    for layer in order(of) {
        let having: Vec<(&Of<'_>, LayerAt)> =
            of.iter().filter_map(|of| Some((of, *of.layers.iter().find(|at| at.layer == layer)?))).collect();
        rows.extend(row(resolved, light, layer, &having));
    }
    rows
}

/// Every layer that any of the pieces has, outside to inside: those of the last piece, and the others put in where
/// they lie in theirs.
fn order(of: &[Of<'_>]) -> Vec<Layer> {
    let mut all: Vec<Layer> = Vec::new();
    for of in of.iter().rev() {
        let mut place = 0;
        for at in &of.layers {
            match all.iter().position(|layer| *layer == at.layer) {
                Some(found) => place = found + 1,
                None => {
                    // A flash is the glass's own: paint lies on it, not beneath.
                    let beneath = matches!(all.get(place), Some(Layer::Flash { plate }) if *plate == on_plate(at.layer));
                    place += usize::from(beneath && matches!(at.layer, Layer::Paint { .. }));
                    all.insert(place, at.layer);
                    place += 1;
                }
            }
        }
    }
    all
}

fn on_plate(layer: Layer) -> usize {
    match layer {
        Layer::Gap { plate }
        | Layer::Plate { plate }
        | Layer::Flash { plate }
        | Layer::Paint { plate, .. } => plate,
    }
}

/// One layer as its pieces have it; the last of them gives it its name.
fn row(
    resolved: &Resolved,
    light: &SwatchLight,
    layer: Layer,
    having: &[(&Of<'_>, LayerAt)],
) -> Option<Value> {
    let (primary, at) = having.last()?;
    let plate = primary.glazed.plates.get(at.plate)?;
    let of_plate = |of: &Of<'_>, at: LayerAt| of.makeup.plates.get(at.plate).cloned();
    let swatches = swatches(light, having);
    let common = json!({
        "key": layer,
        "swatch": swatches.last(),
        "swatches": swatches,
        "in": having.len(),
        "can_move": can_move_any(resolved, layer, having),
        "plate": at.plate,
        "plate_from_inside": primary.makeup.plates.len() - 1 - at.plate,
    });
    let own = match layer {
        Layer::Gap { .. } => match primary.makeup.gap {
            scene::Gap::Air => air(json!(layer), having.len(), true),
            scene::Gap::Contact => json!({
                "kind": "contact", "name": "In contact", "detail": "cemented or fused", "thickness_mm": null,
                "estimate": null, "relative_height": 0.2, "values": { "gap": primary.makeup.gap },
            }),
        },
        Layer::Plate { .. } => {
            let values = Values::new(having)
                .with("glass", |of, at| of_plate(of, at).map(|p| json!(p.glass)))
                .with("thickness_mm", |of, at| of_plate(of, at).map(|p| json!(p.thickness_mm)))
                .with("sheet", |of, at| of_plate(of, at).map(|p| json!(p.sheet)));
            let glasses = values.of("glass");
            json!({
                "kind": "glass",
                "name": if glasses.is_null() { "Different glasses".to_owned() } else { plate.glass.name.clone() },
                "detail": if glasses.is_null() { "" } else { kind_words(&plate.glass) },
                "thickness_mm": values.of("thickness_mm"),
                "estimate": if glasses.is_null() { None } else { estimate(&plate.glass) },
                "sheet_range_mm": [plate.glass.thickness.min_mm, plate.glass.thickness.max_mm],
                "relative_height": plate.thickness_mm,
                "values": values.0,
            })
        }
        Layer::Flash { .. } => {
            let values = Values::new(having)
                .with("flash_left", |of, at| of_plate(of, at).map(|p| json!(p.flash_left)))
                .with("flash_face", |of, at| of_plate(of, at).map(|p| json!(p.flash_face)));
            json!({
                "kind": "flash",
                "name": "Flash",
                "detail": "",
                "thickness_mm": plate.glass.flash.map(|flash| flash.thickness_mm * plate.flash_left),
                "estimate": estimate(&plate.glass),
                "relative_height": 0.8,
                "values": values.0,
            })
        }
        Layer::Paint { .. } => paint_row(having)?,
    };
    Some(merged(own, common))
}

fn merged(mut own: Value, common: Value) -> Value {
    if let (Some(own), Value::Object(common)) = (own.as_object_mut(), common) {
        own.extend(common);
    }
    own
}

/// Whether any of the pieces can have the layer moved outward, inward.
fn can_move_any(resolved: &Resolved, layer: Layer, having: &[(&Of<'_>, LayerAt)]) -> [bool; 2] {
    let each = having.iter().map(|(of, _)| can_move(&resolved.scene, of.makeup, layer));
    each.fold([false, false], |any, can| [any[0] || can[0], any[1] || can[1]])
}

/// The values that the controls of a layer show: `null` where the pieces differ.
struct Values<'a>(serde_json::Map<String, Value>, &'a [(&'a Of<'a>, LayerAt)]);

impl<'a> Values<'a> {
    fn new(having: &'a [(&'a Of<'a>, LayerAt)]) -> Self {
        Self(serde_json::Map::new(), having)
    }

    fn with(mut self, name: &str, value: impl Fn(&Of<'a>, LayerAt) -> Option<Value>) -> Self {
        let mut values = self.1.iter().map(|(of, at)| value(of, *at));
        let first = values.next().flatten();
        let agreed = first.filter(|first| values.all(|other| other.as_ref() == Some(first)));
        self.0.insert(name.to_owned(), agreed.unwrap_or(Value::Null));
        self
    }

    fn of(&self, name: &str) -> Value {
        self.0.get(name).cloned().unwrap_or(Value::Null)
    }
}

fn air(key: Value, pieces: usize, between_plates: bool) -> Value {
    json!({
        "key": key, "kind": "air", "name": "air", "detail": "", "thickness_mm": null, "swatch": "transparent",
        "swatches": [], "estimate": null, "relative_height": 0.6, "in": pieces, "can_move": [false, false],
        "values": if between_plates { json!({ "gap": "air" }) } else { json!({}) },
    })
}

fn paint_row(having: &[(&Of<'_>, LayerAt)]) -> Option<Value> {
    let paint_of = |of: &Of<'_>, at: LayerAt| of.makeup.paint.get(at.paint?).cloned();
    let (primary, at) = having.last()?;
    let paint = paint_of(primary, *at)?;
    let field = |name: &'static str| {
        move |of: &Of<'_>, at: LayerAt| {
            // With every field written out, also those that a file leaves at what is usual.
            let paint = paint_of(of, at)?;
            Some(match name {
                "kind" => json!(paint.kind),
                "density" => json!(paint.density),
                // The physics lists paints by firing; there strokes have the share that they cover.
                "coverage" => {
                    let order = |k: usize| (of.makeup.paint[k].firing, k);
                    let before = |k: &usize| at.paint.is_some_and(|here| order(*k) < order(here));
                    let rank = (0..of.makeup.paint.len()).filter(before).count();
                    json!(paint.coverage.or(of.glazed.paints.get(rank).map(|p| p.coverage)))
                }
                "pigment" => json!(paint.pigment),
                "firing" => json!(paint.firing),
                "face" => json!(paint.face),
                _ => json!(of.makeup.plates.len().checked_sub(paint.plate + 1)?),
            })
        }
    };
    let names = ["kind", "density", "coverage", "pigment", "firing", "face", "plate"];
    let values = names.iter().fold(Values::new(having), |values, name| values.with(name, field(name)));
    Some(json!({
        "kind": "paint",
        "name": paint_words(paint.kind, &values.of("kind")),
        "detail": "",
        "thickness_mm": null,
        "estimate": "estimated",
        "paint": at.paint,
        "relative_height": 0.7,
        "values": values.0,
    }))
}

fn paint_words(kind: PaintKind, agreed: &Value) -> String {
    let one = !agreed.is_null();
    match kind {
        PaintKind::Trace => "Trace line".to_owned(),
        PaintKind::Matting => "Matting".to_owned(),
        PaintKind::Enamel(colour) if one => format!("{} enamel", enamel_words(colour)),
        PaintKind::Enamel(_) => "Enamel".to_owned(),
        PaintKind::Stain(tone) if one => format!("Silver stain, {}", stain_words(tone)),
        PaintKind::Stain(_) => "Silver stain".to_owned(),
    }
}

fn enamel_words(colour: EnamelColour) -> &'static str {
    match colour {
        EnamelColour::Blue => "Blue",
        EnamelColour::Turquoise => "Turquoise",
        EnamelColour::Green => "Green",
        EnamelColour::Purple => "Purple",
        EnamelColour::Rose => "Rose",
        EnamelColour::Yellow => "Yellow",
    }
}

fn stain_words(tone: StainTone) -> &'static str {
    match tone {
        StainTone::Lemon => "lemon",
        StainTone::Gold => "gold",
        StainTone::Amber => "amber",
    }
}

/// The colours that a layer has in its pieces, each once, the named piece's last.
fn swatches(light: &SwatchLight, having: &[(&Of<'_>, LayerAt)]) -> Vec<String> {
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

/// What one layer alone lets through; `None` of air.
fn through(of: &Of<'_>, at: LayerAt) -> Option<Spectrum> {
    let plate = of.glazed.plates.get(at.plate)?;
    match at.layer {
        Layer::Gap { .. } => None,
        Layer::Plate { .. } => Some(plate.glass.base.internal(plate.thickness_mm)),
        Layer::Flash { .. } => {
            plate.glass.flash.map(|flash| flash.absorbance.internal(flash.thickness_mm * plate.flash_left))
        }
        Layer::Paint { .. } => {
            // Where there is paint; how much of the piece that is, the drawing shows by its width.
            let paint = paint_of(of, at)?;
            Some(paint.shape().map(|shape| glass::murray_davies(paint.density * shape, 1.0)))
        }
    }
}

/// The paint as the physics has it: there the list is in the order of firing.
fn paint_of<'a>(of: &'a Of<'_>, at: LayerAt) -> Option<&'a Paint> {
    let index = at.paint?;
    let firing = of.makeup.paint.get(index)?.firing;
    let before = of.makeup.paint.iter().enumerate().filter(|(i, p)| (p.firing, *i) < (firing, index)).count();
    of.glazed.paints.get(before)
}

/// The word that marks a spectrum which nobody measured.
fn estimate(glass: &Glass) -> Option<&'static str> {
    (glass.provenance != Provenance::Measured).then(|| glass.provenance.name())
}

/// How the sheet is made, in a word; nothing of plain glass coloured through.
fn kind_words(glass: &Glass) -> &'static str {
    match glass.kind {
        _ if glass.flash.is_some() => "flashed",
        Kind::Clear => "",
        other => other.name(),
    }
}

/// Every glass the scene can name at a thickness: what it lets through, to be shown in any light.
pub(crate) fn glasses_at(resolved: &Resolved, thickness_mm: f64) -> Vec<(Arc<Glass>, Spectrum)> {
    let all = scene::all_glasses(&resolved.scene).into_iter();
    all.map(|glass| (glass.clone(), total(&Makeup::single(glass, thickness_mm)))).collect()
}

/// Glasses by family in rack order, each with its colour in this light.
pub(crate) fn glasses(all: &[(Arc<Glass>, Spectrum)], light: &SwatchLight) -> Value {
    let families: Vec<Value> = Family::ALL
        .iter()
        .filter_map(|family| {
            let of_family: Vec<Value> = all
                .iter()
                .filter(|(glass, _)| glass.family == *family)
                .map(|(glass, through)| {
                    json!({
                        "id": glass.id,
                        "name": glass.name,
                        "provenance": glass.provenance.name(),
                        "kind": kind_words(glass),
                        "swatch": light.css(through),
                        "transmittance_y": light.luminous_transmittance(through),
                    })
                })
                .collect();
            (!of_family.is_empty()).then(|| json!({ "family": family.name(), "glasses": of_family }))
        })
        .collect();
    json!(families)
}

fn total(makeup: &Makeup) -> Spectrum {
    let optics = makeup.optics(0.0);
    optics.regular_transmittance + optics.diffuse_transmittance
}
