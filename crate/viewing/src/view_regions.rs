//! The cells of a view cut where an edge outside crosses them, so that every part has a view of one kind.

use std::collections::HashMap;

use plane::{WallPoint, clip_to_left_of, signed_area};

use crate::view_edges::ViewEdges;
use crate::window_view::ViewGrid;

/// For each cell that an edge crosses, convex regions of one kind of view, anticlockwise, on the wall.
///
/// Between two neighbouring lines of the grid an edge is a straight line on the wall: at 3.5° it is off by less than
/// 0.01°.
#[derive(Clone, Debug, Default)]
pub(crate) struct ViewRegions {
    by_cell: HashMap<[usize; 2], Vec<Vec<WallPoint>>>,
}

impl ViewRegions {
    /// For the cells of a grid in groups of `merge` each way ([`ViewGrid::group`]).
    pub(crate) fn new(grid: &ViewGrid, edges: &ViewEdges, merge: usize) -> Self {
        let mut by_cell = HashMap::new();
        if edges.is_empty() {
            return Self { by_cell };
        }
        let rows = grid.group_limits(1, merge);
        for (column, lines) in grid.group_limits(0, merge).into_iter().enumerate() {
            let (upright, parts) = column_parts(grid, edges, &lines);
            for (row, limits) in rows.iter().enumerate() {
                let [Some(&low), Some(&high)] = [limits.first(), limits.last()] else { continue };
                let regions: Vec<Vec<WallPoint>> =
                    parts.iter().flat_map(|part| part.between(low, high)).collect();
                if regions.len() > parts.len() || upright > low {
                    by_cell.insert([column, row], regions);
                }
            }
        }
        Self { by_cell }
    }

    /// The regions of a group of cells; `None` if no edge crosses it.
    pub(crate) fn of(&self, group: [usize; 2]) -> Option<&[Vec<WallPoint>]> {
        self.by_cell.get(&group).map(Vec::as_slice)
    }
}

/// A part of a column in which edges run on, and the edges in it from its left to its right side.
struct ColumnPart {
    x: [f64; 2],
    edges: Vec<[f64; 2]>,
}

/// A column of cells, cut at its lines and where edges begin, end or turn; and the height on the wall up to which an
/// upright edge stands in it.
fn column_parts(grid: &ViewGrid, edges: &ViewEdges, lines: &[f64]) -> (f64, Vec<ColumnPart>) {
    let mut stops: Vec<f64> = lines.iter().map(|&x| grid.bearing_deg(x)).collect();
    let (west, east) = (stops[0], stops[stops.len() - 1]);
    let mut upright = f64::NEG_INFINITY;
    for &bearing in edges.bearings_between(west, east) {
        stops.push(bearing);
        if let Some(top) = edges.upright_to_deg(bearing) {
            upright = upright.max(grid.height_m(bearing, top));
        }
    }
    sorting::numbers(&mut stops);
    stops.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    // A column narrower than rounding has no parts, and no light to lose.
    let Some(last) = stops.len().checked_sub(2) else { return (upright, Vec::new()) };
    let parts = stops
        .windows(2)
        .enumerate()
        .map(|(k, pair)| ColumnPart {
            // The grid's own ends include what rounding would lose.
            x: [
                if k == 0 { lines[0] } else { grid.across_m(pair[0]) },
                if k == last { lines[lines.len() - 1] } else { grid.across_m(pair[1]) },
            ],
            edges: edges
                .across(pair[0], pair[1])
                .into_iter()
                .map(|[left, right]| [grid.height_m(pair[0], left), grid.height_m(pair[1], right)])
                .collect(),
        })
        .collect();
    (upright, parts)
}

impl ColumnPart {
    /// The part between two heights, cut along its edges.
    fn between(&self, low: f64, high: f64) -> Vec<Vec<WallPoint>> {
        let [left, right] = self.x;
        let mut regions =
            vec![[[left, low], [right, low], [right, high], [left, high]].map(WallPoint::from).to_vec()];
        let crosses =
            |edge: &&[f64; 2]| edge[0].max(edge[1]) > low + 1e-9 && edge[0].min(edge[1]) < high - 1e-9;
        for edge in self.edges.iter().filter(crosses) {
            let line = [WallPoint::new(left, edge[0]), WallPoint::new(right, edge[1])];
            regions = regions
                .into_iter()
                .flat_map(|region| {
                    let sides =
                        [clip_to_left_of(&region, line), clip_to_left_of(&region, [line[1], line[0]])];
                    sides.into_iter().filter(|side| side.len() >= 3 && signed_area(side) > 1e-12)
                })
                .collect();
        }
        regions
    }
}
