//! The room's surfaces divided into patches, and the exact exchange between them.
//!
//! Two nested meshes: light lands on the fine one, where its first three reflections are followed; further
//! reflections, which are smooth, are exchanged on the coarse one. Every coarse patch contains `SPLIT`² fine ones.

use plane::{RoomPoint, WallPoint, bounds, clip_to_rectangle};

use crate::box_room::{BoxRoom, Surface};
use crate::form_factor::{Rectangle, parallel_corner, perpendicular_corner};
use crate::geometry::area_m2;

/// Fine patches along each side of a coarse one.
const SPLIT: usize = 3;

/// A rectangle of a surface.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Patch {
    pub surface: Surface,
    pub rectangle: Rectangle,
    pub area: f64,
    /// Share of the area that is window opening rather than wall.
    pub open: f64,
}

/// The grid lines of one surface.
#[derive(Clone, Debug)]
struct Grid {
    lines: [Vec<f64>; 2],
    first: usize,
}

/// A meshed room with an opening in its window wall.
#[derive(Clone, Debug)]
pub struct RoomMesh {
    /// The room.
    pub room: BoxRoom,
    grids: Vec<Grid>,
    pub(crate) coarse: Vec<Patch>,
    pub(crate) fine: Vec<Patch>,
    /// The coarse patch in which each fine patch lies.
    pub(crate) parent: Vec<usize>,
    /// Exchange areas of fine patches with each other, m², row by row.
    exchange: Vec<f64>,
}

impl RoomMesh {
    /// Approximate default number of coarse patches.
    pub const COARSE_PATCHES: usize = 130;

    /// Meshes a room whose window wall is opened by `openings` (polygons on the wall, m), with about
    /// `coarse_patches` coarse patches.
    pub fn new(room: BoxRoom, openings: &[Vec<WallPoint>], coarse_patches: usize) -> Self {
        let [w, h, d] = room.size_m;
        let total = 2.0 * (w * h + w * d + h * d);
        let mut step = (total / coarse_patches.max(6) as f64).sqrt();
        // A passage narrower than a step takes more patches than its area requires; no more than half as many
        // again.
        let side = |length: f64, step: f64| (length / step).round().max(1.0);
        let patches = |s: f64| side(w, s) * side(h, s) + side(w, s) * side(d, s) + side(h, s) * side(d, s);
        while 2.0 * patches(step) > 1.5 * coarse_patches.max(6) as f64 {
            step *= 1.1;
        }
        let edges = bounds(openings.iter().flatten());
        let mut grids = Vec::new();
        let (mut coarse, mut fine, mut parent) = (Vec::new(), Vec::new(), Vec::new());
        for surface in Surface::ALL {
            let lines = surface.in_plane_axes().map(|axis| {
                let extra = match (surface, edges) {
                    (Surface::WindowWall, Some([low, high])) => vec![low[axis], high[axis]],
                    _ => Vec::new(),
                };
                grid_lines(room.size_m[axis], step, &extra)
            });
            let fine_lines = [split(&lines[0]), split(&lines[1])];
            let (first_coarse, first) = (coarse.len(), fine.len());
            let columns = lines[1].len() - 1;
            for rectangle in rectangles(&fine_lines) {
                let index = fine.len() - first;
                let per_row = SPLIT * columns;
                parent.push(first_coarse + (index / per_row / SPLIT) * columns + (index % per_row) / SPLIT);
                let open = if surface == Surface::WindowWall { open_share(openings, rectangle) } else { 0.0 };
                fine.push(Patch { surface, rectangle, area: rectangle.area(), open });
            }
            for rectangle in rectangles(&lines) {
                let open = if surface == Surface::WindowWall { open_share(openings, rectangle) } else { 0.0 };
                coarse.push(Patch { surface, rectangle, area: rectangle.area(), open });
            }
            grids.push(Grid { lines: fine_lines, first });
        }
        let mut mesh = Self { room, grids, coarse, fine, parent, exchange: Vec::new() };
        mesh.fill_exchange();
        mesh
    }

    /// Exchange areas of one fine patch with every fine patch, m².
    pub(crate) fn exchange_row(&self, fine: usize) -> &[f64] {
        let n = self.fine.len();
        &self.exchange[fine * n..(fine + 1) * n]
    }

    /// The fine patch that holds a point of a surface.
    pub(crate) fn fine_at(&self, surface: Surface, point: RoomPoint) -> usize {
        let grid = &self.grids[surface.index()];
        let [a, b] = surface.in_plane_axes();
        let cell = |lines: &[f64], x: f64| lines.partition_point(|&l| l <= x).clamp(1, lines.len() - 1) - 1;
        let (i, j) = (cell(&grid.lines[0], point[a]), cell(&grid.lines[1], point[b]));
        grid.first + i * (grid.lines[1].len() - 1) + j
    }

