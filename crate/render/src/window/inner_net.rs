//! The sides of an inner reveal as a net of small quads: its shape, and its triangles.
//!
//! The net lies in the space before the panel, mm, and does not depend on the eye: vertices carry their
//! distance from the glass, and the pass that draws them finds where on the panel the eye sees them. Sides
//! whose back is toward the eye are left out there. The nearest rows come last, so that they hide what lies
//! behind them.

use plane::{PanelPoint, PanelSpacePoint, PanelSpaceVector, PanelVector, mitres};

use crate::shared::constants::MATERIAL_INNER;
use crate::window::outline::{MITRE_LIMIT, single};
use crate::window::vertex::{Mesh, SolidVertex};

/// Longest side of a quad, mm: finer than most pieces, so that the sun throws their colours.
const STEP_MM: f64 = 22.0;
/// Number of quads beyond which they are larger.
const MOST_QUADS: f64 = 5000.0;
/// Fewest rows from the glass to the room.
const FEWEST_ROWS: usize = 8;
/// The net is smooth around a corner that turns by less than this, degrees.
const SMOOTH_DEG: f64 = 30.0;

/// The sides of an inner reveal.
#[derive(Clone, Debug, PartialEq)]
pub struct InnerNet {
    /// From the glass to the inner wall face, mm.
    pub(crate) depth_mm: f64,
    /// The ring in the inner wall face, anticlockwise.
    pub(crate) ring: Vec<PanelPoint>,
    pub(crate) sides: Vec<NetSide>,
    /// Quads from the glass to the room.
    pub(crate) rows: usize,
    /// Columns of nodes; node `column · (rows + 1) + row`, row 0 at the glass.
    pub(crate) columns: usize,
}

/// One side: a flat quad that stands on an edge of the outline.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct NetSide {
    /// Ends of the edge at the glass, anticlockwise, and in the inner wall face.
    pub(crate) far: [PanelPoint; 2],
    pub(crate) near: [PanelPoint; 2],
    /// Unit vector into the opening.
    pub(crate) normal: PanelSpaceVector,
    /// Column of nodes at each of its steps along the edge.
    pub(crate) columns: Vec<usize>,
    /// Whether the side before it goes on smoothly.
    pub(crate) smooth: bool,
}

impl InnerNet {
    /// Between the outline at the glass and the ring in the inner wall face, both anticlockwise with as many corners.
    pub(crate) fn new(far: &[PanelPoint], near: Vec<PanelPoint>, depth_mm: f64) -> Self {
        let n = far.len();
        let length = |i: usize| (near[(i + 1) % n] - near[i]).length();
        let slant = (0..n).map(|i| (near[i] - far[i]).length().hypot(depth_mm)).fold(depth_mm, f64::max);
        let area: f64 = (0..n).map(length).sum::<f64>() * slant;
        let step = STEP_MM.max((area / MOST_QUADS).sqrt());
        let rows = ((slant / step).ceil() as usize).max(FEWEST_ROWS);
        let turn = |i: usize| {
            let (a, b) = (near[i] - near[(i + n - 1) % n], near[(i + 1) % n] - near[i]);
            a.cross(b).atan2(a.dot(b)).abs().to_degrees()
        };
        let mut sides: Vec<NetSide> = Vec::with_capacity(n);
        let mut columns = 0;
        for i in 0..n {
            let smooth = turn(i) < SMOOTH_DEG;
            let before = sides.last().and_then(|side| side.columns.last().copied());
            let steps = ((length(i) / step).ceil() as usize).max(1);
            let mut own = Vec::with_capacity(steps + 1);
            own.push(before.filter(|_| smooth).unwrap_or_else(|| take(&mut columns)));
            own.extend((1..=steps).map(|_| take(&mut columns)));
            let (far, near) = ([far[i], far[(i + 1) % n]], [near[i], near[(i + 1) % n]]);
            sides.push(NetSide { normal: normal(far, near, depth_mm), far, near, columns: own, smooth });
        }
        // The last side joins the first.
        if let (true, Some(last)) = (n > 0 && turn(0) < SMOOTH_DEG, sides.last().map(|s| s.columns.len() - 1))
        {
            let first = sides[0].columns[0];
            sides[n - 1].columns[last] = first;
            columns -= 1;
        }
        Self { depth_mm, ring: near, sides, rows, columns }
    }

    pub(crate) fn nodes(&self) -> usize {
        self.columns * (self.rows + 1)
    }

    /// Number of quads around each node.
    pub(crate) fn quads_around(&self) -> Vec<f64> {
        let mut quads = vec![0.0; self.nodes()];
        for pair in self.sides.iter().flat_map(|side| side.columns.windows(2)) {
            for (column, row) in pair.iter().flat_map(|column| (0..self.rows).map(move |row| (*column, row)))
            {
                quads[self.node(column, row)] += 1.0;
                quads[self.node(column, row + 1)] += 1.0;
            }
        }
        quads
    }

    pub(crate) fn node(&self, column: usize, row: usize) -> usize {
        column * (self.rows + 1) + row
    }
}

