//! What a window with depth adds to a prepared place.

use std::sync::Arc;

use spectra::Spectrum;

use crate::room_response::COLUMNS;
use crate::walled::Walled;

/// What a window with depth adds to a prepared place.
#[derive(Clone, Debug)]
pub(crate) struct WalledRows {
    pub(crate) walled: Arc<Walled>,
    /// Response to flux that lands on each patch of the inner reveal.
    pub(crate) inner: Vec<[Spectrum; COLUMNS]>,
    /// What each patch of the outer reveal and the overhang gives by way of the room for unit exitance: as glazed, and with
    /// clear glass.
    pub(crate) rows: Vec<[[Spectrum; COLUMNS]; 2]>,
}

/// How light reaches a piece behind an outer reveal.
#[derive(Clone, Debug, Default)]
pub(crate) struct PieceLevels {
    /// Share of the piece that sees each of the room's directions.
    pub(crate) open: Vec<f64>,
    /// Irradiance on the piece for unit exitance of each patch outside.
    pub(crate) patches: Vec<f64>,
    /// The same by the angle of incidence.
    pub(crate) by_node: Vec<(usize, usize, f64)>,
}

impl WalledRows {
    pub(crate) fn new(walled: Arc<Walled>) -> Self {
        Self { walled, inner: Vec::new(), rows: Vec::new() }
    }
}
