//! One piece from outside to inside, and the glasses it could be made of.

use glass::{Face, Family, Glass, Kind, Makeup, Paint, PaintKind, Plate, Provenance};
use scene::{Resolved, all_glasses};
use serde_json::{Value, json};
use spectra::Spectrum;

use crate::swatch::SwatchLight;

/// The section of a piece: its layers from outside to inside, each with its own colour. `None` where there is no such
/// piece.
pub(crate) fn section(resolved: &Resolved, light: &SwatchLight, window: &str, piece: u32) -> Option<Value> {
    let window = resolved.windows.iter().find(|w| w.id == window)?;
    let index = window.pieces.iter().position(|p| p.id == piece)?;
    let (shape, glazed) = (&window.panel.pieces[index], &window.pieces[index]);
    let in_document = resolved.scene.windows.iter().find(|w| w.id == window.id)?;
    let makeup = &glazed.makeup;
    let optics = makeup.optics(0.0);
    let through = optics.regular_transmittance + optics.diffuse_transmittance;
    let neighbours: Vec<u32> = shape.neighbours.iter().map(|n| window.pieces[n.piece].id).collect();
    let size = |axis: usize| {
        let along = shape.cut.iter().flat_map(|p| p.outer.iter().map(move |point| point[axis]));
        let (least, most) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), v| (l.min(v), m.max(v)));
        if most > least { most - least } else { 0.0 }
    };
    Some(json!({
        "piece": piece,
        "title": makeup.plates.last().map(|plate| &plate.glass.name),
        "light_area_mm2": shape.light_area_mm2,
        "cut_size_mm": [size(0), size(1)],
        "neighbours": neighbours,
        "makeup": in_document.pieces.get(glazed.entry)?.makeup,
        "layers": layers(makeup, light),
        "swatch": light.css(&through),
        "transmittance_y": light.luminous_transmittance(&through),
    }))
}

fn layers(makeup: &Makeup, light: &SwatchLight) -> Vec<Value> {
    let mut layers = Vec::new();
    if let Some(pane) = &makeup.protective {
        layers.push(json!({
            "kind": "protective",
            "name": "Protective glazing",
            "detail": format!("{} mm, dirt takes {:.0} %", pane.thickness_mm, pane.dirt.loss * 100.0),
            "thickness_mm": pane.thickness_mm,
            "swatch": light.css(&(pane.glass.internal(pane.thickness_mm) * (1.0 - pane.dirt.loss))),
            "estimate": if pane.dirt.loss > 0.0 { Some("dirt estimated") } else { None },
            "relative_height": 2.0,
        }));
        layers.push(air());
    }
    for (i, plate) in makeup.plates.iter().enumerate() {
        if i > 0 && makeup.gap == glass::Gap::Air {
            layers.push(air());
        }
        let on = |face: Face| {
            let paints = makeup.paints.iter().enumerate();
            paints.filter(move |(_, p)| p.plate == i && p.face == face).map(|(k, p)| paint(k, p, light))
        };
        // The first paint fired lies on the glass, so outside the last comes first.
        let mut outside: Vec<Value> = on(Face::Outside).collect();
        outside.reverse();
        layers.extend(outside);
        let flash = flash(i, plate, light);
        let (before, after) = if plate.flash_face == Face::Outside { (flash, None) } else { (None, flash) };
        layers.extend(before);
        layers.push(plate_layer(i, plate, light));
        layers.extend(after);
        layers.extend(on(Face::Inside));
    }
    layers
}

fn air() -> Value {
    json!({
        "kind": "air", "name": "air", "detail": "", "thickness_mm": null, "swatch": "transparent",
        "estimate": null, "relative_height": 0.6,
    })
}

fn plate_layer(index: usize, plate: &Plate, light: &SwatchLight) -> Value {
    let kind = match plate.glass.kind {
        Kind::Clear => String::new(),
        other => format!(", {}", other.name()),
    };
    json!({
        "kind": "glass",
        "name": plate.glass.name,
        "detail": format!("{} mm{kind}", plate.thickness_mm),
        "thickness_mm": plate.thickness_mm,
        "swatch": light.css(&plate.glass.base.internal(plate.thickness_mm)),
        "estimate": estimate(&plate.glass),
        "plate": index,
        "relative_height": plate.thickness_mm,
    })
}

fn flash(index: usize, plate: &Plate, light: &SwatchLight) -> Option<Value> {
    let flash = plate.glass.flash?;
    let left = plate.flash_left;
    Some(json!({
        "kind": "flash",
        "name": "Flash",
        "detail": if left < 1.0 { format!("etched to {:.0} %", left * 100.0) } else { "whole".to_owned() },
        "thickness_mm": flash.thickness_mm * left,
        "swatch": light.css(&flash.absorbance.internal(flash.thickness_mm * left)),
        "estimate": estimate(&plate.glass),
        "plate": index,
        "relative_height": 0.8,
    }))
}

fn paint(index: usize, paint: &Paint, light: &SwatchLight) -> Value {
    let name = match &paint.kind {
        PaintKind::Trace => "Trace line",
        PaintKind::Matting => "Matting",
        PaintKind::Enamel(_) => "Enamel",
        PaintKind::Stain(_) => "Silver stain",
        PaintKind::Measured(_) => "Paint",
    };
    let through = paint.shape().map(|shape| glass::murray_davies(paint.density * shape, paint.coverage));
    json!({
        "kind": "paint",
        "name": name,
        "detail": format!("density {}, over {:.0} %", paint.density, paint.coverage * 100.0),
        "thickness_mm": null,
        "swatch": light.css(&through),
        "estimate": "estimated",
        "paint": index,
        "relative_height": 0.7,
    })
}

/// The word that marks a spectrum which nobody measured.
fn estimate(glass: &Glass) -> Option<&'static str> {
    (glass.provenance != Provenance::Measured).then(|| glass.provenance.name())
}

/// Every glass the scene can name, by family in rack order, with its colour at 3 mm.
pub(crate) fn glasses(resolved: &Resolved, light: &SwatchLight) -> Value {
    let all = all_glasses(&resolved.scene);
    let families: Vec<Value> = Family::ALL
        .iter()
        .filter_map(|family| {
            let of_family: Vec<Value> = all
                .iter()
                .filter(|glass| glass.family == *family)
                .map(|glass| {
                    json!({
                        "id": glass.id,
                        "name": glass.name,
                        "provenance": glass.provenance.name(),
                        "kind": glass.kind.name(),
                        "flashed": glass.flash.is_some(),
                        "swatch": light.css(&total(glass)),
                    })
                })
                .collect();
            (!of_family.is_empty()).then(|| json!({ "family": family.name(), "glasses": of_family }))
        })
        .collect();
    json!(families)
}

fn total(glass: &std::sync::Arc<Glass>) -> Spectrum {
    let optics = Makeup::single(glass.clone(), 3.0).optics(0.0);
    optics.regular_transmittance + optics.diffuse_transmittance
}
