//! The field divided into pieces by a lattice, without offcuts.
//!
//! The field and the cells are convex, so the part of a cell inside the field is one convex piece. A piece too small to
//! cut and lead up is joined with a neighbour by leaving out the stretch of lead between them. The rule is that the
//! two together must be convex as well: then the lead left out ended at the edge or at a lead that runs straight on,
//! no lead ends loose, and no piece has a notch. On the other side of the axis the same is done at the same time.

use crate::convex::hull;
use crate::lattice::{Cell, Family, Lattice};
use crate::offcut::{Offcut, Width};
use crate::ring::Ring;
use plane::{PanelPoint, area_and_centroid, clip_to_convex, perimeter, signed_area};
use std::collections::{BTreeMap, BTreeSet};

/// Parts of cells below this are none, mm². What is left out so must stay far below [`CONVEX_MM2`].
const NO_AREA_MM2: f64 = 1e-5;

/// How much the area of a union may differ from its convex hull's, mm²: rounding.
const CONVEX_MM2: f64 = 1e-3;

/// The part of a lattice line inside the field.
#[derive(Clone, Copy, Debug)]
pub(crate) struct LatticeLine {
    pub(crate) family: Family,
    pub(crate) line: i64,
    /// From the first to the last value of the other coordinate.
    pub(crate) range: [f64; 2],
}

impl LatticeLine {
    /// Numbers of the stretches between crossings that lie at least partly inside, from the crossing before them.
    pub(crate) fn stretches(&self) -> std::ops::RangeInclusive<i64> {
        // A stretch that is nothing but rounding is none.
        let [low, high] = self.range;
        ((low + 1e-9).floor() as i64)..=((high - 1e-9).ceil() as i64 - 1)
    }
}

/// Cells joined to one piece.
#[derive(Clone, Debug)]
struct Group {
    cells: Vec<Cell>,
    shape: Vec<PanelPoint>,
    width: Width,
}

impl Group {
    fn is_offcut(&self) -> bool {
        !self.cells.is_empty() && self.width.is_offcut
    }
}

/// In which order offcuts are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    SmallestFirst,
    LargestFirst,
}

/// The field divided into pieces.
#[derive(Clone)]
pub(crate) struct Division {
    pub(crate) lines: Vec<LatticeLine>,
    groups: Vec<Group>,
    group_of: BTreeMap<Cell, usize>,
}

impl Division {
    /// Divides a field. Offcuts are joined with neighbours where possible: the smallest first, or the largest first if
    /// fewer remain that way.
    pub(crate) fn new(field: &Ring, lattice: &Lattice, offcut: Offcut) -> Self {
        let polygon = field.polygon();
        let lines = lines_inside(field, &polygon, lattice);
        let mut division = Division { groups: Vec::new(), group_of: BTreeMap::new(), lines };
        division.add_cells(&polygon, lattice, &offcut);
        let [first, second] = [Order::SmallestFirst, Order::LargestFirst].map(|order| {
            let mut joined = division.clone();
            joined.join_offcuts(lattice, &offcut, order);
            joined
        });
        if second.offcuts_left() < first.offcuts_left() { second } else { first }
    }

    fn offcuts_left(&self) -> usize {
        self.groups.iter().filter(|group| group.is_offcut()).count()
    }

    /// Whether a lead runs between two cells: `None` if one of them has no part in the field.
    pub(crate) fn are_apart(&self, [a, b]: [Cell; 2]) -> Option<bool> {
        Some(self.group_of.get(&a)? != self.group_of.get(&b)?)
    }

    fn add_cells(&mut self, field: &[PanelPoint], lattice: &Lattice, offcut: &Offcut) {
        let ranges: BTreeMap<(Family, i64), [f64; 2]> =
            self.lines.iter().map(|line| ((line.family, line.line), line.range)).collect();
        let is_inside = |line: i64, [j, k]: [i64; 2]| {
            let range = ranges.get(&(Family::U, line));
            range.is_some_and(|[low, high]| *low <= j as f64 && k as f64 <= *high)
        };
        let mut cells: BTreeSet<Cell> = BTreeSet::new();
        for line in &self.lines {
            cells.extend(line.stretches().flat_map(|at| Lattice::beside(line.family, line.line, at)));
        }
        if cells.is_empty() {
            let middle = area_and_centroid(field).map_or(field[0], |(_, middle)| middle);
            cells.insert(lattice.coordinates(middle).map(|c| c.floor() as i64));
        }
        let whole = Width { radius: lattice.regular_radius(), is_offcut: false };
        for cell @ [i, j] in cells {
            let corners = lattice.corners(cell);
            let group = if is_inside(i, [j, j + 1]) && is_inside(i + 1, [j, j + 1]) {
                // At least the smallest regular piece, which is no offcut.
                Group { cells: vec![cell], shape: corners.to_vec(), width: whole }
            } else {
                let shape = hull(clip_to_convex(field, &corners));
                if signed_area(&shape) < NO_AREA_MM2 {
                    continue;
                }
                Group { cells: vec![cell], width: offcut.width(&shape), shape }
            };
            self.group_of.insert(cell, self.groups.len());
            self.groups.push(group);
        }
    }

