//! The window's edge and the hearts of its leads.

use kurbo::BezPath;

use crate::edge::{Gap, Opening};
use crate::lost::ShapePanes;
use crate::part::Part;

/// A lead's heart.
#[derive(Debug, Clone)]
pub(crate) struct LeadPath {
    pub(crate) path: BezPath,
    /// As drawn, mm.
    pub(crate) face_mm: Option<f64>,
}

/// The window's edge and the leads within.
#[derive(Debug)]
pub(crate) struct Leads {
    pub(crate) outline: Part,
    pub(crate) outline_face_mm: Option<f64>,
    /// Index of the layer that the edge was drawn in.
    pub(crate) outline_layer: Option<usize>,
    /// True if the edge is all that this layer holds.
    pub(crate) outline_alone: bool,
    /// Gaps in the edge that were closed.
    pub(crate) gaps: Vec<Gap>,
    /// Where the edge was left open.
    pub(crate) open: Option<Opening>,
    pub(crate) cutlines: Vec<LeadPath>,
    /// The panes of leads drawn as shapes, those of each kind of shapes apart.
    pub(crate) panes: Vec<ShapePanes>,
    /// The leads were read from panes that share their edges: that two of them run together is no fault.
    pub(crate) shares_edges: bool,
}

impl Leads {
    /// Adds the leads drawn as lines to those of all shapes. Pieces are then parted by both.
    pub(crate) fn add_lines(&mut self, lines: Vec<LeadPath>) {
        if !lines.is_empty() || self.panes.len() > 1 {
            self.panes.iter_mut().for_each(|panes| panes.are_all = false);
        }
        self.cutlines.extend(lines);
    }
}