    /// Corners of a fine patch in the room.
    pub(crate) fn corners(&self, fine: usize) -> [RoomPoint; 4] {
        let Patch { surface, rectangle: Rectangle { u, v }, .. } = self.fine[fine];
        [(0, 0), (1, 0), (1, 1), (0, 1)].map(|(i, j)| self.room.point_on(surface, u[i], v[j]))
    }

    fn fill_exchange(&mut self) {
        let mut exchange = vec![0.0; self.fine.len() * self.fine.len()];
        for (i, one) in Surface::ALL.into_iter().enumerate() {
            for other in Surface::ALL.into_iter().skip(i + 1) {
                self.exchange_between(one, other, &mut exchange);
            }
        }
        self.exchange = exchange;
    }

    /// Fills the block of one pair of surfaces. The corner function of the closed form depends only on pairs of
    /// grid lines, so it is evaluated once per pair of line pairs and differenced.
    fn exchange_between(&self, one: Surface, other: Surface, exchange: &mut [f64]) {
        let (from, to) = (&self.grids[one.index()], &self.grids[other.index()]);
        // Axis 0 of each side is paired across; axis 1 runs along. For parallel surfaces both are offsets.
        let (table, order_one, order_other);
        let (lines_one, lines_other);
        if one.axis() == other.axis() {
            let gap = self.room.size_m[one.axis()];
            (order_one, order_other) = ([0, 1], [0, 1]);
            lines_one = from.lines.clone();
            lines_other = to.lines.clone();
            table =
                CornerTable::new(&lines_one, &lines_other, |u1, u2, dv| parallel_corner(u1 - u2, dv, gap));
        } else {
            // The common edge runs along the axis normal to neither surface.
            let along = 3 - one.axis() - other.axis();
            let position = |s: Surface| usize::from(s.in_plane_axes()[1] == along);
            let pick = |grid: &[Vec<f64>; 2], s: Surface, facing: Surface| {
                let k = position(s);
                // Distance from the common edge, which may be at the far end.
                let offset = self.room.offset(facing);
                let away = grid[1 - k].iter().map(|x| (x - offset).abs()).collect::<Vec<_>>();
                [away, grid[k].clone()]
            };
            order_one = [1 - position(one), position(one)];
            order_other = [1 - position(other), position(other)];
            lines_one = pick(&from.lines, one, other);
            lines_other = pick(&to.lines, other, one);
            table = CornerTable::new(&lines_one, &lines_other, perpendicular_corner);
        }
        let n = self.fine.len();
        let (rows, columns) = (from.lines[1].len() - 1, to.lines[1].len() - 1);
        for i in 0..lines_one[0].len() - 1 {
            for j in 0..lines_one[1].len() - 1 {
                let a = order_index(order_one, i, j, rows) + from.first;
                for k in 0..lines_other[0].len() - 1 {
                    for l in 0..lines_other[1].len() - 1 {
                        let b = order_index(order_other, k, l, columns) + to.first;
                        let area = table.difference(i, k, j, l).max(0.0);
                        exchange[a * n + b] = area;
                        exchange[b * n + a] = area;
                    }
                }
            }
        }
    }
}

/// Index of the patch (i on the first axis of the closed form, j on the second) in its surface's own order.
fn order_index(order: [usize; 2], i: usize, j: usize, per_row: usize) -> usize {
    if order[0] == 0 { i * per_row + j } else { j * per_row + i }
}

/// A corner function at every (line across, other's line across, line along, other's line along).
struct CornerTable {
    values: Vec<f64>,
    shape: [usize; 4],
    flip: f64,
}

impl CornerTable {
    fn new(one: &[Vec<f64>; 2], other: &[Vec<f64>; 2], corner: impl Fn(f64, f64, f64) -> f64) -> Self {
        let shape = [one[0].len(), other[0].len(), one[1].len(), other[1].len()];
        let mut values = Vec::with_capacity(shape.iter().product());
        for &u1 in &one[0] {
            for &u2 in &other[0] {
                for &v1 in &one[1] {
                    for &v2 in &other[1] {
                        values.push(corner(u1, u2, v1 - v2));
                    }
                }
            }
        }
        // Distances from a far edge run backwards and flip the sign of the difference.
        let backwards = |lines: &[f64]| lines.first() > lines.last();
        let flip = if backwards(&one[0]) != backwards(&other[0]) { -1.0 } else { 1.0 };
        Self { values, shape, flip }
    }

    /// The difference over the cells `i` of the one and `k` of the other across, `j` and `l` along.
    fn difference(&self, i: usize, k: usize, j: usize, l: usize) -> f64 {
        let at = |u1: usize, u2: usize, v1: usize, v2: usize| {
            self.values[((u1 * self.shape[1] + u2) * self.shape[2] + v1) * self.shape[3] + v2]
        };
        let along = |u1: usize, u2: usize| {
            at(u1, u2, j, l) - at(u1, u2, j + 1, l) - at(u1, u2, j, l + 1) + at(u1, u2, j + 1, l + 1)
        };
        self.flip * (along(i, k) - along(i + 1, k) - along(i, k + 1) + along(i + 1, k + 1))
    }
}

