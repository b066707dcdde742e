//! A lattice of equal cells, symmetrical about an upright axis.

use plane::{PanelPoint, PanelVector};

/// A cell between the lattice lines u = i, u = i + 1, v = j and v = j + 1.
pub(crate) type Cell = [i64; 2];

/// Points origin + u · e_u + v · e_v; the lines of the lattice are those where u or v is a whole number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Lattice {
    pub(crate) origin: PanelPoint,
    pub(crate) steps: [PanelVector; 2],
    kind: Kind,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    Rectangles { columns: i64 },
    Quarries { across: i64 },
}

/// One of the two families of parallel lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Family {
    /// u is the same all along.
    U,
    /// v is the same all along.
    V,
}

impl Family {
    pub(crate) fn other(self) -> Self {
        match self {
            Family::U => Family::V,
            Family::V => Family::U,
        }
    }
}

impl Lattice {
    /// Upright rectangles in a box from its lower left corner; `columns` of them fill its width.
    pub(crate) fn rectangles(low: PanelPoint, pane: [f64; 2], columns: u32) -> Self {
        let steps = [PanelVector::new(pane[0], 0.0), PanelVector::new(0.0, pane[1])];
        Lattice { origin: low, steps, kind: Kind::Rectangles { columns: i64::from(columns) } }
    }

    /// Diamonds with these diagonals (width, height), points on the box's lower left corner and all along its edges;
    /// `across` of them fill its width.
    pub(crate) fn quarries(low: PanelPoint, [width, height]: [f64; 2], across: u32) -> Self {
        let steps = [PanelVector::new(width, height) * 0.5, PanelVector::new(-width, height) * 0.5];
        Lattice { origin: low, steps, kind: Kind::Quarries { across: i64::from(across) } }
    }

    /// The point with coordinates u and v.
    pub(crate) fn at(&self, u: f64, v: f64) -> PanelPoint {
        self.origin + self.steps[0] * u + self.steps[1] * v
    }

    /// The point of a line with the other coordinate.
    pub(crate) fn on_line(&self, family: Family, line: i64, other: f64) -> PanelPoint {
        match family {
            Family::U => self.at(line as f64, other),
            Family::V => self.at(other, line as f64),
        }
    }

    /// The direction in which the other coordinate grows by 1.
    pub(crate) fn along(&self, family: Family) -> PanelVector {
        match family {
            Family::U => self.steps[1],
            Family::V => self.steps[0],
        }
    }

    /// The cells on both sides of a line between two neighbouring crossings, the first of which has this number.
    pub(crate) fn beside(family: Family, line: i64, crossing: i64) -> [Cell; 2] {
        match family {
            Family::U => [[line - 1, crossing], [line, crossing]],
            Family::V => [[crossing, line - 1], [crossing, line]],
        }
    }

    /// A cell's corners, anticlockwise.
    pub(crate) fn corners(&self, [i, j]: Cell) -> [PanelPoint; 4] {
        let at = |di: i64, dj: i64| self.at((i + di) as f64, (j + dj) as f64);
        [at(0, 0), at(1, 0), at(1, 1), at(0, 1)]
    }

    /// Area of a whole cell, mm².
    pub(crate) fn cell_area(&self) -> f64 {
        self.steps[0].cross(self.steps[1])
    }

    /// Coordinates of a point.
    pub(crate) fn coordinates(&self, p: PanelPoint) -> [f64; 2] {
        let from = p - self.origin;
        [from.cross(self.steps[1]) / self.cell_area(), self.steps[0].cross(from) / self.cell_area()]
    }

    /// The cell on the other side of the axis.
    pub(crate) fn mirror(&self, [i, j]: Cell) -> Cell {
        match self.kind {
            Kind::Rectangles { columns } => [columns - 1 - i, j],
            Kind::Quarries { across } => [j + across, i - across],
        }
    }

    /// Radius of the largest circle in the smallest regular piece, mm: a whole rectangle, or half a quarry at an edge.
    ///
    /// A triangle's inscribed circle has the radius 2 · area / perimeter.
    pub(crate) fn regular_radius(&self) -> f64 {
        let [e, f] = self.steps;
        match self.kind {
            Kind::Rectangles { .. } => e.length().min(f.length()) / 2.0,
            Kind::Quarries { .. } => {
                let base = (e + f).length().max((e + -f).length());
                self.cell_area() / (base + 2.0 * e.length())
            }
        }
    }

    /// Width and height of a whole pane, mm; of a quarry its diagonals.
    pub(crate) fn pane(&self) -> [f64; 2] {
        let [e, f] = self.steps;
        match self.kind {
            Kind::Rectangles { .. } => [e[0], f[1]],
            Kind::Quarries { .. } => [(e + -f)[0], (e + f)[1]],
        }
    }

    /// Height of one row of crossings above the last, mm.
    pub(crate) fn row_height(&self) -> f64 {
        self.steps[1][1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mirrored_cells_have_mirrored_middles() {
        let low = PanelPoint::new(20.0, 10.0);
        let middle = |lattice: &Lattice, [i, j]: Cell| lattice.at(i as f64 + 0.5, j as f64 + 0.5);
        for (lattice, width) in [
            (Lattice::rectangles(low, [100.0, 70.0], 3), 300.0),
            (Lattice::quarries(low, [80.0, 120.0], 4), 320.0),
        ] {
            for cell in [[0, 0], [2, 1], [5, -3]] {
                let (a, b) = (middle(&lattice, cell), middle(&lattice, lattice.mirror(cell)));
                assert!((a[0] + b[0] - 40.0 - width).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9);
                assert_eq!(lattice.mirror(lattice.mirror(cell)), cell);
            }
        }
    }

    #[test]
    fn coordinates_lead_back() {
        let lattice = Lattice::quarries(PanelPoint::new(7.0, 9.0), [80.0, 120.0], 4);
        let [u, v] = lattice.coordinates(lattice.at(3.25, -1.5));
        assert!((u - 3.25).abs() < 1e-12 && (v + 1.5).abs() < 1e-12);
    }

    #[test]
    fn half_a_quarry_is_the_smallest_regular_piece() {
        // Diagonals 60 and 80, sides 50: the half on the longer diagonal has sides 80, 50, 50 and area 1200.
        let lattice = Lattice::quarries(PanelPoint::default(), [60.0, 80.0], 1);
        assert!((lattice.regular_radius() - 2.0 * 1200.0 / 180.0).abs() < 1e-9);
    }
}
