//! How often edges cross, before they are joined: the time for joining them grows with that number, which may reach the
//! square of the number of edges.

use crate::curve::crossing;
use crate::fault::CentreLinesFault;
use glam::DVec2;

/// Rings as the library for set operations has them.
pub(crate) type Rings = Vec<Vec<[f64; 2]>>;

/// Most edges of all rings together: joining as many takes about a second and a quarter of a gigabyte.
const EDGE_LIMIT: usize = 500_000;
/// Most crossings, which take as long. A net of 5 000 panes drawn as ribbons has some 20 000.
const CROSSING_LIMIT: usize = 300_000;
/// So many pairs of edges are tried that this many cross where the limit is reached.
const EXPECTED_AT_LIMIT: f64 = 36.0;
/// At the limit, chance finds more in one case out of 500 (three standard deviations; Poisson distribution).
const FOUND_BEYOND: f64 = 54.0;

/// Refuses rings with far more edges or crossings than a net has. Crossings are estimated by trying pairs of edges drawn
/// at random from all: what crosses half as often again as the limit is refused in about half of all cases, twice as often
/// in 98 out of 100, and two and a half times as often in all but 3 out of 100 000 (Poisson distribution). The same rings
/// are always judged the same.
///
/// # Errors
/// `TooManyPoints`, `TooManyCrossings`
pub fn check_crossings(rings: &[Vec<[f64; 2]>]) -> Result<(), CentreLinesFault> {
    let edges: Vec<(DVec2, DVec2)> = rings
        .iter()
        .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
        .map(|(&a, &b)| (DVec2::from(a), DVec2::from(b)))
        .collect();
    let count = edges.len();
    if count > EDGE_LIMIT {
        return Err(CentreLinesFault::TooManyPoints { limit: EDGE_LIMIT });
    }
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
    let pairs = EXPECTED_AT_LIMIT * all / CROSSING_LIMIT as f64;
    let mut found = 0.0;
    for _ in 0..pairs as usize {
        let (i, j) = (draw(), draw());
        let ((a, b), (c, d)) = (edges[i], edges[j]);
        if i != j && crossing(a, b, c, d).is_some() {
            found += 1.0;
        }
    }
    if found > FOUND_BEYOND {
        return Err(CentreLinesFault::TooManyCrossings { found: all * found / pairs, limit: CROSSING_LIMIT });
    }
    Ok(())
}
