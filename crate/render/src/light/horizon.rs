//! The surroundings as a picture shows them: layers one in front of the other, with uneven outlines.

use daylight::{Buildings, Direction, Horizon};
use glam::Vec2;

use crate::light::field::SeenEdges;
use crate::software::prelude::value_noise;

/// Edges closer than this count as one, degrees.
const EDGE_DEG: f64 = 0.01;
/// Offsets in bearing at which to look for a layer that the bearing itself does not show, degrees, nearest first.
const ASIDE_DEG: [f64; 9] = [0.0, 0.4, -0.4, 0.8, -0.8, 1.2, -1.2, 1.6, -1.6];

/// A quantity by direction: radiances, or weights that stand for them.
pub(crate) trait Layers {
    /// Radiance or weights.
    type Value: Copy;

    /// The value seen in a direction.
    fn at(&mut self, d: Direction) -> Self::Value;
    /// The value beyond an edge, from the value at the edge and the one equally far on this side of it.
    fn beyond(edge: Self::Value, mirrored: Self::Value) -> Self::Value;
}

/// Every layer in one direction: above the upper edge, between the edges, below the lower one.
pub(crate) fn seen<L: Layers>(layers: &mut L, edges: &Edges, d: Direction) -> [L::Value; 3] {
    let mut at = |altitude_deg: f64, aside_deg: f64| {
        let altitude_deg = altitude_deg.clamp(0.0, 90.0);
        layers.at(Direction { altitude_deg, azimuth_deg: d.azimuth_deg + aside_deg })
    };
    // A layer that is hidden or absent here continues as it is seen a little to the side. Sky under a level edge
    // continues as its mirror image in the edge, so that the mean of the two nodes on either side of an edge is
    // right to second order.
    let upper = edges.at(d.azimuth_deg)[1];
    let first = upper + EDGE_DEG;
    let seen_aside =
        ASIDE_DEG.into_iter().find(|aside| edges.at(d.azimuth_deg + aside)[1] + EDGE_DEG <= d.altitude_deg);
    let sky = if let Some(aside) = seen_aside {
        at(d.altitude_deg, aside)
    } else {
        let edge = at(first, 0.0);
        let mirrored = at(first + (first - d.altitude_deg).min(2.0), 0.0);
        L::beyond(edge, mirrored)
    };
    let mut inside = |layer: fn([f64; 2]) -> (f64, f64)| {
        ASIDE_DEG.into_iter().find_map(|aside| {
            let (low, high) = layer(edges.at(d.azimuth_deg + aside));
            (high - low > 2.0 * EDGE_DEG)
                .then(|| at(d.altitude_deg.clamp(low + EDGE_DEG, high - EDGE_DEG), aside))
        })
    };
    let between = inside(|[lower, upper]| (lower, upper)).unwrap_or(sky);
    let below = inside(|[lower, _]| (0.0, lower)).unwrap_or(between);
    [sky, between, below]
}

/// Where the kind of view changes: skyline, blocks before it, and tree tops by bearing.
pub(crate) struct Edges {
    skyline: Vec<(f64, f64)>,
    trees: Vec<Wood>,
    buildings: Option<Buildings>,
}

/// A stand of trees on one day.
struct Wood {
    from_deg: f64,
    span_deg: f64,
    top_deg: f64,
    /// Share of gaps.
    gaps: f64,
}

/// An edge at a bearing: its altitude, and the share of gaps if it belongs to a wood.
#[derive(Clone, Copy)]
struct Edge {
    altitude_deg: f64,
    gaps: Option<f64>,
}

impl Edge {
    const NONE: Self = Self { altitude_deg: 0.0, gaps: None };

    /// How far its outline rises above the even edge here: crowns and boughs of a wood in lumps whose size follows
    /// its height, a skyline of roofs and hedges less so. Assumptions.
    fn detail_deg(self, azimuth_deg: f64, seed: u32) -> f64 {
        let high = self.altitude_deg.min(40.0);
        let lumps = |per_deg: f64, k: u32| {
            f64::from(value_noise(Vec2::new((azimuth_deg * per_deg) as f32, 0.5), seed + k).x)
        };
        if high <= 0.0 {
            0.0
        } else if self.gaps.is_some() {
            let crown = 1.0 / (0.30 * high).max(0.4);
            high * (0.13 * lumps(crown, 0) + 0.07 * lumps(2.7 * crown, 1) + 0.035 * lumps(8.0 * crown, 2))
                + 0.12 * lumps(3.1, 3)
        } else {
            let far = (0.10 * high).min(0.9);
            far * (0.6 * lumps(0.23, 4) + 0.4 * lumps(0.71, 5)) + 0.06 * lumps(2.9, 6).max(0.0)
                - 0.06 * lumps(2.3, 7).max(0.0)
        }
    }
}

impl Edges {
    /// `leaf`: how far broad-leaved trees are in leaf, 0–1.
    pub(crate) fn new(horizon: &Horizon, leaf: f64) -> Self {
        let mut skyline: Vec<(f64, f64)> =
            horizon.points.iter().map(|p| (p.bearing_deg.rem_euclid(360.0), p.altitude_deg)).collect();
        sorting::by(&mut skyline, |a, b| a.0.total_cmp(&b.0));
        if let (Some(&first), Some(&last)) = (skyline.first(), skyline.last()) {
            skyline.insert(0, (last.0 - 360.0, last.1));
            skyline.push((first.0 + 360.0, first.1));
        }
        let span = |from: f64, to: f64| {
            if (to - from).abs() >= 360.0 { 360.0 } else { (to - from).rem_euclid(360.0) }
        };
        let trees = horizon
            .trees
            .iter()
            .map(|t| Wood {
                from_deg: t.from_bearing_deg,
                span_deg: span(t.from_bearing_deg, t.to_bearing_deg),
                top_deg: t.top_altitude_deg,
                gaps: t.transmittance_bare + leaf * (t.transmittance_in_leaf - t.transmittance_bare),
            })
            .collect();
        Self { skyline, trees, buildings: horizon.buildings.clone() }
    }

