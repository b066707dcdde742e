//! What was found in a file, for people and scripts.

use schemars::JsonSchema;
use serde::Serialize;

use crate::fault::DrawingFault;
use crate::import::Import;
use crate::named::TakenLayer;
use crate::svg::Unit;

/// What was found in a file.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct DrawingReport {
    /// Width of the sight size.
    pub width_mm: f64,
    /// Height of the sight size.
    pub height_mm: f64,
    /// The unit in which the file states its size.
    pub unit: Unit,
    /// How many pieces.
    pub pieces: usize,
    /// Their areas between the hearts of the leads, in reading order.
    pub areas_mm2: Vec<f64>,
    /// What each layer was taken as.
    pub layers: Vec<TakenLayer>,
    /// What should be looked at.
    pub faults: Vec<DrawingFault>,
    /// What the file does not say and was assumed, in sentences.
    pub assumed: Vec<String>,
}

impl DrawingReport {
    /// The report of an import.
    pub fn of(import: &Import) -> Self {
        // Finer than a hair, coarser than the arithmetic.
        let thousandths = |value: f64| (value * 1e3).round() / 1e3;
        Self {
            width_mm: thousandths(import.panel.width_mm),
            height_mm: thousandths(import.panel.height_mm),
            unit: import.unit,
            pieces: import.panel.pieces.len(),
            areas_mm2: import.panel.pieces.iter().map(|piece| thousandths(piece.area_mm2)).collect(),
            layers: import.layers.clone(),
            faults: import.faults.clone(),
            assumed: import.assumed.clone(),
        }
    }
}
