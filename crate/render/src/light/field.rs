//! What is seen through each point of the panel, by direction.

use plane::{PanelPoint, PanelSpacePoint, PanelSpaceVector};

use crate::shared::constants::FIELD_WIDTH;
use crate::shared::layout::Layout as _;
use crate::shared::records::FieldNode;
use crate::window::region::Bounds;

/// Maximum number of sky spectra.
pub const SKY_COLUMNS: usize = 5;

/// Where the picture is seen from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// z away from the glass into the room.
    pub position_mm: PanelSpacePoint,
}

impl Eye {
    /// Unit vector from the eye through a point of the panel to the world outside: x right, y up, z into the room
    /// (so z is negative).
    pub fn direction_through(&self, point: PanelPoint) -> PanelSpaceVector {
        let [x, y, z] = self.position_mm.to_array();
        PanelSpaceVector::new(point[0] - x, point[1] - y, -z.max(1.0)).unit()
    }

    /// Angle of incidence at a point of the panel, degrees.
    pub fn incidence_deg(&self, point: PanelPoint) -> f64 {
        (-self.direction_through(point)[2]).clamp(0.0, 1.0).acos().to_degrees()
    }
}

/// What is seen in one direction: weights of the sky spectra for up to three layers above the ground, such as sky,
/// trees in front of it, and a wall. Each layer has weights everywhere, even where another hides it, so that its
/// colour varies smoothly up to a sharp edge.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seen {
    /// Above the upper edge, between the edges, and below the lower one.
    pub weights: [[f32; SKY_COLUMNS]; 3],
}

/// What is seen through each point of the panel from one eye: [`Seen`] on a grid, and the edges between its layers,
/// column by column and much finer. The panel is upright, so a column has one bearing.
#[derive(Clone, Debug, PartialEq)]
pub struct DirectionField {
    /// The corners of the grid lie on these bounds.
    pub bounds: Bounds,
    /// Panel x of the nodes, ascending; closer together where the view changes abruptly from one bearing to the
    /// next.
    pub columns: Vec<f64>,
    /// Nodes along y, evenly.
    pub rows: usize,
    /// Row by row, the lowest first.
    pub nodes: Vec<Seen>,
    /// From left to right, evenly spaced over the bounds.
    pub bearings: Vec<Bearing>,
}

/// What is seen at a bearing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bearing {
    /// Tangents of the altitudes of the upper and the lower edge; 0 if there is none. Below the horizontal is the
    /// ground.
    pub edges: [f32; 2],
    /// Fractional index of its column: 0 the first, 1 the second, 0.5 half way between them.
    pub column: f32,
    /// The nearest place where everything changes at once, as a fractional index of bearings: 0 the first, 1 the
    /// second; negative if there is none.
    pub jump: f32,
    /// How much higher the outlines run than these edges: tangents, zero on average over bearings.
    pub detail: [f32; 2],
    /// Share of gaps in leaves seen between the edges; negative for leaves below the lower edge; 0 without leaves.
    pub leaves: f32,
}

/// The edges at a bearing, as [`DirectionField::new`] takes them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SeenEdges {
    /// Altitudes of the upper and the lower edge, degrees.
    pub altitude_deg: [f64; 2],
    /// How much higher their outlines run here, degrees.
    pub detail_deg: [f64; 2],
    /// See [`Bearing::leaves`].
    pub leaves: f64,
}

impl DirectionField {
    /// Maximum width of a cell as seen from the eye, where the limits on nodes allow it, degrees.
    const CELL_DEG: f64 = 0.6;
    /// Steepest edge, degrees.
    const STEEPEST_DEG: f64 = 89.5;
    /// Half the distance between the two columns at an upright edge, mm.
    const BREAK_MM: f64 = 0.02;

    /// Bounds of a field: the panel's and a little beyond.
    pub(crate) fn bounds_around(panel: Bounds) -> Bounds {
        let [width, height] = panel.size();
        panel.grown((0.04 * width.max(height)).max(1.0))
    }