    /// Bearings at which trees or blocks begin or end, degrees to the right of a wall's outward normal, −180 to 180.
    pub(crate) fn breaks_deg(&self, facing_deg: f64) -> Vec<f64> {
        let ends = self.trees.iter().flat_map(|t| [t.from_deg, t.from_deg + t.span_deg]);
        ends.chain(self.buildings.iter().flat_map(Buildings::bearings_deg))
            .map(|bearing| (bearing - facing_deg + 180.0).rem_euclid(360.0) - 180.0)
            .collect()
    }

    /// The two highest edges at a bearing, the lower one first; 0 for each one missing; degrees.
    pub(crate) fn at(&self, azimuth_deg: f64) -> [f64; 2] {
        self.edges(azimuth_deg).map(|e| e.altitude_deg)
    }

    fn edges(&self, azimuth_deg: f64) -> [Edge; 2] {
        let bearing = azimuth_deg.rem_euclid(360.0);
        let skyline =
            self.skyline.windows(2).find(|w| w[0].0 <= bearing && bearing <= w[1].0).map_or(0.0, |w| {
                let ((x0, y0), (x1, y1)) = (w[0], w[1]);
                if x1 > x0 { y0 + (y1 - y0) * (bearing - x0) / (x1 - x0) } else { y1 }
            });
        let trees = self
            .trees
            .iter()
            .filter(|t| (azimuth_deg - t.from_deg).rem_euclid(360.0) <= t.span_deg)
            .map(|t| Edge { altitude_deg: t.top_deg, gaps: Some(t.gaps) });
        // A block hides the skyline behind it, and is drawn as a part of it.
        let block = self.buildings.as_ref().and_then(|buildings| buildings.top_deg(azimuth_deg));
        let skyline = Edge { altitude_deg: block.map_or(skyline, |top| skyline.max(top)), gaps: None };
        trees.chain([skyline]).fold([Edge::NONE; 2], |[lower, upper], edge| {
            if edge.altitude_deg > upper.altitude_deg {
                [upper, edge]
            } else if edge.altitude_deg > lower.altitude_deg {
                [edge, upper]
            } else {
                [lower, upper]
            }
        })
    }

    /// The edges at a bearing in the form that the direction field takes.
    pub(crate) fn seen(&self, azimuth_deg: f64) -> SeenEdges {
        let [lower, upper] = self.edges(azimuth_deg);
        // Without leaves, or without anything else, there are no gaps to draw.
        let gaps = |edge: Edge| edge.gaps.filter(|g| (0.01..=0.99).contains(g));
        SeenEdges {
            altitude_deg: [upper.altitude_deg, lower.altitude_deg],
            detail_deg: [upper.detail_deg(azimuth_deg, 901), lower.detail_deg(azimuth_deg, 921)],
            leaves: gaps(upper).or_else(|| gaps(lower).map(|g| -g)).unwrap_or(0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use daylight::{HorizonPoint, Trees};
    use spectra::Spectrum;

    #[test]
    fn edges_follow_skyline_and_trees() {
        let horizon = Horizon {
            points: vec![
                HorizonPoint { bearing_deg: 350.0, altitude_deg: 10.0 },
                HorizonPoint { bearing_deg: 10.0, altitude_deg: 20.0 },
            ],
            trees: vec![Trees {
                from_bearing_deg: 5.0,
                to_bearing_deg: 40.0,
                top_altitude_deg: 16.0,
                transmittance_bare: 0.5,
                transmittance_in_leaf: 0.2,
                reflectance: Spectrum::splat(0.1),
            }],
            ..Horizon::default()
        };
        let edges = Edges::new(&horizon, 1.0);
        for (azimuth, expected) in [
            (0.0, [0.0, 15.0]),
            (360.0, [0.0, 15.0]),
            (8.0, [16.0, 19.0]),
            (180.0, [0.0, 15.0]),
            (6.0, [16.0, 18.0]),
        ] {
            let found = edges.at(azimuth);
            assert!(
                (found[0] - expected[0]).abs() < 1e-9 && (found[1] - expected[1]).abs() < 1e-9,
                "{azimuth}: {found:?}"
            );
        }
        assert!(Edges::new(&Horizon::default(), 1.0).at(77.0).iter().all(|e| *e <= 0.0));
    }

    // 4 %: outlines of some 700 lumps in all.
    #[test]
    fn outlines_vary_about_their_edges_and_are_zero_without_one() {
        for gaps in [None, Some(0.4)] {
            let edge = Edge { altitude_deg: 9.0, gaps };
            let detail: Vec<f64> = (0..36_000).map(|k| edge.detail_deg(f64::from(k) * 0.05, 901)).collect();
            let mean = detail.iter().sum::<f64>() / 36_000.0;
            assert!(mean.abs() < 0.04 * 9.0, "{mean}");
            assert!(detail.iter().any(|d| *d > 0.3) && detail.iter().all(|d| d.abs() < 4.0));
        }
        assert!(Edge::NONE.detail_deg(77.0, 901).abs() <= 0.0);
        assert_eq!(Edges::new(&Horizon::default(), 1.0).seen(10.0), SeenEdges::default());
    }
}