/// Lines over 0…length about `step` apart, including the given extra lines.
fn grid_lines(length: f64, step: f64, extra: &[f64]) -> Vec<f64> {
    let mut stops = vec![0.0, length];
    stops.extend(extra.iter().copied().filter(|&x| x > 1e-6 && x < length - 1e-6));
    sorting::numbers(&mut stops);
    stops.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let mut lines = vec![0.0];
    for pair in stops.windows(2) {
        let n = ((pair[1] - pair[0]) / step).round().max(1.0) as usize;
        lines.extend((1..=n).map(|k| pair[0] + (pair[1] - pair[0]) * k as f64 / n as f64));
    }
    lines
}

fn split(lines: &[f64]) -> Vec<f64> {
    let mut fine = vec![lines[0]];
    for pair in lines.windows(2) {
        fine.extend((1..=SPLIT).map(|k| pair[0] + (pair[1] - pair[0]) * k as f64 / SPLIT as f64));
    }
    fine
}

fn rectangles(lines: &[Vec<f64>; 2]) -> impl Iterator<Item = Rectangle> {
    lines[0]
        .windows(2)
        .flat_map(|u| lines[1].windows(2).map(move |v| Rectangle { u: [u[0], u[1]], v: [v[0], v[1]] }))
}

fn open_share(openings: &[Vec<WallPoint>], cell: Rectangle) -> f64 {
    let open: f64 = openings.iter().map(|p| area_m2(&clip_to_rectangle(p, cell.u, cell.v))).sum();
    (open / cell.area()).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::form_factor::{parallel_exchange, perpendicular_exchange};

    fn mesh() -> RoomMesh {
        let opening = [[1.1, 1.0], [2.9, 1.0], [2.9, 2.6], [1.1, 2.6]].map(WallPoint::from).to_vec();
        RoomMesh::new(BoxRoom { size_m: [4.0, 3.0, 6.0] }, &[opening], 30)
    }

    // Tolerance 1e-10: differences of corner functions of order one lose at most six of sixteen digits.
    #[test]
    fn every_fine_patch_sees_the_whole_room() {
        let mesh = mesh();
        for (i, patch) in mesh.fine.iter().enumerate() {
            let sum: f64 = mesh.exchange_row(i).iter().sum();
            assert!((sum / patch.area - 1.0).abs() < 1e-10, "{patch:?}: {sum}");
        }
    }

    #[test]
    fn exchange_agrees_with_the_closed_forms() {
        let mesh = mesh();
        let (mut parallel, mut perpendicular) = (0, 0);
        for (i, a) in mesh.fine.iter().enumerate() {
            for (j, b) in mesh.fine.iter().enumerate() {
                let got = mesh.exchange_row(i)[j];
                let want = match (a.surface, b.surface) {
                    (Surface::Floor, Surface::Ceiling) => {
                        parallel += 1;
                        parallel_exchange(a.rectangle, b.rectangle, 3.0)
                    }
                    // Floor (x, z) against the right wall (y, z): common edge at x = 4, along z.
                    (Surface::Floor, Surface::RightWall) => {
                        perpendicular += 1;
                        let Rectangle { u: [x0, x1], v } = a.rectangle;
                        perpendicular_exchange(Rectangle { u: [4.0 - x1, 4.0 - x0], v }, b.rectangle)
                    }
                    _ => continue,
                };
                assert!((got - want).abs() < 1e-12, "{a:?} {b:?}");
            }
        }
        assert!(parallel > 0 && perpendicular > 0);
    }

    // Memory grows with the square of the number of patches.
    #[test]
    fn a_room_of_any_shape_has_about_the_requested_patches() {
        for size_m in
            [[4.0, 3.0, 6.0], [0.5, 0.5, 300.0], [200.0, 0.5, 0.5], [0.01, 1e4, 0.01], [1.0, 1.0, 1.0]]
        {
            let count = RoomMesh::new(BoxRoom { size_m }, &[], 30).coarse.len();
            assert!((6..=45).contains(&count), "{size_m:?}: {count}");
        }
    }

    #[test]
    fn the_opening_is_cut_out_of_its_wall() {
        let mesh = mesh();
        let open: f64 = mesh.fine.iter().map(|p| p.open * p.area).sum();
        assert!((open - 1.8 * 1.6).abs() < 1e-12);
        for (i, patch) in mesh.fine.iter().enumerate() {
            let parent = mesh.coarse[mesh.parent[i]];
            let middle = |r: Rectangle| [0.5 * (r.u[0] + r.u[1]), 0.5 * (r.v[0] + r.v[1])];
            let m = middle(patch.rectangle);
            assert_eq!(parent.surface, patch.surface);
            assert!(parent.rectangle.u[0] < m[0] && m[0] < parent.rectangle.u[1]);
            assert!(parent.rectangle.v[0] < m[1] && m[1] < parent.rectangle.v[1]);
            assert_eq!(mesh.fine_at(patch.surface, mesh.room.point_on(patch.surface, m[0], m[1])), i);
        }
    }
}
