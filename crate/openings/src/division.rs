//! The field divided into pieces by a lattice, without offcuts.
//!
//! The field and the cells are convex, so the part of a cell inside the field is one convex piece. A piece too small to
//! cut and lead up is joined with a neighbour by leaving out the stretch of lead between them. The rule is that the
//! two together must be convex as well: then the lead left out ended at the edge or at a lead that runs straight on,
//! no lead ends loose, and no piece has a notch. On the other side of the axis the same is done at the same time.

use crate::convex::{hull, inscribed_radius};
use crate::lattice::{Cell, Family, Lattice};
use crate::ring::Ring;
use plane::{
    PanelPoint, area_and_centroid, clip_to_convex, contains, distance_to_edge, perimeter, signed_area,
};
use std::collections::{BTreeMap, BTreeSet};

/// Parts of cells below this are none, mm².
const NO_AREA_MM2: f64 = 0.01;

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
    /// Radius of a circle that fits: the largest, or the first found that is large enough.
    radius: f64,
}

/// The field divided into pieces.
pub(crate) struct Division {
    pub(crate) lines: Vec<LatticeLine>,
    groups: Vec<Group>,
    group_of: BTreeMap<Cell, usize>,
}

/// The smallest piece of a division.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Smallest {
    pub(crate) at: PanelPoint,
    pub(crate) radius: f64,
}

impl Division {
    /// Divides a field. Pieces in which no circle of `least_radius` fits are joined with neighbours where possible.
    pub(crate) fn new(field: &Ring, lattice: &Lattice, least_radius: f64) -> Self {
        let polygon = field.polygon();
        let lines = lines_inside(field, &polygon, lattice);
        let mut division = Division { groups: Vec::new(), group_of: BTreeMap::new(), lines };
        division.add_cells(&polygon, lattice, least_radius);
        division.join_offcuts(lattice, least_radius);
        division
    }

    /// Whether a lead runs between two cells: `None` if one of them has no part in the field.
    pub(crate) fn are_apart(&self, [a, b]: [Cell; 2]) -> Option<bool> {
        Some(self.group_of.get(&a)? != self.group_of.get(&b)?)
    }

    pub(crate) fn smallest(&self) -> Option<Smallest> {
        let smallest = self
            .groups
            .iter()
            .filter(|group| !group.cells.is_empty())
            .min_by(|a, b| a.radius.total_cmp(&b.radius))?;
        let at = area_and_centroid(&smallest.shape).map_or(smallest.shape[0], |(_, middle)| middle);
        Some(Smallest { at, radius: smallest.radius })
    }

    fn add_cells(&mut self, field: &[PanelPoint], lattice: &Lattice, least_radius: f64) {
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
        let regular = lattice.regular_radius();
        for cell @ [i, j] in cells {
            let corners = lattice.corners(cell);
            let group = if is_inside(i, [j, j + 1]) && is_inside(i + 1, [j, j + 1]) {
                // No less than half of it, which is large enough.
                Group { cells: vec![cell], shape: corners.to_vec(), radius: regular }
            } else {
                let shape = hull(clip_to_convex(field, &corners));
                if signed_area(&shape) < NO_AREA_MM2 {
                    continue;
                }
                let radius = radius_up_to(&shape, least_radius);
                Group { cells: vec![cell], shape, radius }
            };
            self.group_of.insert(cell, self.groups.len());
            self.groups.push(group);
        }
    }

    fn join_offcuts(&mut self, lattice: &Lattice, least_radius: f64) {
        let is_small = |group: &Group| !group.cells.is_empty() && group.radius < least_radius;
        let mut small: BTreeSet<usize> =
            (0..self.groups.len()).filter(|&g| is_small(&self.groups[g])).collect();
        while let Some(&offcut) =
            small.iter().min_by(|&&a, &&b| self.groups[a].radius.total_cmp(&self.groups[b].radius))
        {
            small.remove(&offcut);
            for joined in self.join(offcut, lattice, least_radius) {
                small.retain(|&g| !self.groups[g].cells.is_empty());
                if is_small(&self.groups[joined]) {
                    small.insert(joined);
                }
            }
        }
    }

    /// Joins a group with the neighbour that suits it best, and its mirror image likewise. Returns the groups made,
    /// none if no neighbour suits.
    fn join(&mut self, offcut: usize, lattice: &Lattice, least_radius: f64) -> Vec<usize> {
        let mut best: Option<(bool, f64, Vec<BTreeSet<usize>>)> = None;
        for neighbour in self.neighbours(offcut) {
            let own = BTreeSet::from([offcut, neighbour]);
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
            let enough = radius_up_to(&shape, least_radius) >= least_radius;
            // The edge they share, twice, if there are two.
            let shared = unions[0].iter().map(|&g| perimeter([&self.groups[g].shape])).sum::<f64>()
                - perimeter([&shape]);
            if best.as_ref().is_none_or(|(e, s, _)| (enough, shared) > (*e, *s + 1e-6)) {
                best = Some((enough, shared, unions));
            }
        }
        let Some((.., unions)) = best else { return Vec::new() };
        unions.iter().map(|union| self.unite(union, least_radius)).collect()
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
    fn unite(&mut self, union: &BTreeSet<usize>, least_radius: f64) -> usize {
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
        self.groups[first] = Group { cells, radius: radius_up_to(&shape, least_radius), shape };
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

/// The radius of the largest circle in a convex polygon; or of any that fits and is large enough.
fn radius_up_to(polygon: &[PanelPoint], enough: f64) -> f64 {
    if let Some((_, middle)) = area_and_centroid(polygon)
        && contains([polygon], middle)
    {
        let radius = distance_to_edge([polygon], middle);
        if radius >= enough {
            return radius;
        }
    }
    inscribed_radius(polygon)
}
