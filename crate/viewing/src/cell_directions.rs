//! Directions that stand for a cell where the edge of a shadow may cross it.

use plane::RoomVector;

/// Their number: an edge along the cell is placed to a thirty-second of it.
const DIRECTIONS: usize = 16;

/// The direction at each of some shares across and up a cell, of which no two are alike.
pub(crate) fn around(at: impl Fn([f64; 2]) -> RoomVector) -> Vec<RoomVector> {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    let share = |k: usize| k as f64 + 0.5;
    (0..DIRECTIONS).map(|k| at([(share(k) * GOLDEN).fract(), share(k) / DIRECTIONS as f64])).collect()
}
