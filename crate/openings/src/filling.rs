//! What fills the opening, or the field inside its border.

use crate::fault::{MOST_LENGTH_MM, OpeningFault, check_length};
use crate::lattice::Lattice;
use plane::{PanelPoint, bounds};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Most columns or rows.
const MOST_ROWS: u32 = 2_000;

/// Sides of panes and diagonals of quarries, mm. Those beyond the field's are one pane.
const PANES_MM: [f64; 2] = [10.0, MOST_LENGTH_MM];

/// How the field is divided: the opening, or what its border leaves of it.
///
/// Panes are equal and divide the width and height of the field's bounding box evenly: a whole number each way, and
/// where sizes are given, the nearest, one at least. Under an arched head the lattice runs on to the crown and is cut
/// off by the arch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "pattern", rename_all = "snake_case", deny_unknown_fields)]
pub enum Filling {
    /// One piece.
    Plain {},
    /// Upright rectangles by number.
    Rectangles {
        /// Side by side, 1–2000.
        columns: u32,
        /// One above the other, 1–2000.
        rows: u32,
    },
    /// Upright rectangles by size.
    RectanglesBySize {
        /// Width of a pane, mm, 10–20 000, between the leads' centre lines.
        pane_width_mm: f64,
        /// Height of a pane, mm, 10–20 000, between the leads' centre lines.
        pane_height_mm: f64,
    },
    /// Diamond panes. Half quarries fill up straight edges, so that the points of whole ones lie on the edges.
    Quarries {
        /// Diagonal from side to side, mm, 10–20 000, between the leads' centre lines.
        width_mm: f64,
        /// Diagonal from bottom to top, mm, 10–20 000.
        height_mm: f64,
    },
}

impl Filling {
    pub(crate) fn check(&self, faults: &mut Vec<OpeningFault>) {
        let mut count = |field, found: u32| {
            if !(1..=MOST_ROWS).contains(&found) {
                faults.push(OpeningFault::Count { field, least: 1, most: MOST_ROWS, why: "", found });
            }
        };
        match *self {
            Filling::Plain {} => {}
            Filling::Rectangles { columns, rows } => {
                count("filling.columns", columns);
                count("filling.rows", rows);
            }
            Filling::RectanglesBySize { pane_width_mm, pane_height_mm } => {
                check_length("filling.pane_width_mm", pane_width_mm, PANES_MM, "", faults);
                check_length("filling.pane_height_mm", pane_height_mm, PANES_MM, "", faults);
            }
            Filling::Quarries { width_mm, height_mm } => {
                check_length("filling.width_mm", width_mm, PANES_MM, "", faults);
                check_length("filling.height_mm", height_mm, PANES_MM, "", faults);
            }
        }
    }

    /// The lattice in a field, given as a polygon; `None` for a single piece. For checked measurements.
    pub(crate) fn lattice(&self, field: &[PanelPoint]) -> Option<Lattice> {
        let [low, high] = bounds(field)?;
        let size = [high[0] - low[0], high[1] - low[1]];
        // Sizes are at least 10 mm and the field at most 20 m, so that the numbers stay small.
        let nearest = |whole: f64, part: f64| (whole / part).round().max(1.0) as u32;
        let share = |across: u32, up: u32| [size[0] / f64::from(across), size[1] / f64::from(up)];
        match *self {
            Filling::Plain {} => None,
            Filling::Rectangles { columns, rows } => {
                Some(Lattice::rectangles(low, share(columns, rows), columns))
            }
            Filling::RectanglesBySize { pane_width_mm, pane_height_mm } => {
                let (columns, rows) = (nearest(size[0], pane_width_mm), nearest(size[1], pane_height_mm));
                Some(Lattice::rectangles(low, share(columns, rows), columns))
            }
            Filling::Quarries { width_mm, height_mm } => {
                let (across, up) = (nearest(size[0], width_mm), nearest(size[1], height_mm));
                Some(Lattice::quarries(low, share(across, up), across))
            }
        }
    }
}
