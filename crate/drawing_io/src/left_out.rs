//! Layers that are not read although they might hold leads: each is named, with the reason and what to do.

use centre_lines::CentreLinesFault;
use kurbo::Affine;
use plane::PanelPoint;

use crate::error::ImportError;
use crate::fault::{DrawingFault, FaultKind};
use crate::layer::{Layer, LeftOut, Paint, Reading};
use crate::named::name_among;
use crate::part::{bounds, middle};
use crate::role::{Hint, Role};

/// Refuses layers that should hold leads and cannot be read, or that alone could hold any. `mm`: millimetres in a user
/// unit.
///
/// # Errors
/// `Shapes`
pub(crate) fn check_left_out(layers: &[Layer], mm: f64) -> Result<(), ImportError> {
    let holds_leads = |layer: &Layer| {
        layer.group.role == Role::Cutlines && layer.reading != Reading::None && !layer.is_edge_alone()
    };
    for (k, layer) in layers.iter().enumerate() {
        let Some(LeftOut::Tangled(fault)) = &layer.left_out else { continue };
        let is_asked_for = match layer.group.hint {
            Some(Hint::Role(Role::Cutlines)) => true,
            Some(Hint::Role(Role::Outline | Role::Bars)) => layer.group.told,
            _ => false,
        };
        let others = layers.iter().filter(|other| holds_leads(other));
        // Lines in the same layer may be what its name means.
        let found = others.filter(|other| !is_asked_for || other.group.name == layer.group.name).count();
        if found == 0 {
            let layer = name_among(layers, k, mm);
            return Err(ImportError::Shapes(format!(
                "layer {layer:?}: {}; join or simplify its shapes, or leave it out if it is no part of the window \
                 (--layer \"{layer}=ignored\")",
                too_much(fault)
            )));
        }
    }
    Ok(())
}

/// What was left out, for somebody to look at. `place`: from the layers to the drawing; `mm`: millimetres in a user unit.
pub(crate) fn left_out(layers: &[Layer], place: Affine, mm: f64) -> Vec<DrawingFault> {
    let mut faults = Vec::new();
    for (k, layer) in layers.iter().enumerate() {
        let Some(words) = words(layers, k, mm) else { continue };
        let Some([low, high]) = layer.parts.first().and_then(|part| bounds([part])) else { continue };
        let middle = middle(low, high);
        let at = place * kurbo::Point::new(middle[0], middle[1]);
        faults.push(DrawingFault {
            kind: FaultKind::NotUnderstood,
            at_mm: PanelPoint::new(at.x, at.y),
            words,
        });
    }
    faults
}

/// Why a layer was left out, and what to do; `None` if it was not, or somebody meant it to be.
fn words(layers: &[Layer], own: usize, mm: f64) -> Option<String> {
    let layer = &layers[own];
    let is_meant = layer.group.hidden || layer.group.hint == Some(Hint::Role(Role::Ignored));
    if layer.group.role != Role::Ignored || is_meant {
        return None;
    }
    let name = name_among(layers, own, mm);
    match &layer.left_out {
        Some(LeftOut::Tangled(fault)) => Some(format!(
            "The layer {name:?} was left out: {}. Take it as ignored if it is no part of the window; otherwise join or \
             simplify its shapes.",
            too_much(fault)
        )),
        Some(LeftOut::Hatching) => Some(format!(
            "{} lines close beside one another were left out as painted hatching. If they are leads, take the layer \
             {name:?} as leads.",
            layer.parts.len()
        )),
        None if is_upon_panes(layers, layer) => {
            let (what, they) = match layer.group.shapes.len() {
                1 => ("1 shape upon panes was".to_owned(), "it is a piece"),
                count => (format!("{count} shapes upon panes were"), "they are pieces"),
            };
            Some(format!("{what} left out as painting. If {they}, take the layer {name:?} as leads."))
        }
        None => None,
    }
}

/// Whether a layer's shapes lie upon panes from which the leads are read.
fn is_upon_panes(layers: &[Layer], layer: &Layer) -> bool {
    let lies_beneath = |other: &Layer| {
        other.group.paint == Paint::Whole
            && (&other.group.name, other.group.look) == (&layer.group.name, layer.group.look)
            && other.group.role != Role::Ignored
    };
    matches!(layer.group.paint, Paint::Upon(_)) && layers.iter().any(lies_beneath)
}

/// What a layer has too much of.
fn too_much(fault: &CentreLinesFault) -> String {
    match fault {
        CentreLinesFault::TooManyPoints { limit } => format!("its shapes have more than {limit} points"),
        CentreLinesFault::TooManyCrossings { found, limit } => {
            format!("the edges of its shapes cross about {found:.0} times, and at most {limit} are read")
        }
        fault => fault.to_string(),
    }
}