    fn join_offcuts(&mut self, lattice: &Lattice, offcut: &Offcut, order: Order) {
        let mut small: BTreeSet<usize> =
            (0..self.groups.len()).filter(|&g| self.groups[g].is_offcut()).collect();
        let sign = if order == Order::SmallestFirst { 1.0 } else { -1.0 };
        let next = |groups: &[Group], small: &BTreeSet<usize>| {
            let rank = |g: usize| sign * groups[g].width.radius;
            small.iter().copied().min_by(|&a, &b| rank(a).total_cmp(&rank(b)))
        };
        while let Some(group) = next(&self.groups, &small) {
            small.remove(&group);
            for joined in self.join(group, lattice, offcut) {
                small.retain(|&g| !self.groups[g].cells.is_empty());
                if self.groups[joined].is_offcut() {
                    small.insert(joined);
                }
            }
        }
    }

    /// Joins a group with the neighbour that suits it best, and its mirror image likewise. Returns the groups made,
    /// none if no neighbour suits.
    fn join(&mut self, group: usize, lattice: &Lattice, offcut: &Offcut) -> Vec<usize> {
        let mut best: Option<(bool, f64, Vec<BTreeSet<usize>>)> = None;
        for neighbour in self.neighbours(group) {
            let own = BTreeSet::from([group, neighbour]);
            let mirrored: BTreeSet<usize> = own.iter().filter_map(|&g| self.mirror_of(g, lattice)).collect();
            let unions = if mirrored.len() < own.len() {
                vec![own]
            } else if own.is_disjoint(&mirrored) {
                vec![own, mirrored]
            } else {
                vec![own.union(&mirrored).copied().collect()]
            };
            let shapes: Option<Vec<Vec<PanelPoint>>> =
                unions.iter().map(|union| self.convex_union(union)).collect();
            let Some(shape) =
                shapes.and_then(|mut shapes| (!shapes.is_empty()).then(|| shapes.swap_remove(0)))
            else {
                continue;
            };
            let enough = !offcut.width(&shape).is_offcut;
            // The edge they share, twice, if there are two.
            let shared = unions[0].iter().map(|&g| perimeter([&self.groups[g].shape])).sum::<f64>()
                - perimeter([&shape]);
            if best.as_ref().is_none_or(|(e, s, _)| (enough, shared) > (*e, *s + 1e-6)) {
                best = Some((enough, shared, unions));
            }
        }
        let Some((.., unions)) = best else { return Vec::new() };
        unions.iter().map(|union| self.unite(union, offcut)).collect()
    }

    fn neighbours(&self, group: usize) -> BTreeSet<usize> {
        let beside = |&[i, j]: &Cell| [[i - 1, j], [i + 1, j], [i, j - 1], [i, j + 1]];
        let cells = self.groups[group].cells.iter().flat_map(beside);
        cells.filter_map(|cell| self.group_of.get(&cell).copied()).filter(|&g| g != group).collect()
    }

    fn mirror_of(&self, group: usize, lattice: &Lattice) -> Option<usize> {
        let cell = self.groups[group].cells.first()?;
        self.group_of.get(&lattice.mirror(*cell)).copied()
    }

    /// The groups as one shape, if that is convex.
    fn convex_union(&self, union: &BTreeSet<usize>) -> Option<Vec<PanelPoint>> {
        let area: f64 = union.iter().map(|&g| signed_area(&self.groups[g].shape)).sum();
        let shape = hull(union.iter().flat_map(|&g| self.groups[g].shape.iter().copied()).collect());
        (signed_area(&shape) - area <= CONVEX_MM2 + 1e-9 * area).then_some(shape)
    }

    /// Makes one group of several: the first of them. The others become empty.
    fn unite(&mut self, union: &BTreeSet<usize>, offcut: &Offcut) -> usize {
        let first = union.iter().next().copied().unwrap_or_default();
        let shape = hull(union.iter().flat_map(|&g| self.groups[g].shape.iter().copied()).collect());
        let mut cells = Vec::new();
        for &g in union {
            cells.append(&mut self.groups[g].cells);
            self.groups[g].shape.clear();
        }
        for cell in &cells {
            self.group_of.insert(*cell, first);
        }
        self.groups[first] = Group { cells, width: offcut.width(&shape), shape };
        first
    }
}

/// All lattice lines that run through the field.
fn lines_inside(field: &Ring, polygon: &[PanelPoint], lattice: &Lattice) -> Vec<LatticeLine> {
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for at in polygon.iter().map(|&p| lattice.coordinates(p)) {
        for axis in 0..2 {
            low[axis] = low[axis].min(at[axis]);
            high[axis] = high[axis].max(at[axis]);
        }
    }
    let mut lines = Vec::new();
    for (axis, family) in [Family::U, Family::V].into_iter().enumerate() {
        // Lines along the edge divide nothing.
        for line in ((low[axis] + 1e-6).ceil() as i64)..=((high[axis] - 1e-6).floor() as i64) {
            let (start, along) = (lattice.on_line(family, line, 0.0), lattice.along(family));
            if let Some(range) = field.stretch(start, along) {
                lines.push(LatticeLine { family, line, range });
            }
        }
    }
    lines
}
