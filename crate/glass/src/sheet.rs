//! A sheet of glass in the rack: how thick it is where.

use std::sync::Arc;

use crate::{Glass, ThicknessRange};

/// A sheet with its thickness, as data; a picture's own unevenness is made elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The glass.
    pub glass: Arc<Glass>,
    /// Width and height, mm.
    pub size_mm: [f64; 2],
    /// Nominal thickness and the range over the sheet.
    pub thickness: ThicknessRange,
    /// Measured thickness by place, if there is one.
    pub map: Option<ThicknessMap>,
}

impl Sheet {
    /// A sheet of the glass's usual thickness without a map.
    pub fn new(glass: Arc<Glass>, size_mm: [f64; 2]) -> Self {
        let thickness = glass.thickness;
        Self { glass, size_mm, thickness, map: None }
    }

    /// Thickness at a place on the sheet, mm from its lower left corner: by the map, held at the edges, or nominal
    /// without one. Never outside the sheet's range.
    pub fn thickness_mm(&self, at: [f64; 2]) -> f64 {
        let t = &self.thickness;
        let found = self.map.as_ref().map_or(t.nominal_mm, |map| map.at(at));
        found.max(t.min_mm).min(t.max_mm)
    }
}

/// Thicknesses on a regular grid over a sheet, joined bilinearly.
#[derive(Clone, Debug, PartialEq)]
pub struct ThicknessMap {
    columns: usize,
    pitch_mm: [f64; 2],
    values_mm: Vec<f64>,
}

/// Why a thickness map is none.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ThicknessMapError {
    /// Values do not fill whole rows.
    #[error("values_mm: expected whole rows of {columns} values, found {found} values")]
    Shape {
        /// Columns asked for.
        columns: usize,
        /// Number of values.
        found: usize,
    },
    /// Pitch not above 0.
    #[error("pitch_mm: expected numbers above 0, found {found:?}")]
    Pitch {
        /// What was given.
        found: [f64; 2],
    },
    /// A thickness not above 0.
    #[error("values_mm[{index}]: expected a thickness above 0, found {found}")]
    Value {
        /// Place in the list.
        index: usize,
        /// What was given.
        found: f64,
    },
}

impl ThicknessMap {
    /// `values_mm`: row by row from the lower left corner of the sheet, `columns` a row; `pitch_mm`: distance
    /// between columns and between rows.
    ///
    /// # Errors
    /// [`ThicknessMapError`] names what does not fit.
    pub fn new(columns: usize, pitch_mm: [f64; 2], values_mm: Vec<f64>) -> Result<Self, ThicknessMapError> {
        if columns == 0 || values_mm.is_empty() || !values_mm.len().is_multiple_of(columns) {
            return Err(ThicknessMapError::Shape { columns, found: values_mm.len() });
        }
        if !pitch_mm.iter().all(|p| p.is_finite() && *p > 0.0) {
            return Err(ThicknessMapError::Pitch { found: pitch_mm });
        }
        if let Some(index) = values_mm.iter().position(|v| !(v.is_finite() && *v > 0.0)) {
            return Err(ThicknessMapError::Value { index, found: values_mm[index] });
        }
        Ok(Self { columns, pitch_mm, values_mm })
    }

    /// Thickness at a place in mm from the first value, held constant beyond the grid.
    pub fn at(&self, at: [f64; 2]) -> f64 {
        let rows = self.values_mm.len() / self.columns;
        let (x0, x1, u) = cell(at[0] / self.pitch_mm[0], self.columns);
        let (y0, y1, v) = cell(at[1] / self.pitch_mm[1], rows);
        let value = |x: usize, y: usize| self.values_mm[y * self.columns + x];
        let row = |y: usize| value(x0, y) + (value(x1, y) - value(x0, y)) * u;
        row(y0) + (row(y1) - row(y0)) * v
    }
}

/// The two grid lines about a place in pitches, and how far between.
fn cell(place: f64, count: usize) -> (usize, usize, f64) {
    let place = if place > 0.0 { place.min((count - 1) as f64) } else { 0.0 };
    let low = place as usize;
    (low, (low + 1).min(count - 1), place - low as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_map_is_bilinear_and_held_at_its_edges() {
        let map = ThicknessMap::new(2, [100.0, 50.0], vec![2.0, 3.0, 4.0, 5.0]).unwrap();
        for (at, expected) in
            [([0.0, 0.0], 2.0), ([50.0, 25.0], 3.5), ([1e9, -5.0], 3.0), ([f64::NAN, 50.0], 4.0)]
        {
            assert!((map.at(at) - expected).abs() < 1e-12, "{at:?}");
        }
    }

    #[test]
    fn a_bad_map_says_why() {
        let fault = ThicknessMap::new(2, [1.0, 1.0], vec![3.0, 3.0, 0.0, 3.0]).unwrap_err();
        assert_eq!(fault.to_string(), "values_mm[2]: expected a thickness above 0, found 0");
        assert!(ThicknessMap::new(3, [1.0, 1.0], vec![3.0; 4]).is_err());
        assert!(ThicknessMap::new(0, [1.0, 1.0], vec![]).is_err());
    }
}
