//! What a window with depth adds to a prepared place.

use std::sync::{Arc, OnceLock};

use spectra::Spectrum;

use crate::lobes::Lobes;
use crate::room_response::COLUMNS;
use crate::walled::Walled;

/// What a window with depth adds to a prepared place.
#[derive(Clone, Debug)]
pub(crate) struct WalledRows {
    pub(crate) walled: Arc<Walled>,
    /// Response to flux that lands on each patch of the inner reveal.
    pub(crate) inner: Vec<[Spectrum; COLUMNS]>,
    /// By how much that grows with the logarithm of what the inner reveal reflects, in the mean over a white light.
    pub(crate) inner_slope: OnceLock<Vec<[f64; COLUMNS]>>,
    /// What each patch of the outer reveal and the overhang gives by way of the room for unit exitance: as glazed, and with
    /// clear glass.
    pub(crate) rows: Vec<[[Spectrum; COLUMNS]; 2]>,
    /// What its pieces scatter forward.
    pub(crate) lobes: Lobes,
    /// What the glass of the window sees in each of the room's directions, in the mean: share of it, by patch and direction.
    pub(crate) seen: Vec<Seen>,
}

/// A share of glass that sees a patch of the outer reveal or the overhang in one of the room's directions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Seen {
    pub(crate) patch: u32,
    pub(crate) row: u32,
    pub(crate) share: f32,
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
    /// Of the piece as seen from the place: the share that sees each of the room's directions, and a patch there.
    pub(crate) open_seen: Vec<f64>,
    pub(crate) seen: Vec<Seen>,
}

impl WalledRows {
    pub(crate) fn new(walled: Arc<Walled>) -> Self {
        let (inner, inner_slope, rows, seen) = (Vec::new(), OnceLock::new(), Vec::new(), Vec::new());
        Self { walled, inner, inner_slope, rows, lobes: Lobes::default(), seen }
    }
}