impl NetSide {
    /// Number of quads along the edge.
    pub(crate) fn steps(&self) -> usize {
        self.columns.len() - 1
    }

    /// A point of the side: shares along the edge and from the glass to the room.
    pub(crate) fn at(&self, along: f64, deep: f64, depth_mm: f64) -> PanelSpacePoint {
        let far = self.far[0] + (self.far[1] - self.far[0]) * along;
        let near = self.near[0] + (self.near[1] - self.near[0]) * along;
        let point = far + (near - far) * deep;
        PanelSpacePoint::new(point.x(), point.y(), deep * depth_mm)
    }
}

fn take(next: &mut usize) -> usize {
    *next += 1;
    *next - 1
}

fn normal(far: [PanelPoint; 2], near: [PanelPoint; 2], depth_mm: f64) -> PanelSpaceVector {
    let at = |p: PanelPoint, z: f64| PanelSpacePoint::new(p.x(), p.y(), z);
    let one = at(near[1], depth_mm) - at(far[0], 0.0);
    let other = at(near[0], depth_mm) - at(far[1], 0.0);
    -one.cross(other).unit()
}

/// Adds the triangles of a net: row by row from the glass, with a fringe along the glass.
pub(crate) fn net_mesh(net: &InnerNet, mesh: &mut Mesh<SolidVertex>) {
    let far: Vec<PanelPoint> = net.sides.iter().map(|side| side.far[0]).collect();
    let [far, near] = [&far, &net.ring].map(|ring| mitres(ring, true, MITRE_LIMIT));
    let n = net.sides.len();
    let mut first = Vec::with_capacity(n);
    for (i, side) in net.sides.iter().enumerate() {
        first.push(mesh.vertices.len() as u32);
        let steps = side.steps();
        let [nx, ny, nz] = side.normal.to_array();
        let origin = side.at(0.0, 0.0, net.depth_mm);
        let offset = nx * origin[0] + ny * origin[1] + nz * origin[2];
        let left = PanelVector::new(nx, ny);
        let left = left * (1.0 / left.length().max(1e-9));
        let inward = |mitres: &[PanelVector], k: usize| match k {
            0 => mitres[i],
            k if k == steps => mitres[(i + 1) % n],
            _ => left,
        };
        // The fringe's row first: at the glass, just inside the opening.
        let fringes = std::iter::once((0, true)).chain((0..=net.rows).map(|row| (row, false)));
        for (row, is_fringe) in fringes {
            for (k, &column) in side.columns.iter().enumerate() {
                let at = side.at(k as f64 / steps as f64, row as f64 / net.rows as f64, net.depth_mm);
                let fringe = match row {
                    0 if is_fringe => inward(&far, k) * 0.5,
                    0 => inward(&far, k) * -0.5,
                    // Under the soft edge of the wall.
                    row if row == net.rows => inward(&near, k) * -1.0,
                    _ => PanelVector::default(),
                };
                mesh.vertices.push(SolidVertex {
                    position: [at[0] as f32, at[1] as f32],
                    fringe: single(fringe.vector()),
                    coverage: if is_fringe { 0.0 } else { 1.0 },
                    across: offset as f32,
                    left: [nx as f32, ny as f32],
                    half_mm: nz as f32,
                    material: MATERIAL_INNER,
                    depth_mm: at[2] as f32,
                    node: net.node(column, row) as u32,
                });
            }
        }
    }
    for row in 0..=net.rows as u32 {
        for (side, first) in net.sides.iter().zip(&first) {
            let across = side.columns.len() as u32;
            for k in 0..across - 1 {
                let (a, b) = (first + row * across + k, first + (row + 1) * across + k);
                mesh.indices.extend([a, a + 1, b, b, a + 1, b + 1]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn corners_crease_curves_do_not_and_normals_point_inward() {
        let square = [[0.0, 0.0], [400.0, 0.0], [400.0, 900.0], [0.0, 900.0]].map(PanelPoint::from);
        let net = InnerNet::new(&square, square.to_vec(), 300.0);
        assert_eq!(net.columns, net.sides.iter().map(|s| s.columns.len()).sum::<usize>());
        for side in &net.sides {
            let away = side.at(0.5, 0.5, 300.0) - PanelSpacePoint::new(200.0, 450.0, 150.0);
            assert!(side.normal.dot(away) < 0.0);
        }
        let circle: Vec<PanelPoint> = (0..24)
            .map(|k| (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos())
            .map(|(sin, cos)| PanelPoint::new(300.0 * cos, 300.0 * sin))
            .collect();
        let net = InnerNet::new(&circle, circle.clone(), 300.0);
        assert_eq!(net.columns, net.sides.iter().map(NetSide::steps).sum::<usize>());
        let mut mesh = Mesh::default();
        net_mesh(&net, &mut mesh);
        let vertices = mesh.vertices.len() as u32;
        assert!(mesh.indices.iter().all(|k| *k < vertices));
        assert!(mesh.vertices.iter().all(|v| (v.node as usize) < net.nodes()));
    }
}
