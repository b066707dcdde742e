//! One instant's light as the renderer takes it: a few spectra and, for every direction seen through the panel,
//! how much of each.

use spectra::Spectrum;

use crate::model::Bounds;

/// Sky spectra at most.
pub const SKY_COLUMNS: usize = 5;

/// Where the picture is seen from: panel mm, z into the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eye {
    /// x right, y up, z away from the glass into the room.
    pub position_mm: [f64; 3],
}

impl Eye {
    /// Unit vector from the eye through a point of the panel to the world outside: x right, y up, z into the room
    /// (so z is negative).
    pub fn direction_through(&self, point: [f64; 2]) -> [f64; 3] {
        let [x, y, z] = self.position_mm;
        let d = [point[0] - x, point[1] - y, -z.max(1.0)];
        let length = (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt();
        d.map(|v| v / length)
    }

    /// Angle of incidence at a point of the panel, degrees.
    pub fn incidence_deg(&self, point: [f64; 2]) -> f64 {
        (-self.direction_through(point)[2]).clamp(0.0, 1.0).acos().to_degrees()
    }
}

/// What is seen in one direction: up to three layers above the ground, such as sky, trees before the sky, and a
/// wall. Each layer's weights are given everywhere, also where another one hides it, so that its colour runs
/// smoothly up to an edge that is sharp.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Seen {
    /// Weights of the sky spectra above the upper edge, between the edges, and below the lower one.
    pub weights: [[f32; SKY_COLUMNS]; 3],
    /// Degrees above the upper edge, above the lower edge, and above the horizontal, below which is the ground.
    pub above_deg: [f32; 3],
}

/// [`Seen`] on a grid over the panel, from one eye.
#[derive(Clone, Debug, PartialEq)]
pub struct DirectionField {
    /// The grid's corners lie on these.
    pub bounds: Bounds,
    /// Nodes along x.
    pub columns: usize,
    /// Nodes along y.
    pub rows: usize,
    /// Row by row, the lowest first.
    pub nodes: Vec<Seen>,
}

impl DirectionField {
    /// Cells no wider than this angle at the eye where the limits on nodes allow it, degrees.
    const CELL_DEG: f64 = 0.6;

    /// Asks `seen` about a grid of directions (unit vectors in the panel's frame) through the panel, a little
    /// beyond it on every side.
    pub fn new(panel: Bounds, eye: Eye, mut seen: impl FnMut([f64; 3]) -> Seen) -> Self {
        let [width, height] = panel.size();
        let bounds = panel.grown((0.04 * width.max(height)).max(1.0));
        let cell_mm = eye.position_mm[2].max(200.0) * Self::CELL_DEG.to_radians();
        let nodes_for = |length: f64, most: usize| ((length / cell_mm).ceil() as usize + 1).clamp(5, most);
        let [width, height] = bounds.size();
        let (columns, rows) = (nodes_for(width, 65), nodes_for(height, 97));
        let mut nodes = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let x = bounds.min[0] + width * column as f64 / (columns - 1) as f64;
                let y = bounds.min[1] + height * row as f64 / (rows - 1) as f64;
                nodes.push(seen(eye.direction_through([x, y])));
            }
        }
        Self { bounds, columns, rows, nodes }
    }
}

/// One instant's light.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Up to [`SKY_COLUMNS`] spectra of which everything above the horizontal is a mixture, W·m⁻²·sr⁻¹·nm⁻¹.
    pub sky: Vec<Spectrum>,
    /// Radiance of the ground.
    pub ground: Spectrum,
    /// Radiance of the sun's disc; zero when it is down or hidden.
    pub disc: Spectrum,
    /// Irradiance on the outer face over π: what a perfectly scattering piece would show.
    pub glow: Spectrum,
    /// Unit vector toward the sun in the panel's frame; `None` when it is down.
    pub toward_sun: Option<[f64; 3]>,
    /// What is seen where.
    pub field: DirectionField,
    /// Where from.
    pub eye: Eye,
    /// Luminance of a white surface that faces the window from inside, by the light of the room, cd/m². `None`
    /// lets the renderer assume a dim room.
    pub room_white_cd_m2: Option<f64>,
}
