//! How often edges cross, before they are joined: the time for joining them grows with that number, which may reach the
//! square of the number of edges.

use crate::curve::crossing;
use crate::fault::CentreLinesFault;
use glam::DVec2;

/// Rings as the library for set operations has them.
pub(crate) type Rings = Vec<Vec<[f64; 2]>>;

/// A net of 5 000 panes drawn as ribbons has some 20 000 crossings.
const CROSSING_LIMIT: usize = 10_000_000;
/// Pairs of edges tried. With fewer edges than a limit's worth of pairs, none need be.
const PAIRS: usize = 200_000;
/// Fewer crossings among them are chance.
const LEAST_FOUND: usize = 8;

/// Refuses rings with far more crossings than a net has, by trying pairs of edges spread evenly over all.
///
/// # Errors
/// `TooManyCrossings`
pub(crate) fn check_crossings(rings: &Rings) -> Result<(), CentreLinesFault> {
    let edges: Vec<(DVec2, DVec2)> = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .map(|(&a, &b)| (DVec2::from(a), DVec2::from(b)))
        .collect();
    let count = edges.len();
    let all = 0.5 * count as f64 * count as f64;
    if all <= CROSSING_LIMIT as f64 {
        return Ok(());
    }
    // A linear congruential generator (Knuth, MMIX; constants from memory): the same pairs every time.
    let mut state = 1_u64;
    let mut draw = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % count
    };
    let mut found = 0;
    for _ in 0..PAIRS {
        let (i, j) = (draw(), draw());
        let ((a, b), (c, d)) = (edges[i], edges[j]);
        if i != j && crossing(a, b, c, d).is_some() {
            found += 1;
        }
    }
    let estimate = all * found as f64 / PAIRS as f64;
    if found >= LEAST_FOUND && estimate > CROSSING_LIMIT as f64 {
        return Err(CentreLinesFault::TooManyCrossings { found: estimate, limit: CROSSING_LIMIT });
    }
    Ok(())
}
