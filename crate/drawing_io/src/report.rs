//! What was found in a file, for people and scripts.

use panel::Panel;
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
        let LinesReport { width_mm, height_mm, pieces, areas_mm2, faults } =
            LinesReport::of(&import.panel, import.faults.clone());
        Self {
            width_mm,
            height_mm,
            unit: import.unit,
            pieces,
            areas_mm2,
            layers: import.layers.clone(),
            faults,
            assumed: import.assumed.clone(),
        }
    }
}

/// A length or an area as it is answered, to a thousandth: finer is only the rounding of the arithmetic.
pub fn thousandths(value: f64) -> f64 {
    (value * 1e3).round() / 1e3
}

/// What was found in the lines of a drawing that is no file any more.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinesReport {
    /// Width of the sight size.
    pub width_mm: f64,
    /// Height of the sight size.
    pub height_mm: f64,
    /// How many pieces.
    pub pieces: usize,
    /// Their areas between the hearts of the leads, in reading order.
    pub areas_mm2: Vec<f64>,
    /// What should be looked at.
    pub faults: Vec<DrawingFault>,
}

impl LinesReport {
    /// The report of a panel, with the faults of its lines.
    pub fn of(panel: &Panel, faults: Vec<DrawingFault>) -> Self {
        Self {
            width_mm: thousandths(panel.width_mm),
            height_mm: thousandths(panel.height_mm),
            pieces: panel.pieces.len(),
            areas_mm2: panel.pieces.iter().map(|piece| thousandths(piece.area_mm2)).collect(),
            faults,
        }
    }
}