    /// Samples directions through the panel and a little beyond it on every side, all unit vectors in the panel's
    /// frame. `seen`: the layers in a direction. `edges`: those in a horizontal direction. `breaks_deg`: bearings
    /// at which the layers change their meaning, such as the end of a wood, in degrees to the right of the panel's
    /// outward normal.
    pub fn new(
        panel: Bounds,
        eye: Eye,
        breaks_deg: &[f64],
        mut seen: impl FnMut(PanelSpaceVector) -> Seen,
        mut edges: impl FnMut(PanelSpaceVector) -> SeenEdges,
    ) -> Self {
        let bounds = Self::bounds_around(panel);
        let cell_mm = eye.position_mm[2].max(200.0) * Self::CELL_DEG.to_radians();
        let nodes_for = |length: f64, most: usize| ((length / cell_mm).ceil() as usize + 1).clamp(5, most);
        let [width, height] = bounds.size();
        let (even, rows) = (nodes_for(width, 65), nodes_for(height, 97));
        let [x0, x1] = [bounds.min[0], bounds.max[0]];
        let mut jumps = Vec::new();
        let mut columns: Vec<f64> = (0..even).map(|k| x0 + width * k as f64 / (even - 1) as f64).collect();
        for bearing in breaks_deg.iter().filter(|b| b.abs() < 89.0) {
            let x = eye.position_mm[0] + eye.position_mm[2].max(1.0) * bearing.to_radians().tan();
            if (columns.len() as u32 + 2) * FieldNode::TEXELS <= FIELD_WIDTH && x > x0 + 1.0 && x < x1 - 1.0 {
                columns.extend([x - Self::BREAK_MM, x + Self::BREAK_MM]);
                jumps.push((x - x0) / width * f64::from(FIELD_WIDTH - 1));
            }
        }
        sorting::numbers(&mut columns);
        columns.dedup_by(|a, b| *a - *b < Self::BREAK_MM / 2.0);
        let mut nodes = Vec::with_capacity(columns.len() * rows);
        for row in 0..rows {
            let y = bounds.min[1] + height * row as f64 / (rows - 1) as f64;
            nodes.extend(columns.iter().map(|&x| seen(eye.direction_through(PanelPoint::new(x, y)))));
        }
        let samples = FIELD_WIDTH as usize;
        let nearest = |k: usize| {
            let away = |j: &&f64| (**j - k as f64 - 0.5).abs();
            jumps.iter().min_by(|a, b| away(a).total_cmp(&away(b))).map_or(-1.0, |j| *j as f32)
        };
        let bearings = (0..samples)
            .map(|k| {
                let x = x0 + width * k as f64 / (samples - 1) as f64;
                let level = eye.direction_through(PanelPoint::new(x, eye.position_mm[1]));
                let after = columns.partition_point(|c| *c <= x).clamp(1, columns.len() - 1);
                let (a, b) = (columns[after - 1], columns[after]);
                let seen = edges(level);
                let tangent = |e: f64| e.clamp(0.0, Self::STEEPEST_DEG).to_radians().tan() as f32;
                let even = seen.altitude_deg.map(tangent);
                // An outline stays above the horizontal, and the lower outline stays below the upper one.
                let upper = tangent(seen.altitude_deg[0] + seen.detail_deg[0]);
                let lower = tangent(seen.altitude_deg[1] + seen.detail_deg[1]).min(upper);
                Bearing {
                    edges: even,
                    detail: [upper - even[0], lower - even[1]],
                    leaves: seen.leaves as f32,
                    jump: nearest(k),
                    column: ((after - 1) as f64 + ((x - a) / (b - a)).clamp(0.0, 1.0)) as f32,
                }
            })
            .collect();
        Self { bounds, columns, rows, nodes, bearings }
    }
}
